"""The players file, the shortlist and the rumour."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from .manifest import Expects, ImportStep, ListEntry, Rumour
from .people import Player
from .scenario import DRELLIN, HALMA, OKELMAR
from .tables import cell, write
from .world import World

LIST_NAME = "autumn"
_WANTED = ((HALMA, 4), (DRELLIN, 1), (OKELMAR, 1))
# Attempts of the one who was hardly seen, as nearly as there is somebody.
_FEW = 14


def players_file(world: World, folder: Path) -> ImportStep:
    """Position, size, year of birth and hand of everybody who ever shot."""
    out = ["player,league,team,season,number,position,height_cm,mass_kg,birth_year,hand"]
    for number in np.unique(world.shots.player).tolist():
        player = world.people.players[number]
        season = max(player.teams)
        team = player.teams[season]
        roster = world.people.roster[player.league, season][team].tolist()
        out.append(
            f"{cell(player.name)},{world.layout.leagues[player.league].name},"
            f"{cell(world.people.teams[player.league][team])},{world.label(player.league, season)},"
            f"{roster.index(number) + 4},{player.position},{player.height_cm},{player.mass_kg},"
            f"{player.birth_year},{player.hand}"
        )
    path = write(folder / "players.csv", out)
    return ImportStep(
        path, "players", {}, Expects(len(out) - 1, len(out) - 1), "who the players are"
    )


def shortlist_file(world: World, folder: Path) -> tuple[ImportStep, tuple[ListEntry, ...]]:
    """Eight players to look at: six who might gain, one who does it already, one hardly seen."""
    entries = tuple(_shortlist(world))
    out = ["list,player,league,note"]
    out += [",".join(map(cell, (e.list, e.player, e.league, e.note))) for e in entries]
    path = write(folder / "shortlist.csv", out)
    count = len(entries)
    step = ImportStep(path, "shortlist", {}, Expects(count, count), f"the list {LIST_NAME}")
    return step, entries


def rumour(world: World) -> Rumour:
    """What somebody saw on a stream, and asked about."""
    league = world.layout.leagues[HALMA]
    noticed = _noticed(world)
    season = len(league.starts) - 1
    return Rumour(
        text="They shoot their free throws off the backboard in the Halma League now",
        season=league.label(season),
        player=noticed.name,
        league=league.name,
        seen=f"{league.starts[season] + 1}-03-02",
        where="a stream of a game of his",
    )


def _noticed(world: World) -> Player:
    return next(p for p in world.people.players if p.story and p.story.name == "noticed")


def _shortlist(world: World) -> list[ListEntry]:
    entries: list[ListEntry] = []
    for league, wanted in _WANTED:
        seen = _last_season(world, league)
        busy = float(np.quantile([count for _, count, _ in seen], 2 / 3))
        straight = [(count < busy, p.ability, p) for p, count, board in seen if board == 0]
        weakest = sorted(straight, key=lambda row: row[:2])[:wanted]
        entries += [_entry(world, p, "takes many, makes few") for _, _, p in weakest]
    seen = _last_season(world, HALMA)
    does = [(count, p) for p, count, board in seen if board > 0.5 * count]
    adopter = max(does, key=lambda pair: pair[0])[1] if does else _noticed(world)
    career = np.bincount(world.shots.player)
    listed = {entry.player for entry in entries}
    rare = min(
        (p for p, _, board in seen if board == 0 and p.name not in listed),
        key=lambda p: abs(int(career[p.number]) - _FEW),
    )
    entries.append(_entry(world, adopter, "said to shoot off the backboard already"))
    entries.append(_entry(world, rare, "hardly played"))
    return entries


def _last_season(world: World, league: int) -> list[tuple[Player, int, int]]:
    """Players of the last season without a story, their attempts and their board attempts."""
    part = world.span(league, world.seasons(league) - 1)
    numbers, where = np.unique(world.shots.player[part], return_inverse=True)
    count = np.bincount(where)
    board = np.bincount(where, weights=world.shots.technique[part] == 1).astype(int)
    found = []
    for number, n, f in zip(numbers.tolist(), count.tolist(), board.tolist(), strict=True):
        player = world.people.players[number]
        if not (player.twin or player.underhand or player.story):
            found.append((player, n, f))
    return found


def _entry(world: World, player: Player, note: str) -> ListEntry:
    return ListEntry(LIST_NAME, player.name, world.layout.leagues[player.league].name, note)
