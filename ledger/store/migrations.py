"""The numbered steps that make the ledger's tables: `sql/migrations/0001_first.sql` and on.

Each runs in one transaction with its record and the new format version, or not at all.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import TYPE_CHECKING

from ledger.store.statements import folder, sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_FILE = re.compile(r"(\d{4})_([a-z0-9_]+)\.sql")


@dataclass(frozen=True, slots=True)
class Migration:
    """One step: its number is the format version it leads to."""

    number: int
    name: str
    text: str


@cache
def steps() -> tuple[Migration, ...]:
    """All steps in order, numbered 1, 2, 3 and on without a gap.

    Raises:
        ValueError: if a number is missing or used twice.
    """
    found = []
    for file in sorted(folder("migrations").iterdir()):
        matched = _FILE.fullmatch(file.name)
        if matched:
            text = file.read_text(encoding="utf-8")
            found.append(Migration(int(matched[1]), matched[2], text))
    if [m.number for m in found] != list(range(1, len(found) + 1)):
        raise ValueError(f"migrations are not numbered 1 to {len(found)}")
    return tuple(found)


def newest() -> int:
    """The format version this program writes."""
    return steps()[-1].number


def migrate(
    con: DuckDBPyConnection,
    clock: Callable[[], datetime],
    *,
    have: int,
    upto: int | None = None,
    finish: Callable[[DuckDBPyConnection], object] | None = None,
) -> int:
    """Run the steps a ledger lacks, each in its own transaction.

    Args:
        con: a writable connection in which the ledger is the default database.
        clock: gives UTC now, without a zone.
        have: the format version the ledger has; 0 for an empty file.
        upto: the format version to stop at, the newest unless given.
        finish: what the last step's transaction ends with, such as a new fingerprint.

    Returns:
        How many steps were run.
    """
    todo = [step for step in steps() if have < step.number <= (upto or newest())]
    for step in todo:
        con.execute(sql("connection", "begin"))
        try:
            con.execute(step.text)
            con.execute(sql("migrations", "set_version"), {"version": str(step.number)})
            con.execute(
                sql("migrations", "record"),
                {"number": step.number, "name": step.name, "applied_at": clock()},
            )
            if finish is not None and step is todo[-1]:
                finish(con)
            con.execute(sql("connection", "commit"))
        except BaseException:
            # A commit that failed has ended the transaction already.
            with suppress(Exception):
                con.execute(sql("connection", "rollback"))
            raise
    return len(todo)
