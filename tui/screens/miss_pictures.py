"""An answer about misses as what its pictures are drawn from: grids, and courts of rebounds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from ledger.questions.miss_grid import DEPTHS, SIDES
from ledger.questions.misses import ZONES
from ledger.questions.wording import (
    capital,
    count,
    counted,
    rate,
    rate_with_interval,
    technique_words,
)
from tui.widgets.court_view import ReboundCourt
from tui.widgets.miss_grid import LEAST, MissGrid, Told

if TYPE_CHECKING:
    import polars as pl

    from ledger.questions.answer import Answer
    from tui.widgets.columns import Row

# So many rows of the answer are one grid, and one court.
CELLS = len(DEPTHS) * len(SIDES)


def groups(frame: pl.DataFrame, size: int) -> Iterator[list[dict[str, Any]]]:
    """Rows that belong together: the answer has as many for each."""
    for first in range(0, frame.height, size):
        yield frame.slice(first, size).rows(named=True)


def words_of(technique: str) -> str:
    """A technique as a coach says it."""
    return technique_words([technique])


def is_studied(technique: object, studied: Sequence[str]) -> bool:
    """Whether it is the technique that is studied, by its name or as it is said."""
    return technique in studied or words_of(str(technique)) == technique_words(studied)


def grids_of(answer: Answer, studied: Sequence[str]) -> list[MissGrid]:
    """A grid for each technique, or for each player and technique."""
    feet = {row["technique"]: _foot(row) for row in answer.part("rebounds").rows()}
    found = []
    for rows in groups(answer.frame, CELLS):
        first = rows[0]
        found.append(
            MissGrid(
                _grid_title(first),
                "" if first["player"] else f" of {first['player_why']}",
                {(r["depth"], r["side"]): Told(r["count"], r["share"]) for r in rows},
                first["seen"],
                is_studied(first["technique"], studied),
                "" if first["player"] else feet.get(first["technique"], ""),
            )
        )
    return found


def _grid_title(row: Row) -> str:
    words, misses = words_of(row["technique"]), counted(row["seen"], "miss", "misses")
    few = ", counts only" if row["seen"] < LEAST else ""
    if row["player"]:
        return f"{row['player']}, {words}: {misses}{few}"
    return f"{capital(words)}: {misses}{few}"


def _foot(row: Row) -> str:
    if row["share"] is None:
        return str(row["share_why"])
    if row["live_misses"] < LEAST:
        return f"offensive rebounds {rate(row['share'], row['live_misses'])}"
    # Whole percent in a picture.
    share = rate_with_interval(row["share"], row["low"], row["high"], LEAST)
    return f"offensive rebounds {share}"


def courts_of(answer: Answer, part: str, studied: Sequence[str]) -> list[ReboundCourt]:
    """A court for each technique, or for each technique and side of the miss."""
    return [
        ReboundCourt(
            court_title(rows[0]),
            {r["zone"]: Told(r["count"], r["share"]) for r in rows},
            rows[0]["seen"],
            is_studied(rows[0]["technique"], studied),
        )
        for rows in groups(answer.part(part).frame, len(ZONES))
    ]


def court_title(row: Row) -> str:
    """Whose rebounds, of misses to which side."""
    words, side = capital(words_of(row["technique"])), row.get("miss_side")
    rebounds = counted(row["seen"], "rebound")
    return f"{words}, missed {side}: {rebounds}" if side else f"{words}: {rebounds}"


def told_of(answer: Answer, part: str, number: int) -> tuple[str, list[str]]:
    """A grid or a court in words, with the limits of its shares: its title and its lines."""
    if part:
        rows = answer.part(part).frame.slice(number * len(ZONES), len(ZONES)).rows(named=True)
        lines = [_line(row, str(row["zone"]).replace("_", " ")) for row in rows]
        return court_title(rows[0]), lines
    rows = answer.frame.slice(number * CELLS, CELLS).rows(named=True)
    return _grid_title(rows[0]), [_line(row, f"{row['depth']}, {row['side']}") for row in rows]


def _line(row: Row, where: str) -> str:
    told = f"{count(row['count'])} of {count(row['seen'])}"
    if row["share"] is None or row["seen"] < LEAST:
        return f"{where}: {told}"
    share = rate_with_interval(row["share"], row["low"], row["high"], row["seen"])
    return f"{where}: {told}, {share}"
