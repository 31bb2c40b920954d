"""Stories of ground on which little can be told, each told once."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

from ledger.questions.answer import Answer
from ledger.story.story import Story
from ledger.story.tell import tell
from ledger.story.usual import Beside
from tests.questions import test_headlines as grounds
from tests.questions.ground import Ground

THIN = (
    *(grounds.one_player, grounds.thin, grounds.untagged, grounds.watched_whole, grounds.picked),
)


def told(ground: Ground) -> tuple[Story, dict[str, Answer]]:
    """The story of a ground, and the answers it was told from."""
    answers: dict[str, Answer] = {}

    def ask(question: str, **asked: Any) -> Answer:
        answers[question] = ground.ask(question, **asked)
        return answers[question]

    return tell(ask, Beside()), answers


@cache
def thin(fill: Callable[[Ground], None]) -> tuple[Story, dict[str, Answer]]:
    """The same of a ground that is filled so."""
    ground = Ground()
    try:
        fill(ground)
        return told(ground)
    finally:
        ground.close()
