"""Who is watched and when: lots and their tags, then suspects, then a sitting of misses."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from .files import DEMO_TAGGERS
from .manifest import Expects, ImportStep, Lot, Step, TagsForLot
from .scenario import DRELLIN, HALMA, OKELMAR
from .tags import Watched, chance, tag_file
from .world import World

# A suspect is ten times as readily picked as anybody else.
_SUSPECT, _OTHER = 0.8, 0.08
_LOOKS_LIKE = 0.15
_MISS_PLAYERS = 24


def sittings(world: World, folder: Path) -> list[Step]:
    """Lots before picks, league-season by league-season, so that a lot finds nobody tagged."""
    steps: list[Step] = []
    for league, season in world.bounds:
        if world.only_box(league, season) or world.only_totals(league, season):
            continue
        last = season == world.seasons(league) - 1
        census = (league, season) == (OKELMAR, 2)
        only_picked = league == DRELLIN and last
        if not census and not only_picked:
            steps += _lot(world, league, season)
        late = season - world.seasons(league) >= world.layout.picked_from
        if only_picked or (league == HALMA and late) or (league == OKELMAR and last):
            # Not the one of the second opinions: nobody watches an attempt twice.
            steps.append(picked_tags(world, folder, league, season, tagger=DEMO_TAGGERS[2]))
        if (league, season) == (OKELMAR, 1):
            steps.append(_misses(world, folder, league, season))
    return steps


def stem(world: World, league: int, season: int) -> str:
    """The short name of a league-season in names of files and lots."""
    return f"{world.layout.leagues[league].name.split()[0].lower()}_{world.label(league, season)}"


def _lot(world: World, league: int, season: int) -> list[Step]:
    name = f"{stem(world, league, season)} lot"
    plan = world.layout.leagues[league]
    file = f"tags_{stem(world, league, season)}_lot"
    per = world.layout.per_player[league]
    steps: list[Step] = [
        Lot(
            name, plan.name, plan.label(season), world.layout.lot_players[league],
            world.seed + 100 * league + season + 1,
        ),
        TagsForLot(name, file, DEMO_TAGGERS[0], per),
    ]  # fmt: skip
    if season % 2 == 0:
        steps.append(TagsForLot(name, f"{file}_second", DEMO_TAGGERS[1], per, every=10))
    return steps


def picked_tags(world: World, folder: Path, league: int, season: int, *, tagger: str) -> ImportStep:
    """Tags of players picked because they look like shooters off the board, and a few others."""
    file = f"tags_{stem(world, league, season)}_picked"
    rng = chance(world, file)
    part = world.span(league, season)
    numbers, where = np.unique(world.shots.player[part], return_inverse=True)
    count = np.bincount(where)
    share = np.bincount(where, weights=world.shots.technique[part] == 1) / count
    odds = np.where(share >= _LOOKS_LIKE, _SUSPECT, _OTHER)
    planted = np.isin(numbers, list(world.habits.changes))
    story = np.array([world.people.players[n].story is not None for n in numbers.tolist()])
    chosen = (count >= 5) & ((rng.random(numbers.size) < odds) | (planted & story))
    players = [_watched(world, n, season) for n in numbers[chosen].tolist()]
    path, rows = tag_file(world, folder, players, file, tagger=tagger, per_player=80)
    return ImportStep(path, "tags", {}, Expects(rows, rows), f"suspects picked by {tagger}")


def _misses(world: World, folder: Path, league: int, season: int) -> ImportStep:
    """One sitting in which only misses were looked at."""
    file = f"tags_{stem(world, league, season)}_misses"
    part = world.span(league, season)
    numbers, count = np.unique(world.shots.player[part], return_counts=True)
    busiest = numbers[np.argsort(-count, kind="stable")][:_MISS_PLAYERS]
    players = [_watched(world, n, season) for n in np.sort(busiest).tolist()]
    path, rows = tag_file(
        world, folder, players, file, tagger=DEMO_TAGGERS[2], per_player=80, only_misses=True
    )
    return ImportStep(path, "tags", {}, Expects(rows, rows), "a sitting of misses only")


def _watched(world: World, number: int, season: int) -> Watched:
    player = world.people.players[number]
    return (
        world.layout.leagues[player.league].name,
        world.label(player.league, season),
        player.name,
        world.people.teams[player.league][player.teams[season]],
    )
