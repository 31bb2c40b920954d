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
