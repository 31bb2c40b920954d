"""The cut list: which clips to show, where each is in its game and on its film."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ledger.charts.brief.tables import Table, made
from ledger.questions import wording
from ledger.questions.layout import Shown

if TYPE_CHECKING:
    from ledger.questions.answer import Answer

_LAYOUT = (
    Shown("", "count", ("clip",)),
    Shown("game", "text", ("game",)),
    Shown("date", "text", ("date",)),
    Shown("player", "text", ("player",)),
    Shown("period", "text", ("period",)),
    Shown("clock", "text", ("clock",)),
    Shown("film", "text", ("video",)),
    Shown("film at", "text", ("place",)),
    Shown("", "state", ("made",)),
    Shown("technique", "text", ("technique",)),
)


def clip_table(answer: Answer) -> Table:
    """The clips in the order of the answer, those of a game together."""
    rows = [_clip(number, row) for number, row in enumerate(answer.main.rows(), start=1)]
    return made(_LAYOUT, rows, len(rows))


def _clip(number: int, row: Mapping[str, Any]) -> dict[str, Any]:
    clock, place = row["clock_s"], row["video_s"]
    return {
        "clip": number,
        "game": row["game"],
        "date": row["date"],
        "player": f"{row['player']}, {row['team']}" if row["team"] else row["player"],
        "period": row["period"],
        "clock": None if clock is None else f"{wording.clock(clock)} left",
        "video": row["video"],
        "place": None if place is None else wording.film_place(place),
        "made": row["made"],
        "technique": row["technique"],
    }
