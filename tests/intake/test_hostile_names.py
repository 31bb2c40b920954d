"""Names that try to act, as players, teams and leagues: kept as written or refused for a reason."""

from __future__ import annotations

import csv
import io
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from ledger.intake.report import Report
from ledger.store.ledger_file import LedgerFile
from ledger.store.package import export, load
from tests.intake.hostile_names import harmful, hostile_names, kinds, visible
from tests.store.filing import Desk, desk

HEAD = ("league", "season", "date", "game", "team", "player", "made")
COLUMNS = ("player", "team", "league")
MOST = {"player": 200, "team": 200, "league": 400}


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the file: a hostile name in one of its columns, plain names in the others."""

    line: int
    column: str
    name: str
    cells: tuple[str, ...]


@cache
def rows() -> tuple[Row, ...]:
    """Every name as player, team and league; `line` is the physical line it begins on."""
    found: list[Row] = []
    line = 2
    for column in COLUMNS:
        for at, name in enumerate(hostile_names()):
            plain = {"league": "Halma League", "team": "Skolomer", "player": f"Plain Row{at}"}
            said = plain | {column: name}
            game = f"{column} {at}"
            cells = (
                said["league"], "2023-24", f"2023-11-{1 + at % 28:02d}", game, said["team"],
                said["player"], str(at % 2),
            )  # fmt: skip
            found.append(Row(line, column, name, cells))
            line += 1 + sum(_line_ends(cell) for cell in cells)
    return tuple(found)


def _line_ends(cell: str) -> int:
    return cell.replace("\r\n", "\n").replace("\r", "\n").count("\n")


@cache
def text() -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n", quoting=csv.QUOTE_ALL)
    writer.writerow(HEAD)
    writer.writerows(row.cells for row in rows())
    return out.getvalue()


def wanted(row: Row) -> str:
    """What must become of a row, told without the program: `stored`, or why it is refused."""
    name = row.name
    if "\ufdd0" in name:
        # The reader's own sign for bytes that are no letters: refused, as those are.
        return "bad_encoding"
    if any(_control(c) for c in name):
        return "control_character"
    composed = unicodedata.normalize("NFC", name)
    if len(name) > 10_000 or len(composed) > MOST[row.column]:
        return "too_long"
    return "stored" if visible(name) else "missing"


def _control(character: str) -> bool:
    code = ord(character)
    if character in "\t\n\x0b\x0c\r":
        return False
    return unicodedata.category(character) == "Cc" or code in (0xFFFE, 0xFFFF, 0xFDEF)


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Desk, Report, Path]]:
    """A ledger with every name in it, what its import said, and the file of refused rows."""
    folder = tmp_path_factory.mktemp("hostile")
    refused = folder / "refused.csv"
    with desk(folder) as d:
        yield d, d.bring(text(), rejects=refused), refused


def test_there_are_hundreds_of_them_of_every_kind() -> None:
    assert len(hostile_names()) == len(set(hostile_names())) >= 500
    assert min(len(strings) for strings in kinds().values()) >= 6


def test_each_name_is_stored_or_refused_with_its_reason(
    filled: tuple[Desk, Report, Path],
) -> None:
    d, report, _ = filled
    found = dict(d.rows("SELECT line, reason FROM refused_row"))
    kept = {line for (line,) in d.rows("SELECT DISTINCT line FROM sighting")}

    became = {row.line: found.get(row.line) or "stored" for row in rows()}

    assert became == {row.line: wanted(row) for row in rows()}
    assert kept == {row.line for row in rows() if wanted(row) == "stored"}
    assert report.rows == len(rows()) == report.stored + report.rejected
    assert set(report.reasons) == {"control_character", "missing", "too_long", "bad_encoding"}


@pytest.mark.parametrize("column", COLUMNS)
def test_a_stored_name_is_the_one_in_the_file(
    column: str, filled: tuple[Desk, Report, Path]
) -> None:
    d, *_ = filled
    query = """
        SELECT s.line, x.name FROM sighting s JOIN attempt a ON a.id = s.attempt_id
        JOIN game g ON g.id = a.game_id JOIN {column} x ON x.id = {where}.{column}_id
    """.format(column=column, where="g" if column == "league" else "a")
    shown = dict(d.rows(query))

    for row in rows():
        if row.column == column and row.line in shown:
            name = shown[row.line]
            assert visible(name).casefold() == visible(row.name).casefold()
            assert not harmful(name, lines=False) - {"\U0001fffe", "\U0010ffff"}
            assert name == " ".join(name.split())
            assert unicodedata.is_normalized("NFC", name)


def test_names_that_differ_for_a_person_stay_apart(filled: tuple[Desk, Report, Path]) -> None:
    d, *_ = filled
    for column in ("team", "league"):
        stored = [row for row in rows() if row.column == column and wanted(row) == "stored"]
        forms = {visible(row.name).casefold() for row in stored}
        names = [name for (name,) in d.rows(f"SELECT name FROM {column}")]
        assert len({visible(name).casefold() for name in names}) >= len(forms)


def test_the_report_and_the_ledger_hold_nothing_that_acts(
    filled: tuple[Desk, Report, Path],
) -> None:
    d, report, refused = filled
    told = d.rows("SELECT value, fix, reason FROM refused_row")

    assert not harmful(report.words())
    assert not harmful("".join(cell or "" for row in told for cell in row), lines=False)
    with refused.open(encoding="utf-8", newline="") as file:
        cells = [cell for row in csv.reader(file, strict=True) for cell in row]
    assert not [cell for cell in cells if cell[:1] in tuple("=+-@\t\r＝＋－＠") and len(cell) > 1]


def test_the_ledger_is_whole_and_goes_out_and_in_again(
    filled: tuple[Desk, Report, Path], tmp_path: Path
) -> None:
    d, *_ = filled
    assert d.whole() == []

    export(d.file, tmp_path / "package")
    load(tmp_path / "package", tmp_path / "again.duckdb")

    with LedgerFile(tmp_path / "again.duckdb", who="ann") as file:
        again = Desk(file, tmp_path)
        assert again.dump() == d.dump()
        assert again.whole() == []
