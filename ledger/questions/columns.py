"""Columns of answers: each described once, and frames made to fit them exactly."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import polars as pl

from ledger.questions.answer import Column, ColumnType, Part

_DTYPES: dict[ColumnType, type[pl.DataType]] = {
    "string": pl.String,
    "integer": pl.Int64,
    "number": pl.Float64,
    "boolean": pl.Boolean,
    "date": pl.Date,
}


def part(columns: Sequence[Column], rows: pl.DataFrame | Iterable[Mapping[str, Any]]) -> Part:
    """Rows with exactly these columns in this order, each of its own type; nan becomes empty.

    Args:
        columns: the columns.
        rows: a frame that has them all (and perhaps more), or dictionaries; a key that is missing
            from a dictionary is empty.
    """
    if not isinstance(rows, pl.DataFrame):
        taken = list(rows)
        data = {c.name: [row.get(c.name) for row in taken] for c in columns}
        rows = pl.DataFrame(data, schema={c.name: _DTYPES[c.type] for c in columns}, strict=False)
    casts = []
    for column in columns:
        cast = pl.col(column.name).cast(_DTYPES[column.type])
        casts.append(cast.fill_nan(None) if column.type == "number" else cast)
    return Part(tuple(columns), rows.select(casts))


def text(name: str, title: str, description: str = "") -> Column:
    """A column of words."""
    return Column(name, title, "string", "", description)


def number_of(name: str, title: str, unit: str, description: str = "") -> Column:
    """A column of whole numbers."""
    return Column(name, title, "integer", unit, description)


def share(name: str, title: str, description: str = "") -> Column:
    """A column of rates or shares from 0 to 1."""
    return Column(name, title, "number", "share", description)


def figure(name: str, title: str, unit: str, description: str = "") -> Column:
    """A column of numbers that are no shares."""
    return Column(name, title, "number", unit, description)


PLAYER = text("player", "Player", "The shooter, as first written")
TEAM = text("team", "Team", "Team, or teams in the order he played for them")
LEAGUE = text("league", "League", "League, or leagues of the row")
SEASON = text("season", "Season", "Season, or seasons of the row")
START_YEAR = number_of("start_year", "Starts in", "year", "Year the season begins in")
MADE = number_of("made", "Made", "makes", "Makes, season totals filled in where games are missing")
ATTEMPTS = number_of(
    "attempts", "Attempts", "attempts", "Attempts, season totals filled in where games are missing"
)
TAGGED = number_of(
    "tagged", "Watched", "attempts", "Attempts with an agreed technique, not picked by their result"
)
COVERAGE = share("coverage", "Coverage", "Watched attempts of all attempts")
UNCLEAR = number_of(
    "unclear", "Cannot tell", "attempts", "Attempts watched without telling, or not on film"
)
FOCUS_TAGS = number_of(
    "focus_tags", "Seen doing it", "attempts", "Watched attempts with the technique that is studied"
)
STATE = text(
    "state",
    "Does he do it",
    "adopter, occasional, not, undecided (watched too little) or untagged (never watched)",
)
