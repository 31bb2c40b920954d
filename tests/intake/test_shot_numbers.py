"""Bare numbers where kinds of shots stand: worth of a shot, or which throw of its trip."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.errors import RefusedInput
from ledger.intake import snapshot
from ledger.intake.draft import draft
from tests.store.filing import HEAD, desk, rows

GAME = "Halma League,2023-24,2023-10-14,G1,Skerry"


def _file(*kinds: str, column: str = "shot") -> str:
    return rows(
        f"{HEAD},{column}", *(f"{GAME},Ilvo Tarn,{n % 2},{kind}" for n, kind in enumerate(kinds))
    )


@pytest.mark.parametrize("kinds", [("1", "2"), ("1", "2", "3", "1"), ("2",), ("2", "3", "")])
def test_numbers_that_may_count_throws_are_no_kinds_of_shots(
    tmp_path: Path, kinds: tuple[str, ...]
) -> None:
    with desk(tmp_path) as d:
        with pytest.raises(RefusedInput) as refused:
            d.bring(_file(*kinds))
        said = refused.value.message
        assert "column shot holds the number" in said
        assert "Nothing stored" in said
        assert "--map 'shot=trip_shot'" in said
        assert ("--word shot:1=free_throw" if "1" in kinds else "--word shot:2=two") in said
        assert "\n" not in said
        assert d.rows("SELECT count(*) FROM attempt") == [(0,)]


def test_both_ways_out_that_the_refusal_names_are_ways_out(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(_file("1", "2"), maps=["shot=trip_shot"])
        found = d.rows("SELECT shot, trip_shot FROM attempt ORDER BY trip_shot")
        assert found == [("free_throw", 1), ("free_throw", 2)]
        d.undo(1)
        report = d.bring(_file("1", "2"), words=["shot:1=free_throw"])
        assert report.shots == {"free_throw": 1, "two": 1}


def test_what_is_said_of_one_settles_what_the_numbers_are(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        report = d.bring(_file("2", "3"), words=["shot:2=two"])
        assert report.shots == {"three": 1, "two": 1}


def test_words_beside_numbers_prove_that_they_are_kinds(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        report = d.bring(_file("free throw", "2", "3"))
        assert report.shots == {"free_throw": 1, "three": 1, "two": 1}


def test_a_one_among_words_refuses_the_rows_with_numbers_only(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        report = d.bring(_file("free throw", "two", "1", "2"))
        assert (report.stored, report.rejected) == (2, 2)
        assert report.reasons == {"unknown_word": 2}


def test_where_another_column_counts_the_throws_numbers_are_kinds(tmp_path: Path) -> None:
    text = rows(f"{HEAD},shot,trip_shot", f"{GAME},Ilvo Tarn,1,2,", f"{GAME},Ilvo Tarn,0,,1")
    with desk(tmp_path) as d:
        assert d.bring(text).shots == {"free_throw": 1, "two": 1}


def test_a_kind_of_file_without_trips_is_not_told_to_map_one(tmp_path: Path) -> None:
    text = rows("league,season,date,game,team,player,made,attempts,shot", f"{GAME},Ilvo Tarn,1,2,2")
    with desk(tmp_path) as d, pytest.raises(RefusedInput, match="take the column out if they"):
        d.bring(text, "box")


def test_a_draft_asks_what_numbers_are_that_come_as_throws_do() -> None:
    throws = snapshot.of_bytes(_file(*"1", *"2", *"1", *"2").encode(), "week.csv")
    made = draft(throws, "attempts")
    assert any("count the throws of a trip" in asked for asked in made.questions)
    worth = snapshot.of_bytes(_file(*"2", *"2", *"1", *"3").encode(), "week.csv")
    assert not any("throws of a trip" in asked for asked in draft(worth, "attempts").questions)
