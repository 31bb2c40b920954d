"""Who shoots off the backboard in which season, and what that does to his make rate.

The share of a league is steered to its planted growth: season by season players take the
technique up until the expected share of attempts reaches the target.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from .people import Cast
from .scenario import SUMMER_EFFECT, Layout, LeaguePlan
from .schedule import Fixtures

_FULL = 0.95
_SPRINKLE = 0.02


@dataclass(frozen=True, slots=True)
class Change:
    """A player's change of technique.

    Attributes:
        player: his number.
        name: the story's name, or `summer`.
        shape: sharp, gradual, tried, returned, or summer.
        season: season of the change.
        day: first day of the new technique, as an ordinal.
        back: first day of the old technique again, where there is one.
        until: last day of a gradual change.
        effect: planted change of his make rate.
    """

    player: int
    name: str
    shape: str
    season: int
    day: int
    back: int | None
    until: int | None
    effect: float


@dataclass(slots=True)
class Habits:
    """The chance of a board attempt, and every planted change.

    Attributes:
        chance: players x seasons; what holds where no change inside a season says otherwise.
        changes: player to his change.
        born: players who shot off the backboard from their first attempt on.
    """

    chance: np.ndarray
    changes: dict[int, Change] = field(default_factory=dict)
    born: set[int] = field(default_factory=set)

    def board_chance(self, player: np.ndarray, season: int, day: np.ndarray) -> np.ndarray:
        """Chance that each attempt goes off the backboard.

        Args:
            player: one player number an attempt.
            season: the season all of them belong to.
            day: day of each attempt as an ordinal.
        """
        found: np.ndarray = self.chance[player, season]
        for number, change in self.changes.items():
            if change.shape == "summer":
                continue
            rows = np.flatnonzero(player == number)
            if rows.size:
                found[rows] = _FULL * _phase(change, day[rows])
        return found

    def effect(self, player: np.ndarray, day: np.ndarray) -> np.ndarray:
        """Planted change of the make rate of each attempt."""
        found = np.zeros(player.size)
        for number, change in self.changes.items():
            if change.effect:
                rows = np.flatnonzero(player == number)
                found[rows] = change.effect * _phase(change, day[rows])
        return found


def habits(
    layout: Layout, people: Cast, games: dict[tuple[int, int], Fixtures], rng: np.random.Generator
) -> Habits:
    """Plant the changes and steer every league to its targets."""
    seasons = max(len(plan.starts) for plan in layout.leagues)
    made = Habits(np.zeros((len(people.players), seasons)))
    for player in people.players:
        luck = rng.random()
        if player.story is None and not player.underhand:
            level = rng.uniform(0.15, 0.3) if luck < 0.02 else _SPRINKLE if luck < 0.1 else 0.0
            made.chance[player.number] = level
    for player in people.players:
        if player.story is not None:
            _plant(made, player.number, layout, people, games)
    for league, plan in enumerate(layout.leagues):
        for season in range(len(plan.starts)):
            _steer(made, league, season, plan, people, games[league, season], rng)
    return made


def _phase(change: Change, day: np.ndarray) -> np.ndarray:
    """How far the change has gone on each day, 0..1."""
    if change.shape == "tried":
        return np.zeros(day.size)
    if change.until is not None:
        part: np.ndarray = np.clip((day - change.day) / (change.until - change.day), 0, 1)
        return part
    after = day >= change.day
    if change.back is not None:
        after &= day < change.back
    return after.astype(float)


def _plant(
    made: Habits,
    number: int,
    layout: Layout,
    people: Cast,
    games: dict[tuple[int, int], Fixtures],
) -> None:
    player = people.players[number]
    story = player.story
    assert story is not None
    seasons = len(layout.leagues[player.league].starts)

    def on(season: int, when: float) -> int:
        table = games[player.league, season]
        wanted = table.first + when * (table.last - table.first)
        mine = table.day[
            (table.home == player.teams[season]) | (table.away == player.teams[season])
        ]
        return int(mine[np.searchsorted(mine, wanted)])

    season = seasons + story.season
    change = Change(
        number,
        story.name,
        story.shape,
        season,
        on(season, story.when),
        None if story.back is None else on(seasons + story.back, story.when),
        games[player.league, season].last if story.shape == "gradual" else None,
        story.effect,
    )
    made.changes[number] = change
    for played in player.teams:
        table = games[player.league, played]
        made.chance[number, played] = _FULL * float(_phase(change, table.day).mean())


def _steer(
    made: Habits,
    league: int,
    season: int,
    plan: LeaguePlan,
    people: Cast,
    table: Fixtures,
    rng: np.random.Generator,
) -> None:
    held = people.roster[league, season].ravel()
    weight = people.usage[league, season].ravel() / plan.teams
    gap = plan.targets[season] - float((weight * made.chance[held, season]).sum())
    open_to = [
        place
        for place, number in enumerate(held.tolist())
        if not _taken(made, people, number) and made.chance[number, season] <= _SPRINKLE
    ]
    while gap > 0.002:
        fits = [place for place in open_to if _FULL * weight[place] <= gap + 0.002]
        if not fits:
            return
        new = np.array([min(people.players[held[p]].teams) == season for p in fits])
        odds = np.where(new, 3.0, 1.0)
        place = fits[int(rng.choice(len(fits), p=odds / odds.sum()))]
        open_to.remove(place)
        number = int(held[place])
        gap -= (_FULL - float(made.chance[number, season])) * float(weight[place])
        made.chance[number, season:] = _FULL
        if season == 0 or min(people.players[number].teams) == season:
            made.born.add(number)
        else:
            effect = round(float(rng.normal(*SUMMER_EFFECT)), 3)
            made.changes[number] = Change(
                number, "summer", "summer", season, table.first, None, None, effect
            )


def _taken(made: Habits, people: Cast, number: int) -> bool:
    player = people.players[number]
    known = number in made.changes or number in made.born
    return known or player.story is not None or player.twin or player.underhand
