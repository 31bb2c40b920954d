"""A safe copy: made by DuckDB while nobody can change the ledger, and whole or not there."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from ledger.errors import LedgerError, UseError
from ledger.store import opening
from ledger.store.connection import beside, in_memory, shut_in, translated
from ledger.store.ledger_file import LedgerFile
from ledger.store.statements import sql


def backup(ledger: LedgerFile, target: str | os.PathLike[str]) -> Path:
    """Copy a ledger into a new file.

    The ledger is closed, kept from changes, and copied table by table; the copy has another name
    until it is whole.

    Args:
        ledger: the ledger, idle.
        target: a file that is not there yet, in a folder that is.

    Returns:
        The real path of the copy.

    Raises:
        UseError: if the target is there already or cannot be made.
        LedgerError: if the ledger cannot be had or the disk is full.
    """
    path = opening.real_path(target)
    free_path(path)
    draft = path.with_name(f".{path.name[:80]}.part-{os.getpid()}")
    with ledger.alone("offglass backup") as source:
        try:
            with translated(path.name):
                _copy(source, str(draft))
            _sync(draft)
            put_in_place(draft, path)
        finally:
            discard(draft)
    return path


def discard(draft: Path) -> None:
    """Remove an unfinished file and what DuckDB made beside it."""
    for left in (str(draft), *beside(str(draft))):
        with suppress(OSError):
            os.unlink(left)


def _copy(source: str, draft: str) -> None:
    con = in_memory()
    try:
        con.execute(sql("backup", "source"), {"path": source})
        con.execute(sql("backup", "target"), {"path": draft})
        shut_in(con, beside(draft))
        con.execute(sql("backup", "copy"))
        con.execute(sql("backup", "checkpoint"))
    finally:
        con.close()


def free_path(path: Path) -> None:
    """See that a new file can be made there.

    Raises:
        UseError: if something is there, or its folder is missing or not to be written to.
    """
    if os.path.lexists(path):
        raise UseError(f"{path} is there already and is left alone: name a new file")
    if not path.parent.is_dir():
        raise UseError(f"there is no folder {path.parent}: make it first")
    if not os.access(path.parent, os.W_OK):
        raise UseError(f"no permission to write in {path.parent}: name another folder")


def _sync(path: Path) -> None:
    fd = os.open(path, os.O_RDONLY)
    try:
        os.fsync(fd)
    finally:
        os.close(fd)


def put_in_place(draft: Path, path: Path) -> None:
    """Give a finished file its name; never over another.

    Raises:
        UseError: if the name was taken meanwhile.
        LedgerError: if the disk refuses.
    """
    # A link never overwrites; where the disk knows none, a rename is the next best.
    try:
        os.link(draft, path)
    except FileExistsError:
        raise UseError(f"{path} is there already and is left alone: name a new file") from None
    except OSError:
        free_path(path)
        try:
            os.rename(draft, path)
        except OSError as e:
            raise LedgerError(f"{path} could not be written: {e.strerror}") from None
