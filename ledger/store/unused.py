"""A ledger that was made for records which did not come: taken away again."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from ledger.store import fingerprint
from ledger.store.connection import attach, beside, settle

if TYPE_CHECKING:
    from ledger.store.ledger_file import LedgerFile


def discard_unused(ledger: LedgerFile) -> bool:
    """Remove the file of a ledger in which nothing was ever changed.

    The file is looked at and removed under the lock, so that what another process put in
    meanwhile is never lost.

    Returns:
        Whether it is gone.

    Raises:
        LedgerError: if somebody else has it.
    """
    with ledger.alone("taking an empty ledger away") as path:
        con = attach(path, read_only=True)
        try:
            settle(con)
            changes, _ = fingerprint.kept(con)
        finally:
            con.close()
        if changes != 0:
            return False
        for left in (path, *beside(path)):
            if os.path.lexists(left):
                os.unlink(left)
    return True
