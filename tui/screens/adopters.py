"""Who does it?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.actions import bindings_of
from tui.screens.question import QuestionScreen

if TYPE_CHECKING:
    from ledger.questions.answer import Answer


class AdoptersScreen(QuestionScreen):
    """The share of each player's watched attempts, and what it comes to."""

    kind = "adopters"
    question = "adopters"
    heading = "Who does it?"
    BINDINGS = bindings_of("adopters")

    def notes_of(self, answer: Answer) -> tuple[str, ...]:
        """The count among the first N before all else: it is what a scout asks next."""
        counted = answer.more.get("top_n")
        if counted is None or not counted.height:
            return answer.notes
        lead = f"Of the first {counted['n'][0]},"
        return tuple(sorted(answer.notes, key=lambda note: not note.startswith(lead)))
