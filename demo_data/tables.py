"""Attempts as columns of text, and columns of text as CSV files."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from .scenario import HALMA
from .shots import DEPTHS, KINDS, REBOUNDS, SIDES, TECHNIQUES
from .world import World, day_texts

BOM = "\ufeff"
STAGES = ("regular", "playoff")


def cell(text: str, separator: str = ",") -> str:
    """A text as one field, quoted where it must be."""
    if any(c in text for c in (separator, '"', "\n", "\r")):
        return '"' + text.replace('"', '""') + '"'
    return text


def lines(columns: Sequence[list[str]], separator: str = ",") -> list[str]:
    """One line a record, from columns whose fields are quoted already."""
    return list(map(separator.join, zip(*columns, strict=True)))


def write(
    path: Path,
    text_lines: Sequence[str],
    *,
    newline: str = "\n",
    encoding: str = "utf-8",
    bom: bool = False,
) -> Path:
    """Write lines as one file, each of them ended."""
    text = (BOM if bom else "") + newline.join(text_lines) + newline
    path.write_bytes(text.encode(encoding))
    return path


def coded(words: Sequence[str], codes: np.ndarray) -> list[str]:
    """Codes as words; -1 is an empty field."""
    known = [*words, ""]
    return [known[code] for code in codes.tolist()]


def numbers(values: np.ndarray) -> list[str]:
    """Whole numbers as text."""
    return list(map(str, values.tolist()))


def clocks(seconds: np.ndarray) -> list[str]:
    """Seconds left as 5:38."""
    known = [f"{s // 60}:{s % 60:02d}" for s in range(601)]
    return [known[s] for s in seconds.tolist()]


def attempt_ids(world: World, league: int, season: int) -> list[str]:
    """The ids of the one league that gives its attempts ids; empty fields elsewhere."""
    first, last = world.bounds[league, season]
    if league != HALMA:
        return [""] * (last - first)
    year = world.layout.leagues[league].starts[season] % 100
    return [f"H{year:02d}-{place:05d}" for place in range(1, last - first + 1)]


def game_labels(home: list[str], away: list[str]) -> list[str]:
    """A game as people call it."""
    known = {pair: f"{pair[0]} v {pair[1]}" for pair in set(zip(home, away, strict=True))}
    return [known[pair] for pair in zip(home, away, strict=True)]


def attempt_columns(
    world: World,
    league: int,
    season: int,
    *,
    separator: str = ",",
    days: str = "%Y-%m-%d",
    season_text: str | None = None,
    made: tuple[str, str] = ("no", "yes"),
) -> dict[str, list[str]]:
    """Every attempt of a league-season, by the project's own names of columns.

    Args:
        world: the scenario.
        league: number of the league.
        season: number of its season.
        separator: what will stand between fields; names that hold it are quoted.
        days: strftime format of dates.
        season_text: how the file writes the season; the usual way if None.
        made: words for missed and made.
    """
    part = world.span(league, season)
    shots = world.shots
    count = part.stop - part.start
    teams = [cell(name, separator) for name in world.people.teams[league]]
    players = [cell(p.name, separator) for p in world.people.players]
    home, away = coded(teams, shots.home[part]), coded(teams, shots.away[part])
    return {
        "attempt_id": attempt_ids(world, league, season),
        "league": [cell(world.layout.leagues[league].name, separator)] * count,
        "season": [season_text or world.label(league, season)] * count,
        "date": day_texts(shots.day[part], days),
        "game": game_labels(home, away),
        "stage": coded(STAGES, shots.playoff[part].astype(int)),
        "home": home,
        "away": away,
        "team": coded(teams, shots.team[part]),
        "player": [players[p] for p in shots.player[part].tolist()],
        "period": numbers(shots.period[part]),
        "clock": clocks(shots.clock[part]),
        "order": numbers(shots.order[part]),
        "shot": ["free_throw"] * count,
        "trip_shot": numbers(shots.trip_shot[part]),
        "trip_of": numbers(shots.trip_of[part]),
        "trip_kind": coded(KINDS, shots.kind[part]),
        "ended_by": coded(("", "violation"), shots.violation[part].astype(int)),
        "rebound_by": coded(REBOUNDS, shots.rebound[part]),
        "made": coded(made, shots.made[part].astype(int)),
        "technique": coded(TECHNIQUES, shots.technique[part]),
        "miss_depth": coded(DEPTHS, shots.depth[part]),
        "miss_side": coded(SIDES, shots.side[part]),
    }
