"""The list of `ask attempts` filled in and brought back as tags, and kept out as attempts."""

from __future__ import annotations

import csv
import io
import json
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Offglass

HEAD = "league,season,date,game,team,player,made,attempt_id"
GAME = "Halma League,2024-25,2024-10-12,G1,Kolmar"


@pytest.fixture
def numbered(offglass: Offglass, desk: Path) -> Offglass:
    """Three attempts whose ids in the league are other numbers than the ledger's own."""
    rows = (f"{GAME},Ilvo Tarn,1,2", f"{GAME},Ilvo Tarn,0,3", f"{GAME},Osk Brell,1,1")
    (desk / "games.csv").write_text("\n".join((HEAD, *rows)) + "\n", encoding="utf-8")
    assert offglass("import", "games.csv").code == 0
    return offglass


def _rows(offglass: Offglass) -> dict[int, dict[str, Any]]:
    rows = json.loads(offglass("ask", "attempts", "--json").out)["rows"]
    return {row["attempt"]: row for row in rows}


def _filled_in(text: str, techniques: dict[str, str]) -> str:
    rows = list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"))))
    for row in rows:
        row["technique"] = techniques.get(row["attempt"], "")
    out = io.StringIO()
    writer = csv.DictWriter(out, rows[0].keys(), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def _techniques(offglass: Offglass) -> dict[int, str | None]:
    return {number: row["technique"] for number, row in _rows(offglass).items()}


def test_a_list_filled_in_comes_back_as_tags_of_its_own_attempts(
    numbered: Offglass, desk: Path
) -> None:
    listed = numbered("ask", "attempts", "--csv").out
    (desk / "list.csv").write_text(_filled_in(listed, {"1": "board", "3": "underhand"}), "utf-8")

    done = numbered("import", "list.csv", "--as", "tags", "--json")

    report = json.loads(done.out)
    assert (done.code, report["tags_stored"], report["rejected"]) == (0, 2, 0)
    assert _techniques(numbered) == {1: "board", 2: None, 3: "underhand"}
    assert numbered("check").code == 0


def test_piped_tags_name_attempts_by_the_ledgers_number(
    numbered: Offglass, monkeypatch: pytest.MonkeyPatch
) -> None:
    listed = numbered("ask", "attempts", "--csv").out
    text = _filled_in(listed, {"2": "board"})
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text.encode())))

    done = numbered("add", "tags", "--stdin")

    assert (done.code, _techniques(numbered)) == (0, {1: None, 2: "board", 3: None})


@pytest.mark.parametrize(("column", "tagged"), [("attempt", 2), ("attempt_id", 1)])
def test_the_number_is_the_ledgers_and_the_id_is_the_leagues(
    numbered: Offglass, desk: Path, column: str, tagged: int
) -> None:
    (desk / "seen.csv").write_text(f"{column},technique\n2,board\n", encoding="utf-8")

    assert numbered("import", "seen.csv", "--as", "tags").code == 0

    wanted = {number: "board" if number == tagged else None for number in (1, 2, 3)}
    assert _techniques(numbered) == wanted


def test_in_a_file_of_attempts_the_short_name_stays_the_leagues_id(
    offglass: Offglass, desk: Path
) -> None:
    head = HEAD.replace("attempt_id", "attempt")
    (desk / "games.csv").write_text(f"{head}\n{GAME},Ilvo Tarn,1,K-7\n", encoding="utf-8")

    assert offglass("import", "games.csv").code == 0

    assert _rows(offglass)[1]["file_id"] == "K-7"


@pytest.mark.parametrize(
    "row", ["4,2024-10-12,Ilvo Tarn", "1,2024-10-13,Ilvo Tarn", "1,2024-10-12,Osk Brell"]
)
def test_a_number_of_another_ledger_is_refused_with_its_row(
    numbered: Offglass, desk: Path, row: str
) -> None:
    (desk / "seen.csv").write_text(f"attempt,date,player,technique\n{row},board\n", "utf-8")

    done = numbered("import", "seen.csv", "--as", "tags", "--rejects", "refused.csv")

    assert done.code == 1
    assert "no_such_attempt" in done.err
    assert "ask attempts shows the numbers" in (desk / "refused.csv").read_text(encoding="utf-8")
    assert set(_techniques(numbered).values()) == {None}


def test_a_list_is_never_taken_for_new_attempts(numbered: Offglass, desk: Path) -> None:
    (desk / "list.csv").write_text(numbered("ask", "attempts", "--csv").out, encoding="utf-8")

    done = numbered("import", "list.csv", "--as", "attempts")

    assert done.code == 2
    (line,) = done.err.splitlines()
    assert "--as tags" in line
    assert "offglass export" in line
    assert len(_rows(numbered)) == 3
