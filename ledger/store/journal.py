"""The journal: who changed what, when, from what, to what. Rows are only ever added."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
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


def entries(
    con: DuckDBPyConnection,
    *,
    limit: int | None = None,
    source_id: int | None = None,
    person_id: int | None = None,
) -> list[dict[str, Any]]:
    """The lines of the journal, oldest first.

    Args:
        con: any connection of the ledger.
        limit: only so many of the newest.
        source_id: only those of a source.
        person_id: only those about a person: his facts, list entries, notes and decisions.

    Returns:
        One dictionary a line, by column of the journal.
    """
    asked = {"limit": limit, "source_id": source_id, "person_id": person_id}
    rows = con.execute(sql("journal", "entries"), asked)
    names = [d[0] for d in rows.description or []]
    return [dict(zip(names, row, strict=True)) for row in rows.fetchall()]


def shown(line: Mapping[str, Any]) -> dict[str, Any]:
    """A line as a person reads it: of whole rows only what differs, as `field=value`."""
    old, new = _rows(line["old_value"]), _rows(line["new_value"])
    if old is None and new is None:
        return dict(line)
    names = list(dict.fromkeys(n for rows in (old, new) for row in rows or [] for n in row))
    told = [n for n in names if not n.endswith("_id") and n not in ("id", "who", "at_time")]
    one, other = (old or [{}])[0], (new or [{}])[0]
    differing = [n for n in told if one.get(n) != other.get(n)]
    more = max(len(old or []), len(new or []))
    out = dict(line)
    for key, rows in (("old_value", old), ("new_value", new)):
        values = [f"{n}={rows[0][n]}" for n in differing if rows and rows[0].get(n) is not None]
        out[key] = f"{more} rows" if rows and more > 1 else ", ".join(values) or None
    return out


def told(line: Mapping[str, Any]) -> dict[str, Any]:
    """A line in the words of a table: when, who, what, of which row, was, is, why, source."""
    of = (line["table_name"], line["row_id"])
    return {
        "when": f"{line['at_time']:%Y-%m-%d %H:%M:%S}",
        "who": line["who"],
        "what": line["action"],
        "of": " ".join(str(v) for v in of if v is not None),
        "field": line["field"],
        "was": line["old_value"],
        "is": line["new_value"],
        "why": line["why"],
        "source": line["source_id"],
    }


def _rows(text: str | None) -> list[dict[str, Any]] | None:
    """Whole rows, where a value holds such; anything else is a plain value."""
    if not text or not text.startswith("[{"):
        return None
    try:
        found = json.loads(text)
    except ValueError:
        return None
    return found if isinstance(found, list) else None


def text_of(value: Any) -> str | None:
    """A value as the journal keeps it."""
    if value is None:
        return None
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
