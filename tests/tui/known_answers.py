"""Real answers over small ground, asked once, for tests of the screens that show them."""

from __future__ import annotations

from functools import cache
from typing import Any

from ledger.questions.answer import Answer
from tests.questions import changing, trying
from tests.questions.ground import Ground
from tests.questions.watching import watched

# What a question has to be told before it can be asked of the small league.
NEEDED: dict[str, dict[str, Any]] = {
    "trial": {"name": "Winter"},
    "player": {"player": "Tarn"},
    "candidates": {"list": "Spring"},
}


def known(question: str, **asked: Any) -> Answer:
    """The answer to a question about a small league in which Tarn changed his shot."""
    return _asked(question, tuple(sorted({**NEEDED.get(question, {}), **asked}.items())))


@cache
def _asked(question: str, options: tuple[tuple[str, Any], ...]) -> Answer:
    return small_league().ask(question, **dict(options))


@cache
def small_league() -> Ground:
    """Twelve players who change nothing, one who changes, misses looked at, a trial, a list."""
    ground = Ground()
    changing.league(ground)
    changing.changed(ground, "Tarn", (28, 50), (82, 100))
    for depth, side, number in (("short", "left", 4), ("level", "left", 9), ("long", "right", 3)):
        for technique in ("board", "straight"):
            watched(ground, "Oselo", technique, number, miss_depth=depth, miss_side=side,
                    rebound_zone="left_side")  # fmt: skip
    ground.shortlist("Spring", ["P01", "P05", "Tarn"])
    trying.plan(ground)
    trying.consent(ground)
    trying.sessions(ground)
    return ground
