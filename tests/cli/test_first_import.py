"""The first import makes the ledger; one of which nothing comes leaves none behind."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest

from ledger.book import Book
from ledger.errors import UseError
from tests.cli.conftest import SAMPLES, Offglass

CLEAN = f"{SAMPLES}/attempts_clean.csv"
BOX = "league,season,date,game,team,player,made,attempts\nHalma,2024-25,2024-10-12,G1,T,P,7,9\n"


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("import", "nowhere.csv"), 2),
        (("import", "nowhere.csv", "nor_here.csv"), 2),
        (("import", "box.csv"), 2),
        (("import", CLEAN, "--profile", "none"), 2),
        (("import", CLEAN, "--check"), 0),
        (("add", "attempt", "made=yes"), 2),
        (("profile", "save", "box.csv"), 2),
    ],
)
def test_where_nothing_came_in_no_ledger_is_left(
    offglass: Offglass, desk: Path, words: tuple[str, ...], code: int
) -> None:
    (desk / "box.csv").write_text(BOX, encoding="utf-8")

    done = offglass(*words)

    assert done.code == code
    assert {p.name for p in desk.glob("spring*")} <= {"spring.duckdb.lock"}


def test_a_file_of_refused_rows_is_a_source_and_its_ledger_stays(
    offglass: Offglass, desk: Path
) -> None:
    (desk / "bad.csv").write_text(BOX.replace("7,9", "9,7"), encoding="utf-8")

    assert offglass("import", "bad.csv", "--as", "box").code == 1

    assert (desk / "spring.duckdb").exists()


@pytest.mark.parametrize("first", ["new", "import"])
def test_a_ledger_that_was_there_stays_when_a_file_is_refused(
    offglass: Offglass, desk: Path, first: str
) -> None:
    offglass("new", "spring.duckdb") if first == "new" else offglass("import", CLEAN)

    assert offglass("import", "nowhere.csv").code == 2

    assert (desk / "spring.duckdb").exists()
    assert offglass("check").code == 0


def test_what_another_put_in_meanwhile_is_kept(
    offglass: Offglass, desk: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def meanwhile(book: Book, *_: object) -> None:
        book.release()
        with Book(desk / "spring.duckdb") as other:
            other.import_file(desk / CLEAN)
        raise UseError("it went wrong")

    monkeypatch.setattr(Book, "add_lines", meanwhile)
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"x\n")))

    assert offglass("add", "attempts", "--stdin").err == "offglass: it went wrong\n"

    assert (desk / "spring.duckdb").exists()
    assert '"attempt"' in offglass("ask", "attempts", "--json", "--limit", "1").out
