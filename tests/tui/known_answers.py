"""Real answers over small ground, asked once, for tests of the screens that show them."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

from ledger.questions.answer import Answer
from tests.questions import changing, trying
from tests.questions.ground import Ground
from tests.questions.test_agreement import sixty
from tests.questions.test_candidates import filled
from tests.questions.watching import watched

# What a question has to be told before it can be asked of the small league.
NEEDED: dict[str, dict[str, Any]] = {
    "trial": {"name": "Winter"},
    "player": {"player": "Tarn"},
    "candidates": {"list": "Spring"},
}


def known(question: str, **asked: Any) -> Answer:
    """The answer to a question about a small league in which Tarn changed his shot."""
    given = {**NEEDED.get(question, {}), **asked}
    named = {k: tuple(v) if isinstance(v, list) else v for k, v in given.items()}
    return _asked(question, tuple(sorted(named.items())))


@cache
def _asked(question: str, options: tuple[tuple[str, Any], ...]) -> Answer:
    return GROUNDS.get(question, small_league)().ask(question, **dict(options))


@cache
def small_league() -> Ground:
    """Twelve players who change nothing, one who changes, misses looked at, a trial, a list."""
    ground = Ground(apart=True)
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


@cache
def two_watchers() -> Ground:
    """Sixty attempts told by Ana and by Bo: 58 techniques alike, 31 of 40 depths of misses."""
    ground = Ground(apart=True)
    sixty(ground)
    return ground


@cache
def three_changed() -> Ground:
    """A league in which three players changed their shot, and three others on a list."""
    ground = Ground(apart=True)
    filled(ground)
    return ground


# Misses by depth and side, then live misses by side and zone, of each of five players.
_MISSES = {
    "board": (("long", "left", 5), ("level", "left", 7), ("short", "centre", 2),
              ("level", "right", 6), ("long", "right", 4)),
    "straight": (("short", "centre", 9), ("long", "centre", 7), ("level", "left", 2),
                 ("level", "right", 2), ("short", "right", 4)),
}  # fmt: skip
_ZONES = {
    "left": ("left_side", "left_side", "left_corner", "front", "right_side"),
    "centre": ("front", "front", "front", "high", "behind"),
    "right": ("right_side", "right_side", "right_corner", "front", "left_side"),
}


@cache
def five_shooters() -> Ground:
    """Misses of five players, off the backboard more often by the side, with their rebounds."""
    ground = Ground(apart=True)
    changing.league(ground)
    for i in range(5):
        for technique, misses in _MISSES.items():
            watched(ground, f"P{i:02}", technique, 40, made=True)
            for depth, side, number in misses:
                for at in range(number):
                    watched(ground, f"P{i:02}", technique, 1, miss_depth=depth, miss_side=side,
                            rebound_zone=_ZONES[side][at % 5],
                            attempt={"rebound_by": "offensive" if at == 4 else "defensive"},
                            )  # fmt: skip
    watched(ground, "P06", "underhand", 4, miss_depth="short", miss_side="left")
    return ground


GROUNDS: dict[str, Callable[[], Ground]] = {
    "agreement": two_watchers,
    "candidates": three_changed,
    "misses": five_shooters,
    "switches": three_changed,
}
