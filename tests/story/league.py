"""A small league of which every part of the story can be told, asked once."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from ledger.errors import UseError
from ledger.questions.answer import Answer
from ledger.story.usual import Beside, Heard, needed
from tests.questions import changing, trying
from tests.questions.ground import Ground
from tests.questions.watching import LAST_OF_TWO, watched

BESIDE = Beside(
    rumours=(Heard("They bank them there", "2024-25", league="Halma League", player="Tarn"),),
    lists=("Spring",),
    trials=("Winter",),
)
# What the story asks of the latest season, and of the technique studied, only.
NARROWED: dict[str, dict[str, Any]] = {
    "watchlist": {"season": ["2024-25"]},
    "attempts": {"technique": ["board-assisted"]},
}
QUESTIONS = (
    *("uptake", "adopters", "ranking", "switches", "player", "misses", "candidates", "worth"),
    *("trial", "agreement", "watchlist", "attempts", "sources"),
)


def fill(ground: Ground) -> None:
    """Twelve who change nothing, one who changes, two who try and go back, a trial, a list."""
    changing.league(ground)
    changing.changed(ground, "Tarn", (28, 50), (82, 100))
    for name in ("Wurt", "Brim"):
        ground.shots(name, 30, 60, tags={"board": (2, 1), "straight": (20, 20)}, games=6)
        ground.shots(name, 30, 60, tags={"straight": (25, 25)}, games=6, first_day=30)
    for depth, side, number in (("short", "left", 4), ("level", "left", 9), ("long", "right", 3)):
        for technique, by in (("board", "offensive"), ("straight", "defensive")):
            watched(
                ground, "Oselo", technique, number, miss_depth=depth, miss_side=side,
                rebound_zone="left_side", attempt={**LAST_OF_TWO, "rebound_by": by},
            )  # fmt: skip
    ground.shortlist("Spring", ["P01", "P05", "Tarn"])
    trying.plan(ground)
    trying.consent(ground)
    trying.sessions(ground)
    ground.rumour(league="Halma League", player="Tarn")
    ground.con.execute("UPDATE game SET video = 'tape ' || id")


@cache
def answers() -> dict[str, Answer]:
    """Every answer of the league, asked as the story asks, by what was asked."""
    ground = Ground()
    try:
        fill(ground)
        found = {}
        for question in QUESTIONS:
            usual = needed(question, BESIDE)
            for options in ({}, usual, {**usual, **NARROWED.get(question, {})}):
                found[_key(question, options)] = ground.ask(question, **options)
        return found
    finally:
        ground.close()


def ask(question: str, **options: Any) -> Answer:
    """An answer of the league; a name it does not know is refused as the ledger does."""
    found = answers().get(_key(question, options))
    if found is None:
        raise UseError(f"the ledger does not know {options}")
    return found


def _key(question: str, options: Any) -> str:
    return json.dumps([question, dict(options)], sort_keys=True)
