"""Trials on small ground: a plan, and sessions of known counts."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import Any

from tests.questions.ground import LEAGUE, SEASON, TEAM, TECHNIQUES, Ground

PLANNED = datetime(2025, 1, 1, 12)
# METHODS 6.10: 6 sessions of 50 each way.
STRAIGHT, BOARD = [29, 31, 27, 30, 28, 32], [34, 33, 36, 31, 37, 35]


def plan(
    ground: Ground,
    name: str = "Winter",
    *,
    player: str = "Tarn",
    sessions: int = 12,
    per_session: int = 50,
    practice_only: int = 0,
    at: datetime = PLANNED,
    number: int = 1,
) -> None:
    row = [
        number, name, ground.player(player), sessions, per_session, practice_only, at,
    ]  # fmt: skip
    ground.con.execute("INSERT INTO trial VALUES ($1, $2, $3, 1, 2, $4, $5, $6, 7, 'Ana', $7)", row)


def consent(
    ground: Ground,
    player: str = "Tarn",
    on: date = date(2024, 1, 1),
    until: date | None = None,
) -> None:
    ground.con.execute(
        "INSERT INTO consent VALUES (1, ?, 'player', ?, ?, 'a trial', 'Ana', ?)",
        [ground.player(player), on, until, PLANNED],
    )


def day(place: int) -> date:
    """The day of a session: the first is the day after the plan."""
    return PLANNED.date() + timedelta(days=place)


def practise(
    ground: Ground,
    on: date,
    made: dict[str, tuple[int, int]],
    *,
    player: str = "Tarn",
    came: datetime = datetime(2025, 6, 1),
    **tag: Any,
) -> None:
    """One day of practice: technique to (made, attempts)."""
    source = ground.source(2 + len(ground._ids), at_time=came)
    game = ground.game(LEAGUE, SEASON, "practice", on)
    who, team = ground.player(player), ground.team(TEAM)
    for technique, (k, n) in made.items():
        first = ground._attempts + 1
        ground._attempts += n
        ids = list(range(first, first + n))
        ground.con.execute(
            """INSERT INTO attempt
            SELECT id, $game, $who, $team, NULL, NULL, NULL, NULL, 'free_throw', NULL, NULL, NULL,
                NULL, NULL, NULL, false, false, NULL, id < $first + $made, NULL, NULL, $source,
                false
            FROM (SELECT unnest($ids::BIGINT[]) AS id)""",
            {"ids": ids, "first": first, "made": k, "game": game, "who": who, "team": team,
             "source": source},
        )  # fmt: skip
        if technique in TECHNIQUES:
            ground.tag_all(ids, technique, **tag)


def sessions(
    ground: Ground, straight: Sequence[int] = STRAIGHT, board: Sequence[int] = BOARD, n: int = 50
) -> None:
    for place, (s, b) in enumerate(zip(straight, board, strict=True), start=1):
        practise(ground, day(place), {"straight": (s, n), "board": (b, n)})
