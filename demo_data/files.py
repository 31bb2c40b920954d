"""The files of each league as it publishes them, the clean ones and the others."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from .manifest import Expects, ImportStep
from .scenario import DRELLIN, HALMA, OKELMAR
from .tables import attempt_columns, cell, lines, write
from .tags import chance, technique_words
from .world import World

DEMO_TAGGERS = ("Ketu", "Ovsk", "Varn")
# Words of the hand-kept sheet that no list of spellings knows.
UNKNOWN_WORDS = ("flick", "set")

_HALMA = [
    "attempt_id", "league", "season", "date", "game", "stage", "home", "away", "team", "player",
    "period", "clock", "order", "shot", "trip_shot", "trip_of", "trip_kind", "ended_by",
    "rebound_by", "made",
]  # fmt: skip
_DRELLIN = [
    "league", "season", "date", "game", "stage", "home", "away", "team", "player", "period",
    "clock", "shot", "trip_shot", "trip_of", "trip_kind", "rebound_by", "made",
]  # fmt: skip
_OKELMAR = {
    "Year": "season", "Day": "date", "Match": "game", "Stage": "stage", "Hosts": "home",
    "Guests": "away", "Side": "team", "Athlete": "player", "No": "order", "Throw": "trip_shot",
    "Throws": "trip_of", "Given for": "trip_kind", "Ball to": "rebound_by", "Result": "made",
}  # fmt: skip
_RAGGED, _BAD_DAYS, _BAD_WORDS = 4, ("31.02.", "30.02.", "45.11.", "00.12."), ("perhaps", "unsure")
_PAGE = 1500


def league_files(world: World, folder: Path) -> list[ImportStep]:
    """Write every file but tags, players and the shortlist, in the order of their import."""
    steps = [halma(world, folder, season) for season in range(world.seasons(HALMA))]
    for season in range(world.seasons(DRELLIN)):
        steps += drellin(world, folder, season)
    for season in range(world.seasons(OKELMAR)):
        steps += okelmar(world, folder, season)
    return steps


def _all_stored(count: int) -> Expects:
    return Expects(count, count, attempts=count)


def halma(world: World, folder: Path, season: int) -> ImportStep:
    """A clean file with the project's own column names and attempt ids."""
    columns = attempt_columns(world, HALMA, season)
    rows = lines([columns[c] for c in _HALMA])
    path = write(folder / f"halma_{world.label(HALMA, season)}.csv", [",".join(_HALMA), *rows])
    return ImportStep(path, "attempts", {}, _all_stored(len(rows)), "clean, with attempt ids")


def drellin(world: World, folder: Path, season: int) -> list[ImportStep]:
    """One season of the league whose files are as life is."""
    label = world.label(DRELLIN, season)
    stem = f"drellin_{label}"
    if world.only_box(DRELLIN, season):
        return [_box(world, folder / f"{stem}_box.csv", season)]
    columns = attempt_columns(
        world, DRELLIN, season, separator=";", days="%d.%m.%Y",
        season_text=label.replace("-", "/"), made=("missed", "made"),
    )  # fmt: skip
    options: dict[str, Any] = {"dates": "dmy"}
    header = ";".join(c.capitalize() for c in _DRELLIN)
    ways: dict[int, Callable[[], list[ImportStep]]] = {
        2: lambda: [_windows(folder / f"{stem}_cp1252.csv", header, columns, options)],
        3: lambda: [_broken(world, folder / f"{stem}_desk.csv", season, header, columns, options)],
        4: lambda: _overlapping(world, folder, stem, season, header, columns, options),
    }
    if season in ways:
        return ways[season]()
    rows = lines([columns[c] for c in _DRELLIN], ";")
    path = write(folder / f"{stem}.csv", [header, *rows], newline="\r\n", bom=True)
    return [
        ImportStep(path, "attempts", options, _all_stored(len(rows)), "semicolons, day first, BOM")
    ]


def _box(world: World, path: Path, season: int) -> ImportStep:
    columns = attempt_columns(
        world, DRELLIN, season, separator=";", days="%d.%m.%Y",
        season_text=world.label(DRELLIN, season).replace("-", "/"),
    )  # fmt: skip
    part = world.span(DRELLIN, season)
    shots = world.shots
    first = part.start + np.flatnonzero(shots.nth[part] == 1)
    key = shots.game * len(world.people.players) + shots.player
    order, where = np.unique(key[part], return_inverse=True)
    made = np.bincount(where, weights=shots.made[part]).astype(int)
    count = np.bincount(where)
    place = np.searchsorted(order, key[first])
    names = ("league", "season", "date", "game", "stage", "home", "away", "team", "player")
    at = (first - part.start).tolist()
    table = [[columns[name][i] for i in at] for name in names]
    table += [list(map(str, made[place].tolist())), list(map(str, count[place].tolist()))]
    rows = lines(table, ";")
    broken = rows[len(rows) // 2].rsplit(";", 2)[0]
    rows.insert(len(rows) // 2, f"{broken};7;5")
    total = f"Total{';' * (len(names))}{made.sum()};{count.sum()}"
    header = ";".join(c.capitalize() for c in (*names, "made", "attempts"))
    write(path, [header, *rows, total], newline="\r\n", bom=True)
    expects = Expects(
        len(rows), len(rows) - 1, rejected={"made_above_attempts": 1}, not_data=1,
        attempts=int(count.sum()),
    )  # fmt: skip
    return ImportStep(path, "box", {"dates": "dmy"}, expects, "box rows of an old season")


def _windows(
    path: Path, header: str, columns: dict[str, list[str]], options: dict[str, Any]
) -> ImportStep:
    rows = lines([columns[c] for c in _DRELLIN], ";")
    write(path, [header, *rows], newline="\r\n", encoding="cp1252")
    wanted = options | {"encoding": "cp1252"}
    return ImportStep(path, "attempts", wanted, _all_stored(len(rows)), "written in Windows-1252")


def _broken(
    world: World,
    path: Path,
    season: int,
    header: str,
    columns: dict[str, list[str]],
    options: dict[str, Any],
) -> ImportStep:
    """Titles, repeated headers, blank lines, broken rows, totals and a footnote.

    A broken row is a further row behind the last attempt of a game, so that losing it moves the
    place of no other attempt.
    """
    rng = chance(world, path.name)
    rows = lines([columns[c] for c in _DRELLIN], ";")
    game = world.shots.game[world.span(DRELLIN, season)]
    ends = np.flatnonzero(np.r_[game[1:] != game[:-1], True])
    faults = ["short", "long"] * (_RAGGED // 2) + ["day"] * len(_BAD_DAYS) + ["word"] * 4
    places = np.sort(rng.permutation(ends)[: len(faults)]).tolist()
    behind: dict[int, str] = {
        row: _fault(rows[row], fault, turn)
        for turn, (row, fault) in enumerate(zip(places, rng.permutation(faults), strict=True))
    }
    page = min(_PAGE, len(rows) // 3)
    out = ["Drellin Liga: free throws by game", "Typed up at the desk", "", header]
    not_data = 0
    for number, row in enumerate(rows):
        if number and number % page == 0:
            out += ["", header, ";" * (len(_DRELLIN) - 1)]
            not_data += 2
        out.append(row)
        if number in behind:
            out.append(behind[number])
    made = sum(m == "made" for m in columns["made"])
    blanks = ";" * (len(_DRELLIN) - 1)
    out += [f"Total{blanks}{made}", blanks, f"* scorers' table closed early once{blanks}"]
    write(path, out, newline="\r\n", bom=True)
    why = {
        "wrong_field_count": faults.count("short") + faults.count("long"),
        "bad_date": faults.count("day"),
        "unknown_word": faults.count("word"),
    }
    expects = Expects(
        len(rows) + len(faults), len(rows), rejected=why, not_data=not_data + 3, attempts=len(rows)
    )
    return ImportStep(path, "attempts", options, expects, "titles, totals, footnotes, broken rows")


def _fault(row: str, fault: str, turn: int) -> str:
    fields = row.split(";")
    if fault == "short":
        return ";".join(fields[:5])
    if fault == "long":
        return ";".join([*fields[:8], "late", "entry", *fields[8:]])
    if fault == "day":
        fields[2] = _BAD_DAYS[turn % len(_BAD_DAYS)] + fields[2][-4:]
    else:
        fields[-1] = _BAD_WORDS[turn % len(_BAD_WORDS)]
    return ";".join(fields)


def _overlapping(
    world: World,
    folder: Path,
    stem: str,
    season: int,
    header: str,
    columns: dict[str, list[str]],
    options: dict[str, Any],
) -> list[ImportStep]:
    """Two files that share three weeks; a name in fifty is spelled with other blanks or marks."""
    rng = chance(world, stem)
    names = columns["player"]
    odd = rng.random(len(names)) < 0.02
    for number in np.flatnonzero(odd).tolist():
        way = (number // 3) % 3
        name = names[number]
        names[number] = (
            name.replace(" ", "  ") if way == 0
            else name.replace(" ", "\u00a0") if way == 1
            else unicodedata.normalize("NFD", name)
        )  # fmt: skip
    rows = lines([columns[c] for c in _DRELLIN], ";")
    day = world.shots.day[world.span(DRELLIN, season)]
    table = world.games[DRELLIN, season]
    middle = table.first + (table.last - table.first) // 2
    first_ends, second_starts = middle + 21, middle
    autumn = [row for row, d in zip(rows, day.tolist(), strict=True) if d < first_ends]
    spring = [row for row, d in zip(rows, day.tolist(), strict=True) if d >= second_starts]
    shared = len(autumn) + len(spring) - len(rows)
    steps = []
    for name, part, known in (("a", autumn, 0), ("b", spring, shared)):
        path = write(folder / f"{stem}_{name}.csv", [header, *part], newline="\r\n", bom=True)
        new = len(part) - known
        expects = Expects(len(part), new, already_there=known, attempts=new)
        steps.append(ImportStep(path, "attempts", options, expects, "one of two that overlap"))
    return steps


def okelmar(world: World, folder: Path, season: int) -> list[ImportStep]:
    """A league with its own column names; totals, a census and two plain seasons."""
    label = world.label(OKELMAR, season)
    if world.only_totals(OKELMAR, season):
        return [
            _typed(world, folder / f"okelmar_{label}_typed.csv", season),
            _totals(world, folder / f"okelmar_{label}_totals.csv", season),
        ]
    columns = attempt_columns(world, OKELMAR, season, made=("out", "in"))
    header, table = list(_OKELMAR), [columns[c] for c in _OKELMAR.values()]
    options: dict[str, Any] = {
        "set": ["league=Okelmar Division", "shot=free_throw"],
        "map": [f"{c}={f}" for c, f in _OKELMAR.items()],
        "word": ["made:in=yes", "made:out=no"],
    }
    words: tuple[str, ...] = ()
    name, why = f"okelmar_{label}.csv", "other column names and words"
    if season == 2:
        part = world.span(OKELMAR, season)
        rng = chance(world, name)
        seen = technique_words(world.shots.technique[part], rng, misread=0.0)
        for turn, place in enumerate(rng.permutation(len(seen))[:5].tolist()):
            seen[place] = UNKNOWN_WORDS[turn % 2]
        words = UNKNOWN_WORDS
        header += ["Technique", "Miss_depth", "Miss_side"]
        table += [seen, columns["miss_depth"], columns["miss_side"]]
        options["tagger"] = DEMO_TAGGERS[2]
        name, why = f"okelmar_{label}_sheet.csv", "a hand-kept sheet with every technique: a census"
    rows = lines(table)
    path = write(folder / name, [",".join(header), *rows])
    expects = Expects(len(rows), len(rows), attempts=len(rows), warned_words=words)
    return [ImportStep(path, "attempts", options, expects, why)]


def _typed(world: World, path: Path, season: int) -> ImportStep:
    columns = attempt_columns(world, OKELMAR, season)
    keep = world.recorded[world.span(OKELMAR, season)].tolist()
    header = [c for c in _HALMA if c != "attempt_id"]
    rows = [
        row for row, kept in zip(lines([columns[c] for c in header]), keep, strict=True) if kept
    ]
    write(path, [",".join(header), *rows])
    return ImportStep(path, "attempts", {}, _all_stored(len(rows)), "games of one team, typed in")


def _totals(world: World, path: Path, season: int) -> ImportStep:
    part = world.span(OKELMAR, season)
    player, made = world.shots.player[part], world.shots.made[part]
    out = ["league,season,team,player,made,attempts"]
    for number in np.unique(player).tolist():
        who = world.people.players[number]
        mine = player == number
        team = cell(world.people.teams[OKELMAR][who.teams[season]])
        out.append(
            f"{world.layout.leagues[OKELMAR].name},{world.label(OKELMAR, season)},{team},"
            f"{cell(who.name)},{int(made[mine].sum())},{int(mine.sum())}"
        )
    write(path, out)
    return ImportStep(
        path, "totals", {}, Expects(len(out) - 1, len(out) - 1), "season totals of every player"
    )
