"""The fixtures of one season: a round robin by weeks, then a play-off of the first teams."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from .scenario import LeaguePlan


@dataclass(frozen=True, slots=True)
class Fixtures:
    """The games of one season in order of date.

    Attributes:
        home: number of the home team, one a game.
        away: number of the visiting team.
        day: day of the game as a proleptic ordinal.
        playoff: whether it belongs to the play-off.
        first: first day of the regular season.
        last: last day of the regular season.
    """

    home: np.ndarray
    away: np.ndarray
    day: np.ndarray
    playoff: np.ndarray
    first: int
    last: int


def fixtures(plan: LeaguePlan, season: int, rng: np.random.Generator) -> Fixtures:
    """Everybody meets everybody `plan.meetings` times, one round a week, then the play-off."""
    rows: list[tuple[int, int, int, bool]] = []
    start = date(plan.starts[season], 10, 1)
    saturday = start + timedelta(days=(5 - start.weekday()) % 7)
    week = 0
    for cycle in range(plan.meetings):
        for pairs in _rounds(plan.teams):
            for home, away in pairs:
                day = saturday + timedelta(days=7 * week + int(rng.integers(2)))
                sides = (home, away) if cycle % 2 == 0 else (away, home)
                rows.append((*sides, day.toordinal(), False))
            week += 1
    last = max(row[2] for row in rows)
    rows += _playoff(plan.teams, saturday + timedelta(days=7 * week), rng)
    rows.sort(key=lambda row: (row[2], row[0]))
    table = np.array(rows, dtype=np.int64)
    return Fixtures(
        table[:, 0], table[:, 1], table[:, 2], table[:, 3].astype(bool), saturday.toordinal(), last
    )


def _rounds(teams: int) -> list[list[tuple[int, int]]]:
    """The circle method: teams - 1 rounds in which every team plays once."""
    ring = list(range(teams))
    rounds = []
    for number in range(teams - 1):
        pairs = [(ring[i], ring[-1 - i]) for i in range(teams // 2)]
        rounds.append(pairs if number % 2 == 0 else [(b, a) for a, b in pairs])
        ring.insert(1, ring.pop())
    return rounds


def _playoff(teams: int, start: date, rng: np.random.Generator) -> list[tuple[int, int, int, bool]]:
    alive = rng.permutation(teams)[: 8 if teams >= 8 else 4].tolist()
    rows: list[tuple[int, int, int, bool]] = []
    week = 0
    while len(alive) > 1:
        through = []
        for a, b in zip(alive[::2], alive[1::2], strict=True):
            for game in range(2 if len(alive) > 2 else 3):
                sides = (a, b) if game % 2 == 0 else (b, a)
                rows.append(
                    (*sides, (start + timedelta(days=7 * week + 3 * game)).toordinal(), True)
                )
            through.append(a if rng.random() < 0.5 else b)
        alive = through
        week += 1
    return rows
