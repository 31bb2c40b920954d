"""Who shoots best, allowing for luck?"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from ledger.questions.wording import percent
from tui.actions import bindings_of
from tui.screens.question import QuestionScreen
from tui.widgets.columns import Row, ShownColumn

if TYPE_CHECKING:
    from ledger.questions.answer import Answer

# Few attempts are watched of one player in one season: whole percent.
_WHOLE = 10
_BY = (
    ("player", "player"),
    ("player-season", "player and season"),
    ("team", "team"),
    ("league-season", "league and season"),
)
_PLURAL = {
    "player": "players",
    "player-season": "player-seasons",
    "team": "teams",
    "league-season": "league-seasons",
}


class RankingScreen(QuestionScreen):
    """Rows in the order of the rate that allows for luck, or of another figure."""

    kind = "ranking"
    question = "ranking"
    heading = "Who shoots best, allowing for luck?"
    orders = (
        ("shrunken", "rate allowing for luck"),
        ("raw", "raw rate"),
        ("low", "low end of the interval"),
        ("made", "makes"),
        ("attempts", "attempts"),
    )
    BINDINGS = bindings_of("ranking")

    def columns_of(self, answer: Answer) -> tuple[ShownColumn, ...]:
        studied = self.program.meant.now.focus_words()
        return tuple(
            replace(c, title=studied, words=partial(_doing, c.words)) if c.sorts == "state" else c
            for c in super().columns_of(answer)
        )

    def row_words(self) -> str:
        return _PLURAL.get(str(self.options.get("by") or "player"), "rows")

    def action_minimum(self) -> None:
        asked = self.answer.asked if self.answer else {}
        current = self.options.get("min_attempts", asked.get("min_attempts"))
        self.ask_number("min_attempts", "Only rows with at least how many attempts?", current)

    def action_by(self) -> None:
        self.ask_choice("by", "One row for each", _BY)


def _doing(words: Callable[[Row], str], row: Row) -> str:
    share = row.get("focus_share")
    if row.get("state") is None:
        return ""
    return words(row) if share is None else f"{words(row)}, {percent(share, _WHOLE)}"
