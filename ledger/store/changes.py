"""What a person changes beside the records, each change a source that can be taken back.

A change is written down in the journal as it is made: whole rows as they were before and after,
single fields with their old and new value. Taking it back replays the journal without it: what was
changed later by others stays, and what it made comes back under its old id when it is wanted again.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.errors import UseError
from ledger.store import bulk, frames, journal
from ledger.store.batch import Batch, Committed
from ledger.store.commit import write_source
from ledger.store.keys import foreign_keys
from ledger.store.statements import for_table, sql
from ledger.store.words import reread

if TYPE_CHECKING:
    from collections.abc import Mapping

    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

# Kinds of source that are changes and no records.
KINDS = (
    "same",
    "lot",
    "rumour",
    "technique",
    "word",
    "list",
    "note",
    "decision",
    "trial",
    "consent",
    "profile",
    "deck",
)
# Tables whose rows are told by other columns than an id.
_KEYS = {
    "lot_player": ("lot_id",),
    "shortlist_entry": ("shortlist_id", "player_id", "source_id", "at_time"),
    "word": ("field", "normal_form"),
}
# Rows that several changes may each have called for: there as long as one of those holds.
_SHARED = ("word", "shortlist")

Row = dict[str, str | None]
Rows = list[Row]


def begin(con: DuckDBPyConnection, hand: Hand, kind: str, what: str) -> int:
    """Write the source of a change, and tell its number.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        kind: one of `KINDS`.
        what: what it is, for the list of sources.
    """
    source_id = bulk.next_id(con, "source")
    done = Committed.nothing(source_id)
    write_source(con, hand, Batch(kind=kind, file=what, frame=pl.DataFrame()), done, hand.clock())
    return source_id


def next_id(con: DuckDBPyConnection, table: str) -> int:
    """The id a new row of a table gets: never one that was taken back and may come again."""
    found = con.execute(for_table(sql("changes", "next_id"), table)).fetchone()
    assert found is not None
    return int(found[0])


def set_field(
    con: DuckDBPyConnection,
    hand: Hand,
    source_id: int,
    table: str,
    row_id: int,
    field: str,
    value: Any,
    why: str | None = None,
) -> None:
    """Write one column of a row that has an id, and what it was and is into the journal.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        source_id: from `begin`.
        table: the table.
        row_id: the row's id.
        field: the column.
        value: its new value, `None` to empty it.
        why: the person's reason.
    """
    old = con.execute(
        for_table(sql("changes", "field"), table, column=field), {"id": row_id}
    ).fetchone()
    assert old is not None, f"no row {row_id} of {table}"
    _write_field(con, table, row_id, field, value)
    journal.record(
        con, hand.clock, hand.who, "set", table=table, row_id=row_id, field=field,
        old=old[0], new=value, why=why, source_id=source_id,
    )  # fmt: skip


def added(
    con: DuckDBPyConnection,
    hand: Hand,
    source_id: int,
    table: str,
    row_id: int,
    why: str | None = None,
) -> None:
    """Tell of a row with an id that was just inserted."""
    changed(con, hand, source_id, table, {"id": row_id}, [], why)


def held(con: DuckDBPyConnection, table: str, key: Mapping[str, Any]) -> Rows:
    """The rows under a key as they are now, to be handed to `changed` afterwards."""
    found = con.execute(_for_key(table, "rows"), dict(key))
    names = [d[0] for d in found.description or []]
    return [
        {n: journal.text_of(v) for n, v in zip(names, row, strict=True)} for row in found.fetchall()
    ]


def changed(
    con: DuckDBPyConnection,
    hand: Hand,
    source_id: int,
    table: str,
    key: Mapping[str, Any],
    before: Rows,
    why: str | None = None,
    action: str | None = None,
) -> None:
    """Tell of rows that were just inserted, changed or deleted.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who did it, and when.
        source_id: from `begin`.
        table: the table.
        key: the columns that tell the rows, those of `_KEYS` or `id`.
        before: what `held` gave before the change, empty where nothing was there.
        why: the person's reason.
        action: the deed as the journal tells it; add, change or remove unless given.
    """
    after = held(con, table, key)
    deed = action or ("add" if not before else "change" if after else "remove")
    journal.record(
        con, hand.clock, hand.who, deed, table=table, row_id=_number(table, key),
        old=_written(before), new=_written(after), why=why, source_id=source_id,
    )  # fmt: skip


def take_back(con: DuckDBPyConnection, source_id: int) -> str | None:
    """Undo what a source changed, once it is marked as taken back.

    Returns:
        Its kind, where it is a change and brought no records.

    Raises:
        UseError: if something else needs what it added.
    """
    lines = con.execute(sql("changes", "lines"), {"source_id": source_id}).fetchall()
    gone: list[tuple[str, int]] = []
    for table, row_id, field, old, new in reversed(lines):
        if field is not None:
            _settle_field(con, table, row_id, field)
        elif not _settle_row(con, table, row_id, _key_of(table, old, new)) and row_id is not None:
            gone.append((table, row_id))
    for table, row_id in gone:
        _refuse_needed(con, source_id, table, row_id)
    _refuse_twice(con, source_id, lines)
    return _kind(con, source_id)


def bring_back(con: DuckDBPyConnection, source_id: int) -> str | None:
    """Do again what a source changed, once it counts again.

    Returns:
        Its kind, where it is a change and brought no records.

    Raises:
        UseError: if its name was taken meanwhile, or what it changed is gone.
    """
    lines = con.execute(sql("changes", "lines"), {"source_id": source_id}).fetchall()
    for table, row_id, field, old, new in lines:
        if field is not None:
            _settle_field(con, table, row_id, field)
        else:
            _settle_row(con, table, row_id, _key_of(table, old, new))
    _refuse_twice(con, source_id, lines)
    return _kind(con, source_id)


def _kind(con: DuckDBPyConnection, source_id: int) -> str | None:
    kind = frames.one(con, ("changes", "kind"), {"source_id": source_id})
    return str(kind) if kind in (*KINDS, "correction") else None


def _settle_field(con: DuckDBPyConnection, table: str, row_id: int, field: str) -> None:
    asked = {"table_name": table, "row_id": row_id, "field": field}
    lines = con.execute(sql("changes", "of_field"), asked).fetchall()
    live = [new for _, new, is_live in lines if is_live]
    _write_field(con, table, row_id, field, live[-1] if live else lines[0][0])


def _write_field(con: DuckDBPyConnection, table: str, row_id: int, field: str, value: Any) -> None:
    statement = for_table(sql("changes", "set_field"), table, column=field)
    con.execute(statement, {"id": row_id, "value": value})


def _settle_row(
    con: DuckDBPyConnection, table: str, row_id: int | None, key: Mapping[str, Any]
) -> bool:
    """Rows under a key as the live changes leave them; whether any are there."""
    asked = {"table_name": table, "row_id": row_id}
    lines = [
        (before, after, live)
        for old, new, live in con.execute(sql("changes", "of_row"), asked).fetchall()
        for before, after in [(_read(old), _read(new))]
        if _key(table, after or before) == key
    ]
    wanted = _replayed(table, lines)
    now = held(con, table, key)
    if table == "shortlist" and not wanted and _named_in(con, "shortlist_entry", table, row_id):
        return True
    if wanted != now:
        con.execute(_for_key(table, "drop"), dict(key))
        if wanted:
            _put_back(con, table, wanted)
    if wanted and row_id is not None:
        fields = con.execute(sql("changes", "fields_of_row"), asked).fetchall()
        for (field,) in fields:
            _settle_field(con, table, row_id, str(field))
    _follow(con, table, wanted, now)
    return bool(wanted)


def _replayed(table: str, lines: list[tuple[Rows, Rows, bool]]) -> Rows:
    state = lines[0][0]
    for before, after, live in lines:
        if not live:
            continue
        if not before or not after or (not state and table in _SHARED):
            state = after
        elif state:
            new = {n: v for n, v in after[0].items() if before[0].get(n) != v}
            state = [{**state[0], **new}]
    return state


def _put_back(con: DuckDBPyConnection, table: str, rows: Rows) -> None:
    shape = dict.fromkeys(rows[0], pl.String())
    frame = pl.DataFrame(rows, schema=shape)
    frames.run_text(con, for_table(sql("changes", "put_back"), table), incoming=frame)


def _follow(con: DuckDBPyConnection, table: str, wanted: Rows, before: Rows) -> None:
    """What hangs on a row: tags written with a word or a technique's name are read anew."""
    for row in (*wanted, *before):
        if table == "word" and row["field"] == "technique":
            reread(con, str(row["text"]))
        elif table == "technique" and wanted:
            reread(con, str(row["name"]))


def _refuse_twice(con: DuckDBPyConnection, source_id: int, lines: list[Any]) -> None:
    """Stop where two would have one name, or one player would be on a list twice."""
    if not lines:
        return
    taken = con.execute(sql("changes", "names_twice")).fetchall()
    if taken:
        raise UseError(
            f"the name {taken[0][0]!r} was taken again meanwhile, so source {source_id} cannot "
            "come back beside it: take that one back first (offglass sources lists it)"
        )
    twice = con.execute(sql("changes", "entries_twice")).fetchall()
    if twice:
        raise UseError(
            f"{twice[0][0]} is on {twice[0][1]} again by a later source: take that one back before "
            f"source {source_id} (offglass sources lists it)"
        )


def _refuse_needed(con: DuckDBPyConnection, source_id: int, table: str, row_id: int) -> None:
    for key in sorted(foreign_keys(), key=lambda k: k.table != "tag"):
        if key.to != table or not (found := _named_in(con, key.table, table, row_id, key.column)):
            continue
        rows = {"tag": "tags carry", "agreed": "attempts carry"}.get(key.table)
        needed = f"{found} {rows} it" if rows else f"{found} rows of {key.table} need it"
        raise UseError(f"source {source_id} cannot be taken back: {needed}")
    if table == "technique":
        asked = {"id": str(row_id)}
        given = frames.one(con, ("changes", "given_technique"), asked)
        if given:
            raise UseError(
                f"source {source_id} cannot be taken back: {given} records that came in carry it"
            )


def _named_in(
    con: DuckDBPyConnection, where: str, table: str, row_id: int | None, column: str = ""
) -> int:
    statement = for_table(sql("changes", "naming"), where, column=column or f"{table}_id")
    row = con.execute(statement, {"id": row_id}).fetchone()
    return int(row[0]) if row else 0


def _for_key(table: str, deed: str) -> str:
    if table in _KEYS:
        return sql("changes", f"{deed}_{table}")
    return for_table(sql("changes", f"{deed}_id"), table)


def _number(table: str, key: Mapping[str, Any]) -> int | None:
    return None if table in _KEYS else int(key["id"])


def _key(table: str, rows: Rows) -> dict[str, Any]:
    return {name: rows[0][name] for name in _KEYS.get(table, ("id",))}


def _key_of(table: str, old: str | None, new: str | None) -> dict[str, Any]:
    return _key(table, _read(new) or _read(old))


def _written(rows: Rows) -> str | None:
    return json.dumps(rows, ensure_ascii=False) if rows else None


def _read(text: str | None) -> Rows:
    return json.loads(text) if text else []
