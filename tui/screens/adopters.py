"""Who does it?"""

from __future__ import annotations

from tui.actions import bindings_of
from tui.screens.question import QuestionScreen


class AdoptersScreen(QuestionScreen):
    """The share of each player's watched attempts, and what it comes to."""

    kind = "adopters"
    question = "adopters"
    heading = "Who does it?"
    BINDINGS = bindings_of("adopters")
