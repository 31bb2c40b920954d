"""Which column of which table names a row of another: for the check and for the exports.

DuckDB's own foreign keys would cost every bulk import and forbid updates of the rows they name; so
the rules are kept here, and `check` proves them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from ledger.store.allowlist import schema


@dataclass(frozen=True, slots=True)
class ForeignKey:
    """`table.column` holds an `id` of the table `to`, or nothing where it may be empty."""

    table: str
    column: str
    to: str


# Where a column's name alone tells the table.
_BY_NAME = {
    "source_id": "source",
    "attempt_id": "attempt",
    "league_id": "league",
    "season_id": "season",
    "team_id": "team",
    "home_team_id": "team",
    "away_team_id": "team",
    "opponent_id": "team",
    "player_id": "player",
    "game_id": "game",
    "technique_id": "technique",
    "technique_a": "technique",
    "technique_b": "technique",
    "lot_id": "lot",
    "shortlist_id": "shortlist",
    "trial_id": "trial",
}


@cache
def foreign_keys() -> tuple[ForeignKey, ...]:
    """Every foreign key of the newest format, in the order of tables and columns."""
    found = []
    for table, columns in schema().columns.items():
        for column in columns:
            to = table if column.name == "same_as" else _BY_NAME.get(column.name)
            if to is not None:
                found.append(ForeignKey(table, column.name, to))
    return tuple(found)


@cache
def tables_with_ids() -> tuple[str, ...]:
    """The tables whose rows have an `id` of their own."""
    return tuple(t for t, columns in schema().columns.items() if columns[0].name == "id")
