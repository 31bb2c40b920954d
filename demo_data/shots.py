"""Every attempt of one season: who, when, how, and what became of it. All of it in arrays."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from .habits import Habits
from .people import Cast
from .scenario import BAD_START, OFFENSIVE_REBOUND, TRIED, LeaguePlan
from .schedule import Fixtures

TECHNIQUES = ("straight", "board", "underhand")
KINDS = ("personal", "technical", "flagrant", "one_and_one")
DEPTHS = ("short", "level", "long")
SIDES = ("left", "centre", "right")
ZONES = ("front", "left_side", "right_side", "left_corner", "right_corner", "high", "behind")
REBOUNDS = ("offensive", "defensive", "out")
CONTACTS = ("none", "ring", "board")
HEIGHTS = ("below_top_line", "at_top_line", "above_top_line")
NOTHING = -1

# Trips by kind, size and share: round figures of no league in particular.
_TRIPS = ((0, 2, 0.70), (0, 1, 0.18), (0, 3, 0.04), (1, 1, 0.05), (2, 2, 0.03))
_DEPTH_ODDS = np.array([[0.42, 0.18, 0.40], [0.26, 0.34, 0.40], [0.36, 0.24, 0.40]])
_SIDE_ODDS = np.array([[0.21, 0.55, 0.24], [0.36, 0.25, 0.39], [0.22, 0.54, 0.24]])
_ZONE_ODDS = np.array(
    [
        [0.22, 0.46, 0.08, 0.16, 0.02, 0.05, 0.01],
        [0.58, 0.12, 0.12, 0.02, 0.02, 0.13, 0.01],
        [0.22, 0.08, 0.46, 0.02, 0.16, 0.05, 0.01],
    ]
)
_CONTACT_ODDS = np.array(
    # made and missed, each by technique
    [
        [[0.45, 0.53, 0.02], [0.0, 0.0, 1.0], [0.40, 0.58, 0.02]],
        [[0.03, 0.87, 0.10], [0.0, 0.02, 0.98], [0.03, 0.87, 0.10]],
    ]
)
_HEIGHT_ODDS = np.array([0.25, 0.45, 0.30])
_CONTACT_SIDE_ODDS = np.array([0.2, 0.6, 0.2])


@dataclass(slots=True)
class Shots:
    """Attempts in the order in which they happened; one entry each in every array.

    Codes are places in the word lists above; -1 where there is nothing to say.
    """

    league: np.ndarray
    season: np.ndarray
    game: np.ndarray
    home: np.ndarray
    away: np.ndarray
    day: np.ndarray
    playoff: np.ndarray
    team: np.ndarray
    player: np.ndarray
    period: np.ndarray
    clock: np.ndarray
    order: np.ndarray
    nth: np.ndarray
    trip_shot: np.ndarray
    trip_of: np.ndarray
    kind: np.ndarray
    violation: np.ndarray
    made: np.ndarray
    technique: np.ndarray
    depth: np.ndarray
    side: np.ndarray
    rebound: np.ndarray
    zone: np.ndarray
    contact: np.ndarray
    height: np.ndarray
    contact_side: np.ndarray
    falling: np.ndarray

    def __len__(self) -> int:
        return int(self.player.size)


def joined(parts: list[Shots]) -> Shots:
    """Several seasons as one; games get numbers that stay apart."""
    first = 0
    for part in parts:
        part.game += first
        first = int(part.game.max()) + 1
    return Shots(
        **{f.name: np.concatenate([getattr(p, f.name) for p in parts]) for f in fields(Shots)}
    )


def season_shots(
    league: int,
    season: int,
    plan: LeaguePlan,
    people: Cast,
    table: Fixtures,
    habits: Habits,
    attempts: int,
    rng: np.random.Generator,
) -> Shots:
    """Exactly `attempts` free throws of one season."""
    trips = _trips(people, league, season, table, plan, attempts, rng)
    keep, size, good = _outcomes(trips, people, habits, table, attempts, rng)
    row = np.repeat(keep, size)
    shot = np.arange(row.size) - np.repeat(np.cumsum(size) - size, size) + 1
    of = np.repeat(np.where(trips.kind[keep] == 3, 2, np.maximum(size, 1)), size)
    player, game = trips.player[row], trips.game[row]
    day = table.day[game]
    made = good[row, shot - 1]
    technique = (rng.random(row.size) < habits.board_chance(player, season, day)).astype(np.int8)
    under = np.array([p.number for p in people.players if p.underhand])
    technique[np.isin(player, under)] = 2
    _stories(player, season, day, made, technique, people, habits, rng)
    period, clock = _clock(trips.elapsed[row])
    violation = ~made & (rng.random(row.size) < 0.004)
    n = row.size
    after = _aftermath(made, technique, violation, trips.kind[row], shot, of, rng)
    return Shots(
        np.full(n, league, np.int8), np.full(n, season, np.int8), game.astype(np.int64),
        table.home[game], table.away[game], day, table.playoff[game], trips.team[row], player,
        period, clock, _count(game), _nth(game, player), shot, of, trips.kind[row], violation,
        made, technique, *after,
    )  # fmt: skip


@dataclass(slots=True)
class _Trips:
    game: np.ndarray
    team: np.ndarray
    player: np.ndarray
    elapsed: np.ndarray
    kind: np.ndarray
    size: np.ndarray


def _trips(
    people: Cast,
    league: int,
    season: int,
    table: Fixtures,
    plan: LeaguePlan,
    attempts: int,
    rng: np.random.Generator,
) -> _Trips:
    count = int(attempts / 1.5) + 60
    games = table.day.size
    odds = rng.lognormal(0, 0.2, 2 * games)
    side = rng.choice(2 * games, count, p=odds / odds.sum())
    game = side // 2
    team = np.where(side % 2 == 0, table.home[game], table.away[game])
    player = np.zeros(count, np.int64)
    for number in range(plan.teams):
        rows = np.flatnonzero(team == number)
        held = people.roster[league, season][number]
        player[rows] = rng.choice(held, rows.size, p=people.usage[league, season][number])
    overtime = rng.random(games) < 0.05
    elapsed = rng.integers(1, np.where(overtime[game], 2700, 2400))
    which = rng.choice(len(_TRIPS), count, p=np.array([t[2] for t in _TRIPS]))
    kind = np.array([t[0] for t in _TRIPS])[which]
    size = np.array([t[1] for t in _TRIPS])[which]
    kind[(kind == 0) & (size == 2) & (rng.random(count) < plan.one_and_one)] = 3
    return _Trips(game, team, player, elapsed, kind, size)


def _outcomes(
    trips: _Trips,
    people: Cast,
    habits: Habits,
    table: Fixtures,
    attempts: int,
    rng: np.random.Generator,
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The trips that are kept in order of time, their sizes, and whether each shot goes in."""
    ability = np.array([p.ability for p in people.players])
    rate = ability[trips.player] + habits.effect(trips.player, table.day[trips.game])
    good = rng.random((trips.player.size, 3)) < np.clip(rate, 0.3, 0.97)[:, None]
    size = np.where((trips.kind == 3) & ~good[:, 0], 1, trips.size)
    total = np.cumsum(size)
    whole = int(np.searchsorted(total, attempts, "right"))
    rest = attempts - (int(total[whole - 1]) if whole else 0)
    size[whole : whole + rest] = 1
    trips.kind[whole : whole + rest] = 0
    kept = np.arange(whole + rest)
    order = kept[np.lexsort((kept, trips.elapsed[kept], trips.game[kept]))]
    return order, size[order], good


def _stories(
    player: np.ndarray,
    season: int,
    day: np.ndarray,
    made: np.ndarray,
    technique: np.ndarray,
    people: Cast,
    habits: Habits,
    rng: np.random.Generator,
) -> None:
    """The two things that chance alone would not give: the six tries and the bad start."""
    for change in habits.changes.values():
        if change.season != season or change.name not in {"tried", "bad_start"}:
            continue
        mine = player == change.player
        if change.name == "tried":
            technique[np.flatnonzero(mine & (day >= change.day))[:TRIED]] = 1
            continue
        before = np.flatnonzero(mine & (day < change.day))
        wanted = round(before.size * (people.players[change.player].ability - BAD_START))
        made[before] = False
        made[rng.permutation(before)[:wanted]] = True


def _clock(elapsed: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Period and seconds left in it; four periods of ten minutes, overtime of five."""
    period = np.minimum(elapsed // 600, 4) + 1
    ends = np.where(period == 5, 2700, period * 600)
    return period, ends - elapsed


def _count(game: np.ndarray) -> np.ndarray:
    """1, 2, 3 … within each run of equal games."""
    starts = np.flatnonzero(np.r_[True, game[1:] != game[:-1]])
    place: np.ndarray = (
        np.arange(game.size) - np.repeat(starts, np.diff(np.r_[starts, game.size])) + 1
    )
    return place


def _nth(game: np.ndarray, player: np.ndarray) -> np.ndarray:
    """Which attempt of his in that game each one is."""
    order = np.lexsort((np.arange(game.size), player, game))
    key = game[order] * (int(player.max()) + 1) + player[order]
    found = np.zeros(game.size, np.int64)
    found[order] = _count(key)
    return found


def _pick(odds: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """One draw a row; `odds` is rows x choices."""
    passed = rng.random((odds.shape[0], 1)) > np.cumsum(odds, axis=1)
    drawn: np.ndarray = np.minimum(passed.sum(axis=1), odds.shape[1] - 1)
    return drawn


def _aftermath(
    made: np.ndarray,
    technique: np.ndarray,
    violation: np.ndarray,
    kind: np.ndarray,
    shot: np.ndarray,
    of: np.ndarray,
    rng: np.random.Generator,
) -> tuple[np.ndarray, ...]:
    """Depth, side, rebound, zone, first contact, its height and side, whether on the way down."""
    n = made.size
    missed = ~made
    depth = np.where(missed, _pick(_DEPTH_ODDS[technique], rng), NOTHING)
    side = np.where(missed, _pick(_SIDE_ODDS[technique], rng), NOTHING)
    live = missed & ~violation & (((kind == 0) & (shot == of)) | (kind == 3))
    offence = np.array([OFFENSIVE_REBOUND[t] for t in TECHNIQUES])[technique]
    odds = np.column_stack([offence, 0.96 - offence, np.full(n, 0.04)])
    rebound = np.where(live, _pick(odds, rng), NOTHING)
    zone = np.where(live, _pick(_ZONE_ODDS[np.maximum(side, 0)], rng), NOTHING)
    contact = _pick(_CONTACT_ODDS[missed.astype(int), technique], rng)
    off_board = contact == 2
    height = np.where(off_board, _pick(np.tile(_HEIGHT_ODDS, (n, 1)), rng), NOTHING)
    drawn = _pick(np.tile(_CONTACT_SIDE_ODDS, (n, 1)), rng)
    contact_side = np.where(off_board, np.where(missed & (side != 1), side, drawn), NOTHING)
    falling = off_board & (rng.random(n) < 0.62)
    return depth, side, rebound, zone, contact, height, contact_side, falling
