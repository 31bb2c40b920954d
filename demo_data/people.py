"""Players, their teams and how often they go to the line.

Each team has a fixed number of places. A place is held by one player in a season; over a summer
he may leave the league or change places with a player of another team.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from .names import player_names, team_names
from .scenario import HALMA, Layout, LeaguePlan, Story

_LEAVES = 0.17
_MOVES = 0.08
_POSITIONS = ("guard", "forward", "centre")
_HEIGHTS = {"guard": 190.0, "forward": 201.0, "centre": 210.0}
# The place of the two players of one name; the same in teams 0 and 1 of the first league.
_TWIN_SLOT = 5


@dataclass(slots=True)
class Player:
    """One invented player.

    Attributes:
        number: place in the list of all players.
        league: number of his league.
        name: as the league writes it.
        ability: true make rate of a free throw, before any planted effect.
        teams: season to number of his team.
        story: the planted story, where he is part of one.
        twin: whether another player of the league has the same name.
        underhand: whether he shoots all his free throws underhand.
    """

    number: int
    league: int
    name: str
    ability: float
    teams: dict[int, int] = field(default_factory=dict)
    story: Story | None = None
    twin: bool = False
    underhand: bool = False
    position: str = ""
    height_cm: int = 0
    mass_kg: int = 0
    birth_year: int = 0
    hand: str = "right"


@dataclass(slots=True)
class Cast:
    """All players, all teams, and who plays where.

    Attributes:
        players: all of them; a player's number is his place.
        teams: names of the teams of each league.
        roster: (league, season) to an array of players, teams x places.
        usage: (league, season) to the share of the team's trips, teams x places, rows sum to 1.
    """

    players: list[Player]
    teams: list[list[str]]
    roster: dict[tuple[int, int], np.ndarray]
    usage: dict[tuple[int, int], np.ndarray]


def cast(layout: Layout, rng: np.random.Generator) -> Cast:
    """Fill every place of every team in every season."""
    teams: list[list[str]] = []
    for plan in layout.leagues:
        teams.append(team_names(plan.teams, rng, [name for known in teams for name in known]))
    made = Cast([], teams, {}, {})
    for league, plan in enumerate(layout.leagues):
        stories = [s for s in layout.stories if s.league == league]
        _careers(made, league, plan, _pins(league, plan, stories), rng)
        _usage(made, league, plan, rng)
    _name(made, rng)
    for league, plan in enumerate(layout.leagues):
        _bodies(made, league, plan, rng)
    return made


def place_of(story: Story, plan: LeaguePlan) -> tuple[int, int]:
    """Team and place of a planted player."""
    return story.place % plan.teams, story.place // plan.teams


@dataclass(frozen=True, slots=True)
class _Pin:
    first: int
    last: int
    story: Story | None


def _pins(league: int, plan: LeaguePlan, stories: list[Story]) -> dict[tuple[int, int], _Pin]:
    seasons = len(plan.starts)
    pins = {
        place_of(s, plan): _Pin(max(0, seasons + s.first), seasons + s.last, s) for s in stories
    }
    if league == HALMA:
        for team in (0, 1):
            pins[team, _TWIN_SLOT] = _Pin(seasons - 4, seasons - 1, None)
    return pins


def _careers(
    made: Cast,
    league: int,
    plan: LeaguePlan,
    pins: dict[tuple[int, int], _Pin],
    rng: np.random.Generator,
) -> None:
    def newcomer(pin: _Pin | None) -> int:
        a = plan.mean * plan.strength
        drawn = float(rng.beta(a, plan.strength - a))
        story = pin.story if pin else None
        talent = drawn if story is None or story.talent is None else story.talent
        player = Player(len(made.players), league, "", talent, story=story)
        player.twin = pin is not None and story is None
        made.players.append(player)
        return player.number

    places = [(t, s) for t in range(plan.teams) for s in range(plan.roster)]
    held = np.zeros((plan.teams, plan.roster), dtype=np.int64)
    for season in range(len(plan.starts)):
        free = []
        for place in places:
            pin = pins.get(place)
            pinned = pin is not None and pin.first <= season <= pin.last
            starts = pin is not None and season in (pin.first, pin.last + 1)
            if season == 0 or starts or (not pinned and rng.random() < _LEAVES):
                held[place] = newcomer(pin if pinned else None)
            elif not pinned and rng.random() < _MOVES:
                free.append(place)
        order = rng.permutation(len(free)).tolist()
        for left, right in zip(order[::2], order[1::2], strict=False):
            a, b = free[left], free[right]
            held[a], held[b] = int(held[b]), int(held[a])
        made.roster[league, season] = held.copy()
        for place in places:
            made.players[int(held[place])].teams[season] = place[0]


def _usage(made: Cast, league: int, plan: LeaguePlan, rng: np.random.Generator) -> None:
    steepness = np.exp(-0.24 * np.arange(plan.roster))
    for season in range(len(plan.starts)):
        held = made.roster[league, season]
        share = steepness * rng.lognormal(0, 0.3, held.shape)
        planted = np.array(
            [[made.players[p].story is not None for p in row] for row in held.tolist()]
        )
        share = np.where(planted, steepness[0] * 1.1, share)
        made.usage[league, season] = share / share.sum(axis=1, keepdims=True)


def _name(made: Cast, rng: np.random.Generator) -> None:
    names = player_names(len(made.players), rng)
    for player, name in zip(made.players, names, strict=True):
        player.name = name
    twins = [p for p in made.players if p.twin]
    for player in twins[1:]:
        player.name = twins[0].name


def _bodies(made: Cast, league: int, plan: LeaguePlan, rng: np.random.Generator) -> None:
    mine = [p for p in made.players if p.league == league]
    free = [p for p in mine if p.story is None and not p.twin]
    for place in rng.permutation(len(free))[: max(1, len(mine) // 150)].tolist():
        free[place].underhand = True
    for player in mine:
        player.position = _POSITIONS[int(rng.integers(3))]
        player.height_cm = int(rng.normal(_HEIGHTS[player.position], 5))
        player.mass_kg = int(player.height_cm - 106 + rng.normal(0, 5))
        player.birth_year = plan.starts[min(player.teams)] - int(rng.integers(19, 32))
        player.hand = "left" if rng.random() < 0.1 else "right"
