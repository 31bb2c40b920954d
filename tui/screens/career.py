"""A player's answer as what the picture of his running rate is drawn from."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from ledger.questions.layout import STATE_WORDS
from tui.widgets.columns import Row
from tui.widgets.running_rate import Career, Change, Game, How

if TYPE_CHECKING:
    from ledger.questions.answer import Answer


def career_of(answer: Answer, studied: str) -> Career:
    """Games and changes of an answer about one player.

    Args:
        answer: as `player` gives it.
        studied: the studied technique in words.
    """
    games = tuple(_game(row) for row in answer.frame.iter_rows(named=True))
    found = answer.more.get("switches")
    rows = [] if found is None else list(found.iter_rows(named=True))
    return Career(games, tuple(_change(row) for row in rows), studied)


def _game(row: Row) -> Game:
    return Game(
        row["date"],
        str(row["season"]),
        row["attempts"],
        _how(row),
        row["running_rate"],
        row["low"],
        row["high"],
    )


def _how(row: Row) -> How:
    tagged, focus = row["tagged"] or 0, row["focus_tags"] or 0
    if not tagged:
        return "unknown"
    return "focus" if focus == tagged else "both" if focus else "other"


def _change(row: Row) -> Change:
    words = STATE_WORDS.get(row["direction"], "changed")
    if row["finding"] == "possible":
        words = f"possible: {words}"
    day = _day(row["date"])
    if day is not None:
        words += f" {day}"
    return Change(day, _day(row["date_low"]), _day(row["date_high"]), words)


def _day(value: Any) -> date | None:
    return value if isinstance(value, date) else None
