"""What is said where a command was nearly right, and what to type next."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Offglass

HEAD = "league,season,date,game,team,player,made,period,attempt_id\n"
GAME = "Halma League,2024-25,2024-10-12,G1,Kolmar"


@pytest.mark.parametrize("named", ["attempt", "attempt_id"])
def test_a_file_of_tags_without_its_kind_is_asked_about(
    offglass: Offglass, desk: Path, named: str
) -> None:
    (desk / "seen.csv").write_text(f"{named},technique\n1,board\n", encoding="utf-8")

    done = offglass("import", "seen.csv")

    assert done.code == 2
    assert done.err.rstrip().endswith("--as tags?")


def test_a_list_is_shown_without_a_verb(filled: Offglass) -> None:
    assert filled("list", "autumn", "add", "Zef Olbax", "Teb Morkosh").code == 0
    assert filled("list", "autumn", "drop", "Teb Morkosh").code == 0

    shown = filled("list", "autumn")

    assert shown.code == 0
    assert "Zef Olbax" in shown.out
    assert "Teb Morkosh" not in shown.out


def test_a_list_that_is_not_there_or_a_verb_without_a_player_is_one_line(filled: Offglass) -> None:
    unknown, bare = filled("list", "winter"), filled("list", "winter", "add")

    assert (unknown.code, bare.code) == (2, 2)
    assert "the ledger has no list 'winter'" in unknown.err
    assert "needs a player" in bare.err


def test_an_unknown_profile_is_told_without_an_option_nobody_typed(filled: Offglass) -> None:
    done = filled("profile", "list", "nix")

    assert done.code == 2
    assert "nix: no profile of this name" in done.err
    assert "--profile" not in done.err


def test_a_word_of_an_unknown_technique_names_the_way_to_add_one(filled: Offglass) -> None:
    done = filled("word", "technique:hook=hookshot")

    assert done.code == 2
    assert "offglass technique add NAME" in done.err


def test_rows_that_contradict_say_in_which_field(offglass: Offglass, desk: Path) -> None:
    rows = [f"{GAME},Ilvo Tarn,{made},1,K{n}\n" for n, made in enumerate("10101", 1)]
    (desk / "one.csv").write_text(HEAD + "".join(rows), encoding="utf-8")
    others = [f"{GAME},Ilvo Tarn,{made},1,K{n}\n" for n, made in enumerate("01011", 1)]
    others[1] = f"{GAME},Ilvo Tarn,0,3,K2\n"
    (desk / "two.csv").write_text(HEAD + "".join(others), encoding="utf-8")
    (desk / "three.csv").write_text(HEAD + others[0], encoding="utf-8")
    assert offglass("import", "one.csv").code == 0

    many, single = offglass("import", "two.csv"), offglass("import", "three.csv")

    assert (many.code, single.code) == (1, 1)
    assert (
        "4 rows contradict the ledger and nothing of them was taken (line 2, 3, 4, 5); "
        "line 2: made is no in the file, yes in the ledger; "
        "line 3: period is 3 in the file, 1 in the ledger; "
        "line 4: made is no in the file, yes in the ledger\n"
    ) in many.err
    assert (
        "1 row contradicts the ledger and nothing of it was taken (line 2); "
        "line 2: made is no in the file, yes in the ledger"
    ) in single.err


def test_a_tag_that_contradicts_names_both_techniques(offglass: Offglass, desk: Path) -> None:
    (desk / "one.csv").write_text(f"{HEAD}{GAME},Ilvo Tarn,1,1,K1\n", encoding="utf-8")
    (desk / "seen.csv").write_text("attempt,technique,tagger\n1,board,bo\n", encoding="utf-8")
    (desk / "again.csv").write_text("attempt,technique,tagger\n1,underhand,bo\n", encoding="utf-8")
    assert offglass("import", "one.csv").code == 0
    assert offglass("import", "seen.csv", "--as", "tags").code == 0

    done = offglass("import", "again.csv", "--as", "tags")

    assert done.code == 1
    assert "line 2: technique is underhand in the file, board in the ledger" in done.err


def test_what_the_rules_say_of_a_technique_is_written_down_and_told(filled: Offglass) -> None:
    added = filled("technique", "add", "hook", "--rule", "nowhere forbidden")
    noted = filled("technique", "rule", "Board", "allowed, so the referees")
    unknown = filled("technique", "rule", "nix", "allowed")

    assert added.code == noted.code == 0
    assert "noted what the rules say about board; to take it back: offglass undo" in noted.err
    assert unknown.code == 2
    assert "nix" in unknown.err
    told = filled("brief", "-o", "staff.html")
    assert told.code == 0
    page = Path("staff.html").read_text(encoding="utf-8")
    assert "board: allowed, so the referees" in page
    assert "hook: nowhere forbidden" in page
