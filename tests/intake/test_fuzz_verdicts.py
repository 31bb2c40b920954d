"""Damaged files of leagues against a second reader: what is stored is what the row says.

The second reader knows nothing of profiles: it takes each row as the standard library splits it and
reads player and result by a few lines of its own. A row it cannot read may still be stored rightly
by the program only where it is the same row to a person; so the readers here are the wider ones.
"""

from __future__ import annotations

import csv
import json
import random
import re
from collections.abc import Callable

import pytest
from hypothesis import given, settings

from ledger.intake import names
from ledger.intake.options import ReadOptions
from ledger.intake.profile import parse
from tests.intake.leagues import (
    attempt_means_missed,
    counts_in_text,
    fixed_positions,
    newest_first,
    pairs,
    two_sides,
)
from tests.intake.leagues.case import League
from tests.intake.mutations import mutations_of
from tests.intake.test_fuzz_forms import SEEDS, TIMES, counted_once, read

# What a row says: (player, made, attempts or nothing).
Said = tuple[str, str, str]


def _lines(text: str) -> list[str]:
    return text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")


def _cells(line: str, separator: str) -> list[str]:
    return next(csv.reader([line], delimiter=separator), [])


def sides(text: str) -> dict[int, set[Said]]:
    pattern = re.compile(r"^(MISS )?([^(]+?) Free Throw( |$)")
    found: dict[int, set[Said]] = {}
    for at, line in enumerate(_lines(text), 1):
        for cell in _cells(line, ","):
            if said := pattern.match(cell.strip()):
                found.setdefault(at, set()).add((said[2], "no" if said[1] else "yes", ""))
    return found


def words(text: str) -> dict[int, set[Said]]:
    lines = _lines(text)
    named = [[re.sub(r"[\s_-]", "", c).casefold() for c in _cells(x, ";")] for x in lines]
    header = next((c for c in named if "player" in c), [])
    found: dict[int, set[Said]] = {}
    for at, line in enumerate(lines, 1):
        cells = _cells(line, ";")
        if len(cells) == len(header) and "action" in header:
            said = re.match(r"Free throw (made|attempt)", cells[header.index("action")].strip())
            if said:
                made = "yes" if said[1] == "made" else "no"
                found[at] = {(cells[header.index("player")], made, "")}
    return found


def boxes(text: str) -> dict[int, set[Said]]:
    lines = _lines(text)
    header = next((c for c in (_cells(x, ",") for x in lines) if "Frees" in c), [])
    found: dict[int, set[Said]] = {}
    for at, line in enumerate(lines, 1):
        cells = _cells(line, ",")
        if len(cells) == len(header) and "Name" in header:
            said = re.match(r"^(\d+)\s*(?:-|–|/|of)\s*(\d+)$", cells[header.index("Frees")].strip())
            if said:
                counts = (str(int(said[1])), str(int(said[2])))
                found[at] = {(cells[header.index("Name")], *counts)}
    return found


def positions(text: str) -> dict[int, set[Said]]:
    found = {}
    for at, line in enumerate(_lines(text), 1):
        result = {"GOOD": "yes", "MISS": "no"}.get(line[53:57].strip())
        if result:
            found[at] = {(line[27:43].strip(), result, "")}
    return found


def feed(text: str) -> dict[int, set[Said]]:
    try:
        body = json.loads(text.removeprefix("\ufeff"))
    except (ValueError, RecursionError):
        return {}
    found: dict[int, set[Said]] = {}
    games = body.get("games") if isinstance(body, dict) else None
    events = [
        event
        for game in (games if isinstance(games, list) else [])
        if isinstance(game, dict) and isinstance(game.get("events"), list)
        for event in game["events"]
    ]
    for at, event in enumerate(events, 1):
        shooter = event.get("shooter") if isinstance(event, dict) else None
        if isinstance(shooter, dict):
            made = str(event.get("ok")).strip().casefold() in ("true", "1", "good", "yes", "1.0")
            found[at] = {(_shown(shooter.get("name")), "yes" if made else "no", "")}
    return found


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return ", ".join(map(_shown, value)) if isinstance(value, list) else str(value)


def counts(text: str) -> dict[int, set[Said]]:
    found: dict[int, set[Said]] = {}
    for at, line in enumerate(_lines(text), 1):
        try:
            event = json.loads(line)
        except (ValueError, RecursionError):
            continue
        if isinstance(event, dict):
            said = re.match(r"Free throw (good|missed) \d+/\d+", str(event.get("txt")).strip())
            if said:
                made = "yes" if said[1] == "good" else "no"
                found[at] = {(_shown(event.get("p")), made, "")}
    return found


READERS: dict[str, tuple[League, Callable[[str], dict[int, set[Said]]]]] = {
    "two sides": (two_sides.LEAGUE, sides),
    "words": (attempt_means_missed.LEAGUE, words),
    "pairs": (pairs.LEAGUE, boxes),
    "positions": (fixed_positions.LEAGUE, positions),
    "feed": (newest_first.LEAGUE, feed),
    "counts": (counts_in_text.LEAGUE, counts),
}


@pytest.mark.parametrize("which", list(READERS))
def test_each_stored_record_is_what_a_second_reader_finds_in_its_row(which: str) -> None:
    league, reader = READERS[which]
    profile = parse(league.profile, "here")
    options = ReadOptions(profile=profile)
    form = str(profile.form.type or "text")
    # Quotes over several lines are another test's: this reader takes lines by themselves.
    stored = 0

    @settings(max_examples=30 * TIMES, deadline=None, database=None)
    @given(seed=SEEDS)
    def look(seed: int) -> None:
        nonlocal stored
        dice = random.Random(seed)
        data = dice.choice(mutations_of(form))(league.first.data, dice)
        reading = read(data, league.first.file, league.kind, options, league)
        if reading is None:
            return
        counted_once(reading)
        said = reader(data.decode(reading.encoding, errors="replace"))
        for row in reading.frame.iter_rows(named=True):
            told = {
                (names.clean(player), made, attempts)
                for player, made, attempts in said.get(row["line"], set())
            }
            if league.kind == "box":
                assert (row["player"], str(row["made"]), str(row["attempts"])) in told
            else:
                assert (row["player"], "yes" if row["made"] else "no", "") in told
            stored += 1

    look()

    assert stored > 0
