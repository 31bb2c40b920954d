"""Corrections of players, games and teams: the last live one holds, else what was there before."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from ledger.store import frames
from ledger.store.names import written_form
from ledger.store.people import FIELDS, rederive_players
from ledger.store.statements import for_table, sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

# Field as a person names it to its column.
COLUMNS = {
    "player": {"name": "name", **{n: n for n in FIELDS}},
    "team": {"name": "name"},
    "game": {
        "date": "date",
        "stage": "stage",
        "label": "label",
        "home": "home_team_id",
        "away": "away_team_id",
        "video": "video",
        "board_type": "board_type",
    },
}


def reapply(con: DuckDBPyConnection, source_id: int) -> None:
    """Set the fields that a correction touched to what holds now that it came or went."""
    values = {"source_id": source_id}
    rows = con.execute(sql("commit/correct", "touched"), values).fetchall()
    for table, row_id, field in rows:
        settle(con, str(table), int(row_id), str(field))


def settle(con: DuckDBPyConnection, table: str, row_id: int, field: str) -> None:
    """Set one field to its last live correction, else to what stood before the first."""
    if table == "player" and field in FIELDS:
        rederive_players(con, [row_id])
        return
    asked = {"table_name": table, "row_id": row_id, "field": field}
    lines = con.execute(sql("commit/correct", "of_field"), asked).fetchall()
    if not lines:
        return
    live = [new for _, new, is_live in lines if is_live]
    text = live[-1] if live else lines[0][0]
    put(con, table, row_id, field, _typed(con, table, row_id, field, text))


def put(con: DuckDBPyConnection, table: str, row_id: int, field: str, value: Any) -> None:
    """Write one field of a player, team or game."""
    column = COLUMNS[table][field]
    con.execute(
        for_table(sql("commit/correct", "put"), table, column=column),
        {"id": row_id, "value": value},
    )
    if field == "name":
        con.execute(
            for_table(sql("commit/correct", "put"), table, column="normal_form"),
            {"id": row_id, "value": written_form(str(value))},
        )


def _typed(con: DuckDBPyConnection, table: str, row_id: int, field: str, text: str | None) -> Any:
    if text is None:
        return None
    if field == "date":
        return date.fromisoformat(text)
    if table == "game" and field in ("home", "away"):
        league = frames.one(con, ("commit/correct", "league_of_game"), {"id": row_id})
        known = frames.fetch(con, ("commit/identity", "teams"))
        ids = {(r[0], r[2]): r[1] for r in known.iter_rows()}
        return ids.get((league, written_form(text)))
    return text
