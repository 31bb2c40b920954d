"""Tag files: what somebody saw on film, with the slips that watching brings.

One tag in a hundred names the wrong technique, three in a hundred cannot be told, one depth or
side in twenty is misread, and not everybody uses the same words.
"""

from __future__ import annotations

import unicodedata
import zlib
from collections.abc import Sequence
from functools import cache
from pathlib import Path

import numpy as np

from .scenario import HALMA
from .shots import CONTACTS, DEPTHS, HEIGHTS, NOTHING, SIDES, ZONES
from .tables import (
    attempt_ids,
    cell,
    coded,
    game_labels,
    lines,
    numbers,
    write,
)
from .world import World, day_texts

Watched = tuple[str, str, str] | tuple[str, str, str, str]

_MISREAD = 0.01
_CANNOT_TELL = 0.03
_MISS_MISREAD = 0.05
_SPELLINGS = (
    (("straight", 0.82), ("direct", 0.18)),
    (("board", 0.6), ("off the glass", 0.15), ("banked", 0.15), ("off the backboard", 0.1)),
    (("underhand", 1.0),),
)
_SEEN = (
    "technique",
    "first_contact",
    "contact_height",
    "contact_side",
    "down_at_board",
    "miss_depth",
    "miss_side",
    "rebound_zone",
    "confidence",
)
_BY_ID = ("league", "attempt_id")
_BY_NTH = ("league", "season", "date", "game", "team", "player", "shot", "nth")
_REST = ("picked_for", "video_s", "note")


def chance(world: World, name: str) -> np.random.Generator:
    """The chance of one sitting: the same for the same scenario and name."""
    return np.random.default_rng([world.seed, 5, zlib.crc32(name.encode())])


def tag_file(
    world: World,
    folder: Path,
    players: Sequence[Watched],
    name: str,
    *,
    tagger: str,
    per_player: int,
    every: int = 1,
    only_misses: bool = False,
) -> tuple[Path, int]:
    """Write the tags of these players; the path and the number of rows.

    Raises:
        ValueError: if nobody of that name shot in that season, or its attempts have no order.
    """
    rng = chance(world, name)
    chosen: dict[tuple[int, int], list[np.ndarray]] = {}
    for watched in dict.fromkeys(players):
        key, rows = _attempts_of(world, watched)
        rows = _whole_games(world, rows, per_player, rng)
        if only_misses:
            rows = rows[~world.shots.made[rows]]
        chosen.setdefault(key, []).append(rows)
    if len({league == HALMA for league, _ in chosen}) > 1:
        raise ValueError("players of leagues with and without attempt ids need a file each")
    by_id = all(league == HALMA for league, _ in chosen)
    header = (*(_BY_ID if by_id else _BY_NTH), "tagger", *_SEEN, *_REST)
    out = [",".join(header)]
    for key, parts in chosen.items():
        rows = np.unique(np.concatenate(parts))
        if every > 1:
            rows = np.sort(rng.permutation(rows)[: max(1, rows.size // every)])
        columns = _where(world, *key, rows) | _seen(world, rows, rng)
        columns["tagger"] = [cell(tagger)] * rows.size
        columns["picked_for"] = ["result" if only_misses else ""] * rows.size
        out += lines([columns[column] for column in header])
    return write(folder / f"{name}.csv", out), len(out) - 1


@cache
def _normal(text: str) -> str:
    return " ".join(unicodedata.normalize("NFC", text).split()).casefold()


def _attempts_of(world: World, watched: Watched) -> tuple[tuple[int, int], np.ndarray]:
    league_name, season_name, player = watched[:3]
    team_name = watched[3] if len(watched) == 4 else ""
    for league, plan in enumerate(world.layout.leagues):
        if _normal(plan.name) != _normal(league_name):
            continue
        labels = [plan.label(season) for season in range(len(plan.starts))]
        if season_name not in labels:
            break
        season = labels.index(season_name)
        if world.only_totals(league, season) or world.only_box(league, season):
            raise ValueError(f"{league_name} {season_name} has no attempts in order: no tags")
        mine = [
            p.number
            for p in world.people.players
            if p.league == league
            and _normal(p.name) == _normal(player)
            and season in p.teams
            and (not team_name or world.people.teams[league][p.teams[season]] == team_name)
        ]
        part = world.span(league, season)
        rows = part.start + np.flatnonzero(np.isin(world.shots.player[part], mine))
        if rows.size:
            return (league, season), rows
        break
    raise ValueError(f"no attempts of {player} in {league_name} {season_name}")


def _whole_games(
    world: World, rows: np.ndarray, per_player: int, rng: np.random.Generator
) -> np.ndarray:
    games, sizes = np.unique(world.shots.game[rows], return_counts=True)
    order = rng.permutation(games.size)
    wanted = int(np.searchsorted(np.cumsum(sizes[order]), per_player)) + 1
    kept: np.ndarray = rows[np.isin(world.shots.game[rows], games[order[:wanted]])]
    return kept


def _where(world: World, league: int, season: int, rows: np.ndarray) -> dict[str, list[str]]:
    shots, count = world.shots, rows.size
    first = world.bounds[league, season][0]
    teams = [cell(name) for name in world.people.teams[league]]
    ids = attempt_ids(world, league, season)
    names = world.people.players
    return {
        "league": [cell(world.layout.leagues[league].name)] * count,
        "season": [world.label(league, season)] * count,
        "attempt_id": [ids[row - first] for row in rows.tolist()],
        "date": day_texts(shots.day[rows], "%Y-%m-%d"),
        "game": game_labels(coded(teams, shots.home[rows]), coded(teams, shots.away[rows])),
        "team": coded(teams, shots.team[rows]),
        "player": [cell(names[p].name) for p in shots.player[rows].tolist()],
        "shot": ["free_throw"] * count,
        "nth": numbers(shots.nth[rows]),
    }


def _seen(world: World, rows: np.ndarray, rng: np.random.Generator) -> dict[str, list[str]]:
    shots, count = world.shots, rows.size
    technique = technique_words(shots.technique[rows], rng)
    blank = np.array(technique) == "cannot_tell"

    def shown(values: np.ndarray) -> np.ndarray:
        return np.where(blank, NOTHING, values)

    elapsed = (shots.period[rows] - 1) * 600 + 600 - shots.clock[rows]
    film = (elapsed * 2.3 + rng.integers(0, 240, count)).astype(int)
    falling = np.where(shots.contact[rows] == 2, shots.falling[rows].astype(int), NOTHING)
    return {
        "technique": technique,
        "first_contact": coded(CONTACTS, shown(shots.contact[rows])),
        "contact_height": coded(HEIGHTS, shown(shots.height[rows])),
        "contact_side": coded(SIDES, shown(shots.contact_side[rows])),
        "down_at_board": coded(("no", "yes"), shown(falling)),
        "miss_depth": coded(DEPTHS, shown(_misread(shots.depth[rows], rng))),
        "miss_side": coded(SIDES, shown(_misread(shots.side[rows], rng))),
        "rebound_zone": coded(ZONES, shown(shots.zone[rows])),
        "confidence": coded(
            ("sure", "likely", "guess"), shown(rng.choice(3, count, p=[0.8, 0.16, 0.04]))
        ),
        "video_s": numbers(film),
        "note": coded(("", "free throw hidden by the graphics"), blank.astype(int)),
    }


def technique_words(
    techniques: np.ndarray, rng: np.random.Generator, *, misread: float = _MISREAD
) -> list[str]:
    """What somebody writes down for the true techniques.

    Args:
        techniques: their codes.
        rng: where slips and spellings come from.
        misread: the part that names the wrong technique.
    """
    luck = rng.random(techniques.size)
    other = np.where(techniques == 0, 1, 0)
    seen = np.where(luck < misread, other, techniques)
    words = np.empty(techniques.size, dtype=object)
    for code, spellings in enumerate(_SPELLINGS):
        place = np.flatnonzero(seen == code)
        drawn = rng.choice(len(spellings), place.size, p=[odds for _, odds in spellings])
        words[place] = np.array([word for word, _ in spellings], dtype=object)[drawn]
    words[luck > 1 - _CANNOT_TELL] = "cannot_tell"
    return [str(word) for word in words.tolist()]


def _misread(codes: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    wrong = (codes >= 0) & (rng.random(codes.size) < _MISS_MISREAD)
    return np.where(wrong, rng.integers(0, 3, codes.size), codes)
