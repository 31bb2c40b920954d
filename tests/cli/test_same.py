"""`offglass same` and `offglass word`, as typed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Offglass

HEAD = "league,season,date,game,team,player,made,technique"
LINE = "Halma League,2023-24,2023-10-14,G1,Skerry"


@pytest.fixture
def two_names(offglass: Offglass, desk: Path) -> Offglass:
    """A ledger in which one game came under two names of its shooter."""
    for name, who in (("a.csv", "Ilvo Tarn"), ("b.csv", "I. Tarn")):
        lines = [HEAD, f"{LINE},{who},1,slung", f"{LINE},{who},0,"]
        (desk / name).write_text("\n".join(lines) + "\n", encoding="utf-8")
        assert offglass("import", name).code == 0
    return offglass


def test_the_import_says_what_to_type_and_same_lists_it(two_names: Offglass) -> None:
    listed = two_names("same")
    assert listed.code == 0
    assert 'if so: offglass same "I. Tarn" "Ilvo Tarn"' in listed.out
    assert "Halma League; Skerry; 2023-24; 2 attempts" in listed.out
    assert "1 open offer:" in listed.err
    found = json.loads(two_names("same", "--json").out)
    assert [o["reason"] for o in found] == ["initials"]
    assert {found[0]["one"]["name"], found[0]["other"]["name"]} == {"I. Tarn", "Ilvo Tarn"}


def test_names_are_joined_told_apart_and_taken_back(two_names: Offglass) -> None:
    joined = two_names("same", "ilvo tarn", "I. Tarn", "--in", "halma league")
    assert joined.code == 0
    assert "2 attempts that came under both names count once" in joined.err
    assert joined.err.strip().endswith("offglass undo 3")
    assert two_names("same", "--json").out.strip() == "[]"
    assert two_names("check").code == 0
    assert two_names("same", "--apart", "Ilvo Tarn", "I. Tarn").code == 0
    assert two_names("same", "--json").out.strip() == "[]"
    assert two_names("undo", "4").code == 0
    assert two_names("undo", "3").code == 0
    assert len(json.loads(two_names("same", "--json").out)) == 1
    assert two_names("check").code == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("same", "Ilvo Tarn"), "give two players or more"),
        (("same", "Ilvo Tarn", "Ilva Tarn"), "did you mean Ilvo Tarn"),
        (("same", "--team", "--league", "a", "b"), "exclude each other"),
        (("same", "--apart"), "give the names"),
        (("same", "a", "b", "--in", "Nordic"), "no league 'Nordic'"),
        (("word", "technique=board"), "FIELD:TEXT=VALUE"),
        (("word", "technique:slung=bord"), "did you mean board"),
    ],
)
def test_wrong_use_is_one_line_and_code_two(
    two_names: Offglass, words: tuple[str, ...], said: str
) -> None:
    done = two_names(*words)
    assert done.code == 2
    assert said in done.err
    assert len(done.err.strip().splitlines()) == 1


def test_a_word_is_kept_for_good_and_tags_are_read_anew(two_names: Offglass) -> None:
    def techniques() -> list[str]:
        answer = json.loads(two_names("ask", "attempts", "--json").out)
        return sorted(str(row["technique"]) for row in answer["rows"])

    assert techniques() == ["None"] * 4
    done = two_names("word", "technique:slung=underhand")
    assert done.code == 0
    assert "offglass undo 3" in done.err
    assert techniques() == ["None", "None", "underhand", "underhand"]
    assert two_names("undo", "3").code == 0
    assert techniques() == ["None"] * 4


def test_teams_that_totals_and_games_part_are_listed_with_what_joins_them(
    offglass: Offglass, desk: Path
) -> None:
    totals = "league,season,team,player,made,attempts\nHalma League,2023-24,KOL,Ilvo Tarn,9,12\n"
    (desk / "totals.csv").write_text(totals, encoding="utf-8")
    (desk / "games.csv").write_text(
        f"{HEAD}\nHalma League,2023-24,2023-10-14,G1,Kolmar,Ilvo Tarn,1,\n", encoding="utf-8"
    )
    assert offglass("import", "totals.csv", "--as", "totals").code == 0
    assert offglass("same", "--team").out == ""
    assert 'offglass same --team "Kolmar" "KOL"' in offglass("import", "games.csv").err

    listed = offglass("same", "--team")

    assert listed.code == 0
    assert "1 player has season totals for KOL" in listed.out
    assert 'if so: offglass same --team "Kolmar" "KOL"' in listed.out
    assert "KOL (Halma League; 2023-24; 12 attempts)" in listed.out
    assert "type offglass same --team NAME NAME" in listed.err
    assert offglass("same").out == listed.out
    (found,) = json.loads(offglass("same", "--team", "--json").out)
    assert (found["kind"], found["reason"]) == ("team", "totals")
    assert offglass("same", "--team", "Kolmar", "KOL").code == 0
    done = offglass("same", "--team")
    assert (done.code, done.out) == (0, "")
    assert "no two names look like one team" in done.err


def test_only_offers_of_teams_stand_under_team(two_names: Offglass) -> None:
    assert two_names("same", "--team", "--json").out.strip() == "[]"
