"""The whole scenario as it truly is, before anybody wrote any of it down."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from .habits import Habits, habits
from .people import Cast, cast
from .scenario import DRELLIN, FEWEST, HALMA, LARGE, OKELMAR, SMALL, SMALL_BELOW, Layout
from .schedule import Fixtures, fixtures
from .shots import Shots, joined, season_shots

# The team whose games somebody typed in beside the season totals of its league.
TYPED_TEAM = 1
_LEFT_OUT = 4


@dataclass(slots=True)
class World:
    """Everything that is true in the scenario.

    Attributes:
        seed: what it was made from.
        layout: leagues and stories.
        people: players and teams.
        games: (league, season) to its fixtures.
        habits: who shoots how.
        shots: every attempt in order of league, season and time.
        recorded: whether an attempt is in a file of attempts or box rows.
        bounds: (league, season) to the first attempt and the one after the last.
    """

    seed: int
    layout: Layout
    people: Cast
    games: dict[tuple[int, int], Fixtures]
    habits: Habits
    shots: Shots
    recorded: np.ndarray
    bounds: dict[tuple[int, int], tuple[int, int]]

    def span(self, league: int, season: int) -> slice:
        """The attempts of one league-season."""
        return slice(*self.bounds[league, season])

    def label(self, league: int, season: int) -> str:
        """The season as it is usually written."""
        return self.layout.leagues[league].label(season)

    def seasons(self, league: int) -> int:
        """How many seasons a league has."""
        return len(self.layout.leagues[league].starts)

    def only_totals(self, league: int, season: int) -> bool:
        """Whether this league-season is known by season totals (and one team's games)."""
        return (league, season) == (OKELMAR, 0)

    def only_box(self, league: int, season: int) -> bool:
        """Whether this league-season is known by box rows."""
        return (league, season) == (DRELLIN, 0)


def build(seed: int, attempts: int) -> World:
    """Make the world.

    Args:
        seed: where all chance comes from.
        attempts: attempts that the files of attempts and box rows hold together.

    Raises:
        ValueError: if there are too few attempts to fill the seasons.
    """
    layout = SMALL if attempts < SMALL_BELOW else LARGE
    if attempts < FEWEST:
        raise ValueError(f"the scenario needs at least {FEWEST} attempts")
    people = cast(layout, np.random.default_rng([seed, 1]))
    keys = [(g, s) for g, plan in enumerate(layout.leagues) for s in range(len(plan.starts))]
    rng = np.random.default_rng([seed, 2])
    games = {key: fixtures(layout.leagues[key[0]], key[1], rng) for key in keys}
    found = habits(layout, people, games, np.random.default_rng([seed, 3]))

    def play(key: tuple[int, int], count: int) -> Shots:
        plan = layout.leagues[key[0]]
        chance = np.random.default_rng([seed, 4, *key])
        return season_shots(*key, plan, people, games[key], found, count, chance)

    totals = (OKELMAR, 0)
    weights = {key: layout.leagues[key[0]].weight for key in keys}
    parts = {totals: play(totals, round(attempts * weights[totals] / sum(weights.values())))}
    typed = _typed(parts[totals])
    del weights[totals]
    for key, count in _quotas(weights, attempts - int(typed.sum())).items():
        parts[key] = play(key, count)
    bounds = {}
    at = 0
    for key in keys:
        bounds[key] = (at, at + len(parts[key]))
        at += len(parts[key])
    recorded = np.ones(at, bool)
    recorded[slice(*bounds[totals])] = typed
    shots = joined([parts[key] for key in keys])
    return World(seed, layout, people, games, found, shots, recorded, bounds)


def _quotas(weights: dict[tuple[int, int], float], attempts: int) -> dict[tuple[int, int], int]:
    """Whole numbers in proportion to the weights, with exactly the wanted sum."""
    exact = {key: attempts * w / sum(weights.values()) for key, w in weights.items()}
    counts = {key: int(x) for key, x in exact.items()}
    short = attempts - sum(counts.values())
    for key in sorted(exact, key=lambda k: counts[k] - exact[k])[:short]:
        counts[key] += 1
    return counts


def _typed(shots: Shots) -> np.ndarray:
    """The typed-in attempts: one team's, less the last game of its four busiest shooters."""
    typed: np.ndarray = shots.team == TYPED_TEAM
    players, counts = np.unique(shots.player[typed], return_counts=True)
    for number in players[np.argsort(-counts, kind="stable")][:_LEFT_OUT].tolist():
        mine = typed & (shots.player == number)
        games = np.unique(shots.game[mine])
        if games.size > 1:
            typed &= ~(mine & (shots.game == games[-1]))
    return typed


def day_texts(days: np.ndarray, form: str) -> list[str]:
    """Each ordinal as text; `form` is a strftime format."""
    known = {d: date.fromordinal(d).strftime(form) for d in np.unique(days).tolist()}
    return [known[d] for d in days.tolist()]


__all__ = ["DRELLIN", "HALMA", "OKELMAR", "TYPED_TEAM", "World", "build", "day_texts"]
