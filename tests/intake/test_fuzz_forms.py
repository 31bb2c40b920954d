"""Damaged files of every form, with and without a profile: answered, counted, and nothing made up.

`OFFGLASS_FUZZ=20 pytest tests/intake/test_fuzz_forms.py` looks at twenty times as many files.
"""

from __future__ import annotations

import csv
import io
import json
import os
import random
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from ledger.errors import OffglassError
from ledger.intake import names, snapshot
from ledger.intake.bring import bring
from ledger.intake.options import ReadOptions
from ledger.intake.profile import parse
from ledger.intake.read import Reading, read_snapshot
from ledger.intake.snapshot import Snapshot
from tests.intake.hostile_names import harmful
from tests.intake.leagues import League, all_leagues
from tests.intake.mutations import mutations_of
from tests.intake.scenario import HEADER, attempts, text_of
from tests.store.filing import desk

TIMES = int(os.environ.get("OFFGLASS_FUZZ", "1"))
SEEDS = st.integers(0, 2**40)
LEAGUES = {league.name: league for league in all_leagues()}
ROWS = attempts(14)

FIXED_PROFILE = """
profile = 1
name = "positions"
as = "attempts"
[form]
type = "fixed"
skip = [1]
columns = [
  {name = "league", from = 1, to = 14}, {name = "season", from = 15, to = 22},
  {name = "date", from = 23, to = 33}, {name = "game", from = 34, to = 38},
  {name = "team", from = 39, to = 55}, {name = "player", from = 56, to = 70},
  {name = "made", from = 71, to = 72},
]
[fields]
league = "league"
season = "season"
date = "date"
game = "game"
team = "team"
player = "player"
made = "made"
"""
_WIDTHS = (14, 8, 11, 5, 17, 15, 2)

MADE = ("1", "true", "yes", "good", "1.0")

# What a stranger reads in row n of the file: the (player, made) it may give.
Witness = Callable[[bytes, Reading], dict[int, tuple[str, str]]]


@dataclass(frozen=True, slots=True)
class Own:
    """A file with the project's own columns in one form, and a strict reader of that form."""

    data: bytes
    witness: Witness
    profile: str | None = None


def _text_of(data: bytes, reading: Reading) -> list[str]:
    text = data.decode(reading.encoding, errors="replace").removeprefix("\ufeff")
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")


def _csv_witness(data: bytes, reading: Reading) -> dict[int, tuple[str, str]]:
    """Lines by themselves, as the standard library splits them, under the file's own header."""
    lines = _text_of(data, reading)
    found = {}
    header = [name.strip() for name in reading.columns]
    if "player" not in header or "made" not in header:
        return {}
    for at, line in enumerate(lines, 1):
        cells = next(csv.reader([line], delimiter=reading.separator), [])
        if len(cells) == len(header):
            found[at] = (cells[header.index("player")], cells[header.index("made")])
    return found


def _fixed_witness(data: bytes, reading: Reading) -> dict[int, tuple[str, str]]:
    lines = _text_of(data, reading)
    return {at: (line[55:70].strip(), line[70:72].strip()) for at, line in enumerate(lines, 1)}


def _record(value: object) -> tuple[str, str] | None:
    if not isinstance(value, dict):
        return None
    return _shown(value.get("player")), _shown(value.get("made"))


def _shown(value: object) -> str:
    if isinstance(value, bool) or value is None:
        return {True: "true", False: "false", None: ""}[value]
    if isinstance(value, list):
        return ", ".join(map(_shown, value))
    return str(value)


def _json_witness(data: bytes, reading: Reading) -> dict[int, tuple[str, str]]:
    text = data.decode(reading.encoding, errors="replace").removeprefix("\ufeff")
    try:
        body = json.loads(text)
    except (ValueError, RecursionError):
        body = None
    if isinstance(body, list):
        return {at: found for at, r in enumerate(body, 1) if (found := _record(r))}
    if isinstance(body, dict) and (found := _record(body)):
        return {1: found}
    each = {}
    for at, line in enumerate(_text_of(data, reading), 1):
        try:
            record = _record(json.loads(line))
        except (ValueError, RecursionError):
            continue
        if record:
            each[at] = record
    return each


def _sheet_witness(data: bytes, reading: Reading) -> dict[int, tuple[str, str]]:
    from openpyxl import load_workbook

    try:
        book = load_workbook(io.BytesIO(data), data_only=True)
    except Exception:
        # Damaged where no cell stands: the program need not look there, this reader does.
        return {}
    sheet = book[book.sheetnames[0]]
    header = [str(name).strip() for name in reading.columns]
    found = {}
    for at, row in enumerate(sheet.iter_rows(values_only=True), 1):
        cells = dict(zip(header, row, strict=False))
        found[at] = (_shown(cells.get("player")), _shown(cells.get("made")))
    return found


def _workbook() -> bytes:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in (HEADER[:7], *(row[:7] for row in ROWS)):
        sheet.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


@cache
def own_files() -> dict[str, Own]:
    records = [dict(zip(HEADER[:7], row[:7], strict=True)) for row in ROWS]
    fixed = "\n".join(
        "".join(cell.ljust(width) for cell, width in zip(row[:7], _WIDTHS, strict=True))
        for row in (HEADER, *ROWS)
    )
    return {
        "text": Own(text_of([r[:7] for r in ROWS], HEADER[:7]).encode(), _csv_witness),
        "fixed": Own(fixed.encode(), _fixed_witness, FIXED_PROFILE),
        "json": Own(json.dumps(records, indent=1).encode(), _json_witness),
        "json lines": Own("\n".join(map(json.dumps, records)).encode(), _json_witness),
        "sheet": Own(_workbook(), _sheet_witness),
    }


def damaged(form: str, data: bytes, seed: int) -> bytes:
    dice = random.Random(seed)
    for _ in range(dice.choice((1, 1, 2))):
        data = dice.choice(mutations_of(form))(data, dice)
    return data


def read(
    data: bytes, name: str, kind: str, options: ReadOptions, league: League | None = None
) -> Reading | None:
    """The reading of a file, `None` where it is refused in one clean line."""

    def beside(file: str) -> Snapshot:
        assert league is not None
        return snapshot.of_bytes(league.first.beside[file], file)

    try:
        return read_snapshot(snapshot.of_bytes(data, name), kind, options, beside=beside)
    except OffglassError as refused:
        said = refused.message
    assert "\n" not in said
    assert not harmful(said)
    assert 10 < len(said) < 900
    return None


def counted_once(reading: Reading) -> None:
    """Each row is a record, rejected or skipped, once; a row of several records counts once."""
    records = set(reading.frame["line"].to_list())
    rejected, skipped = reading.rejects["line"].to_list(), reading.skipped["line"].to_list()
    assert len(rejected) == len(set(rejected))
    assert len(skipped) == len(set(skipped))
    assert not records & set(rejected)
    assert not records & set(skipped)
    assert not set(rejected) & set(skipped)
    assert reading.rows == len(records) + len(rejected) + len(skipped)
    assert reading.rejects["reason"].null_count() == reading.rejects["fix"].null_count() == 0
    assert not harmful("".join(v or "" for v in reading.rejects["value"]), lines=False)


@pytest.mark.parametrize("form", ["text", "fixed", "json", "json lines", "sheet"])
def test_a_damaged_file_of_any_form_gives_only_what_stands_in_it(form: str) -> None:
    own = own_files()[form]
    options = ReadOptions(profile=parse(own.profile, "here") if own.profile else None)
    stored = 0

    @settings(max_examples=(40 if form == "sheet" else 60) * TIMES, deadline=None, database=None)
    @given(seed=SEEDS)
    def look(seed: int) -> None:
        nonlocal stored
        data = damaged(form, own.data, seed)
        reading = read(data, "given.dat", "attempts", options)
        if reading is None:
            return
        counted_once(reading)
        seen = own.witness(data, reading)
        if reading.frame.is_empty() or (form == "sheet" and not seen):
            return
        for line, player, made in reading.frame.select("line", "player", "made").iter_rows():
            assert line in seen, (line, seen)
            assert player == names.clean(seen[line][0])
            assert made == (names.clean(seen[line][1]).casefold() in MADE)
            stored += 1

    look()

    assert stored > 20


@pytest.mark.parametrize("name", list(LEAGUES))
def test_a_damaged_file_of_a_league_makes_up_no_name(name: str) -> None:
    league = LEAGUES[name]
    profile = parse(league.profile, "here")
    form = str(profile.form.type or "text")
    options = ReadOptions(profile=profile)

    @settings(max_examples=12 * TIMES, deadline=None, database=None)
    @given(seed=SEEDS)
    def look(seed: int) -> None:
        data = damaged(form, league.first.data, seed)
        reading = read(data, league.first.file, league.kind, options, league)
        if reading is None:
            return
        counted_once(reading)
        if "lookups" in league.profile or form == "sheet" or reading.frame.is_empty():
            return
        text = letters(data.decode(reading.encoding, errors="replace"))
        for player in reading.frame["player"].drop_nulls():
            for word in letters(player).split():
                assert word in text, (player, word)

    look()


def letters(text: str) -> str:
    """Letters and digits of a text, escapes of JSON resolved, the rest as blanks."""
    import re

    plain = re.sub(r"\\u([0-9a-fA-F]{4})", lambda code: chr(int(code[1], 16)), text)
    plain = names.clean(plain.replace("\\", "").replace("\n", " "))
    return "".join(c if c.isalnum() else " " for c in plain)


@settings(max_examples=20 * TIMES, deadline=None, database=None)
@given(seed=SEEDS)
def test_whatever_is_read_goes_into_a_ledger_and_adds_up(seed: int) -> None:
    import tempfile

    dice = random.Random(seed)
    league = LEAGUES[dice.choice(list(LEAGUES))]
    profile = parse(league.profile, "here")
    data = damaged(str(profile.form.type or "text"), league.first.data, seed)
    with tempfile.TemporaryDirectory() as folder, desk(Path(folder)) as d:
        for file, body in league.first.beside.items():
            (d.folder / file).write_bytes(body)
        path = d.folder / league.first.file
        path.write_bytes(data)
        try:
            report = bring(d.file, path, league.kind, ReadOptions(profile=profile))
        except OffglassError:
            assert d.rows("SELECT count(*) FROM source") == [(0,)]
            return
        parts = report.stored + report.rejected + report.skipped
        assert report.rows == parts + report.already_there + report.contradicting
        assert not harmful(report.words())
        assert d.whole() == []
        assert d.rows("SELECT count(*) FROM attempt") == [(report.attempts_stored,)]


def test_an_archive_that_is_no_workbook_is_refused_in_one_line() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("readme.txt", "no sheets")

    assert read(out.getvalue(), "x.xlsx", "attempts", ReadOptions()) is None
