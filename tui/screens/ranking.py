"""Who shoots best, allowing for luck?"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from tui.actions import bindings_of
from tui.screens.question import QuestionScreen
from tui.widgets.columns import Row, ShownColumn

if TYPE_CHECKING:
    from ledger.questions.answer import Answer
    from tui.cohorts import Meant

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
    in_sentence = ("min_attempts",)
    BINDINGS = bindings_of("ranking")

    def columns_of(self, answer: Answer) -> tuple[ShownColumn, ...]:
        studied = self.program.meant.now.focus_words()
        return tuple(
            replace(c, title=studied, words=partial(_doing, c.words), short=c.words)
            if c.sorts == "state"
            else c
            for c in super().columns_of(answer)
        )

    def sentence(self, meant: Meant, answer: Answer | None) -> str:
        asked = answer.asked if answer else self.options
        words, studying, studied = super().sentence(meant, answer).partition("; studying:")
        least = asked.get("min_attempts")
        if least:
            words += f", {_PLURAL[str(asked.get('by', 'player'))]} with {least} or more"
        return words + studying + studied


def _doing(words: Callable[[Row], str], row: Row) -> str:
    """The state, and how often he was seen doing it where that was counted."""
    if row.get("state") is None:
        return ""
    watched = row.get("state_tags")
    return f"{words(row)}  {row['state_focus_tags']} of {watched}" if watched else words(row)
