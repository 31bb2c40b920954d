"""The journal: who changed what, when, from what, to what. Rows are only ever added."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Any, Protocol

from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection


class Hand(Protocol):
    """Who makes a change, and the clock; a `LedgerFile` is one."""

    who: str
    clock: Callable[[], datetime]


def record(
    con: DuckDBPyConnection,
    clock: Callable[[], datetime],
    who: str,
    action: str,
    *,
    table: str | None = None,
    row_id: int | None = None,
    field: str | None = None,
    old: Any = None,
    new: Any = None,
    why: str | None = None,
    source_id: int | None = None,
) -> int:
    """Write one line of the journal, inside the change it tells of.

    Args:
        con: a connection inside `LedgerFile.changing`.
        clock: gives UTC now, without a zone (`LedgerFile.clock`).
        who: the person.
        action: what was done, one word or two: `import`, `undo`, `correct`, `technique add`.
        table: the table of the row that changed, if there is one.
        row_id: its id.
        field: the field that changed.
        old: what it was.
        new: what it is.
        why: the person's reason.
        source_id: the source this belongs to.

    Returns:
        The id of the line.
    """
    number = _next(con)
    con.execute(
        sql("journal", "record"),
        {
            "id": number,
            "at_time": clock(),
            "who": who,
            "action": action,
            "table_name": table,
            "row_id": row_id,
            "field": field,
            "old_value": text_of(old),
            "new_value": text_of(new),
            "why": why,
            "source_id": source_id,
        },
    )
    return number


def _next(con: DuckDBPyConnection) -> int:
    found = con.execute(sql("journal", "next_id")).fetchone()
    assert found is not None
    return int(found[0])


def entries(con: DuckDBPyConnection, *, limit: int | None = None) -> list[dict[str, Any]]:
    """The lines of the journal, oldest first.

    Args:
        con: any connection of the ledger.
        limit: only so many of the newest.

    Returns:
        One dictionary a line, by column of the journal.
    """
    rows = con.execute(sql("journal", "entries"), {"limit": limit})
    names = [d[0] for d in rows.description or []]
    return [dict(zip(names, row, strict=True)) for row in rows.fetchall()]


def text_of(value: Any) -> str | None:
    """A value as the journal keeps it."""
    if value is None:
        return None
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
