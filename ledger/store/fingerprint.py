"""A small fingerprint kept with every change, so that an older or cut file can be told.

It is the number of the change and the row count of every table: cheap enough to write each time
(4 ms at a million attempts), and wrong as soon as a piece of the file is missing.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING, Any

from ledger.store.allowlist import tables
from ledger.store.statements import for_tables, sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection


# The number of the last change, and the rows of each table then, where they are known.
Kept = tuple[int, Mapping[str, int] | None]


def row_counts(con: DuckDBPyConnection, only: Collection[str] = ()) -> dict[str, int]:
    """Rows of every table but `ledger_meta`, or only of some, by table."""
    counted = [t for t in tables() if t != "ledger_meta" and (not only or t in only)]
    text = for_tables(sql("fingerprint", "rows_of"), counted)
    return {name: int(rows) for name, rows in con.execute(text).fetchall()}


def keep(con: DuckDBPyConnection, touched: Collection[str] = (), known: Kept | None = None) -> Kept:
    """Count one more change and keep what the ledger then holds; inside the change.

    Args:
        con: the connection of the change.
        touched: the only tables it has added to or taken from; the others are not counted anew.
        known: what is kept now, where nobody else can have changed it since.

    Returns:
        The number of the change, and the rows kept with it.
    """
    before, rows = known or kept(con)
    changes = before + 1
    counted = row_counts(con, touched if rows is not None else ())
    body: dict[str, Any] = {"changes": changes, "rows": {**(rows or {}), **counted}}
    values = {"changes": str(changes), "fingerprint": json.dumps(body, sort_keys=True)}
    if rows is None:
        con.execute(sql("fingerprint", "make_room"))
    con.execute(sql("fingerprint", "keep"), values)
    return changes, body["rows"]


def kept(con: DuckDBPyConnection) -> Kept:
    """The number of changes, and the row counts kept with the last one if there are any."""
    meta = _meta(con)
    try:
        changes = int(meta.get("changes", "0"))
        body = json.loads(meta["fingerprint"])
        rows = {str(k): int(v) for k, v in body["rows"].items()}
    except (KeyError, ValueError, TypeError, AttributeError):
        return (_number(meta.get("changes")), None)
    return (changes, rows if int(body.get("changes", -1)) == changes else None)


def _number(text: str | None) -> int:
    return int(text) if text and text.isascii() and text.isdigit() else 0


def _meta(con: DuckDBPyConnection) -> dict[str, str]:
    return dict(con.execute(sql("fingerprint", "read")).fetchall())
