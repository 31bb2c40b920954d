"""Files of every form into a ledger, and their refused rows out, mended and in again."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.errors import RefusedInput
from ledger.intake.bring import bring
from ledger.intake.options import typed
from tests.intake.forms_given import book_of
from tests.store.filing import Desk, desk

FIELDS = ("league", "season", "date", "game", "team", "player", "made")
GOOD = ("Halma League", "2023-24", "2023-11-01", "H1", "Salt Mile", "Tarn Oselo", 1)
WRONG = ("Halma League", "2023-24", "2023-13-01", "H1", "Salt Mile", "Oselo, Tarn", 1)
ERROR = ("Halma League", "2023-24", "2023-11-01", "H1", "#N/A", "Ruva Shenti", 0)


@pytest.fixture
def d(tmp_path: Path) -> Iterator[Desk]:
    with desk(tmp_path) as opened:
        yield opened


def mended(path: Path, line: str, **cells: str) -> None:
    """Write the rows of a rejects file anew, one of them with other cells."""
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    for row in rows:
        if row["line"] == line:
            row.update(cells)
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)


def test_refused_rows_of_a_sheet_come_in_once_mended(d: Desk, tmp_path: Path) -> None:
    given, out = tmp_path / "round.xlsx", tmp_path / "rejects.csv"
    given.write_bytes(book_of([("Round 1",), FIELDS, GOOD, WRONG, ERROR]))

    first = bring(d.file, given, rejects=out)
    again = bring(d.file, out, check=True)
    mended(out, "4", date="2023-11-02")
    mended(out, "5", team="Salt Mile", beyond_header="")
    second = bring(d.file, out)

    assert (first.stored, first.reasons) == (1, {"bad_date": 1, "cell_error": 1})
    assert (again.stored, again.rejected) == (0, 2)
    assert (second.stored, second.rejected) == (2, 0)


@pytest.mark.parametrize("one_a_line", [False, True])
def test_json_with_the_own_names_needs_no_profile(
    d: Desk, tmp_path: Path, one_a_line: bool
) -> None:
    given, out = tmp_path / "feed.json", tmp_path / "rejects.csv"
    objects = [dict(zip(FIELDS, row, strict=True)) for row in (GOOD, WRONG)]
    rows = [json.dumps(each) for each in objects]
    given.write_text("\n".join(rows) if one_a_line else f'{{"shots": [{",".join(rows)}]}}')

    report = bring(d.file, given, rejects=out)
    mended(out, "2", date="2023-11-02")
    second = bring(d.file, out)

    assert (report.rows, report.stored, report.reasons) == (2, 1, {"bad_date": 1})
    assert second.stored == 1


def test_two_sheets_of_one_workbook_are_two_sources(d: Desk, tmp_path: Path) -> None:
    given = tmp_path / "rounds.xlsx"

    def more(book: object, sheet: object) -> None:
        other = book.create_sheet("Round 2")  # type: ignore[attr-defined]
        other.append(FIELDS)
        other.append((*GOOD[:2], "2023-11-08", "H2", *GOOD[4:]))

    given.write_bytes(book_of([FIELDS, GOOD], more))

    stored = [
        bring(d.file, given, "attempts", typed(sheet=name)).stored
        for name in (None, "Round 2", "Round 2")
    ]

    assert stored == [1, 1, 0]


def test_a_path_says_which_records_and_their_parents_are_mapped(d: Desk, tmp_path: Path) -> None:
    given = tmp_path / "feed.json"
    given.write_text(
        json.dumps(
            {
                "league": "Halma League",
                "games": [
                    {"day": "2023-11-01", "no": "H1", "shots": [{"p": "Tarn Oselo", "in": "yes"}]},
                    {"day": "2023-11-02", "no": "H2", "shots": [{"p": "Ruva Shenti", "in": "no"}]},
                ],
            }
        )
    )
    maps = ["$.league=league", "games.day=date", "games.no=game", "p=player", "in=made"]
    sets = ["season=2023-24", "team=Salt Mile"]

    with pytest.raises(RefusedInput, match="several lists of objects"):
        bring(d.file, given, "attempts", typed(maps, sets))
    report = bring(d.file, given, "attempts", typed(maps, sets, path="$.games[*].shots[*]"))

    assert (report.stored, report.rejected) == (2, 0)
