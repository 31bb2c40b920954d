"""A wrong record mended by a person: kept through a re-import, undone like a source."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from ledger.errors import UseError
from ledger.intake.amend import amend
from tests.store.filing import HEAD, Desk, alone, desk, rows

GAME = "Halma League,2023-24,2023-10-14,G1"
TEXT = rows(
    HEAD + ",attempt_id,order,trip_shot,trip_of",
    f"{GAME},Skerry,Ilvo Tarn,1,7,1,1,2",
    f"{GAME},Skerry,Ilvo Tarn,0,8,2,2,2",
    f"{GAME},Fenholt,Bram Oselo,1,9,3,,",
)


def mend(d: Desk, kind: str, number: int, **changes: str) -> int:
    words = amend(d.file, kind, number, changes, why="seen on film")
    return int(words.rsplit(" ", 1)[1])


def attempt(d: Desk, number: int = 1) -> tuple[Any, ...]:
    text = (
        "SELECT a.made, a.shot, a.period, a.clock_s, a.order_in_game, p.name, t.name, a.rebound_by "
        "FROM attempt a JOIN player p ON p.id = a.player_id JOIN team t ON t.id = a.team_id "
        f"WHERE a.id = {number}"
    )
    return d.rows(text)[0]


def test_fields_are_read_by_the_rules_of_files_and_journalled(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(TEXT)
        mend(
            d,
            "attempt",
            1,
            made="missed",
            clock="5:38",
            period="2",
            player="bram oselo",
            team="Fenholt",
        )
        found = attempt(d)
        assert found == (False, "free_throw", 2, 338.0, 1, "Bram Oselo", "Fenholt", None)
        lines = d.rows(
            "SELECT field, old_value, new_value, why FROM journal "
            "WHERE action = 'correct' ORDER BY id"
        )
        assert ("made", "yes", "no", "seen on film") in lines
        assert ("player", "Ilvo Tarn", "Bram Oselo", "seen on film") in lines
        assert d.rows("SELECT kind, rows, stored FROM source WHERE id = 2") == [
            ("correction", 1, 1)
        ]
        assert d.whole() == []


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"made": "perhaps"}, "it may be yes, no"),
        ({"period": "44"}, "lies between 1 and 20"),
        ({"colour": "red"}, "no field of attempts"),
        ({"player": "Ilvo Tern"}, "did you mean Ilvo Tarn"),
        ({"trip_shot": "3"}, "above trip_of"),
        ({"made": ""}, "cannot be empty"),
        ({"made": "yes"}, "so already"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_changed(
    tmp_path: Path, changes: dict[str, str], said: str
) -> None:
    with desk(tmp_path) as d:
        d.bring(TEXT)
        before = d.dump()
        with pytest.raises(UseError, match=said):
            mend(d, "attempt", 1, **changes)
        assert d.dump() == before
        assert d.rows("SELECT count(*) FROM source") == [(1,)]


def test_a_correction_needs_a_record_and_a_reason(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(TEXT)
        with pytest.raises(UseError, match="no attempt 99"):
            mend(d, "attempt", 99, made="no")
        with pytest.raises(UseError, match="needs a reason"):
            amend(d.file, "attempt", 1, {"made": "no"}, why=" ")


def test_a_correction_taken_back_restores_and_brought_back_holds_again(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(TEXT)
        before = d.dump()
        first = mend(d, "attempt", 1, made="no", player="Bram Oselo")
        second = mend(d, "attempt", 1, made="yes", rebound_by="out")
        after = d.dump()
        d.undo(second)
        d.undo(first)
        assert d.dump() == before
        d.again(first)
        d.again(second)
        assert d.dump() == after
        d.undo(first)
        assert attempt(d)[0] is True
        assert attempt(d)[5] == "Ilvo Tarn"
        assert d.whole() == []


def test_a_correction_outlives_another_file_of_the_game_and_a_re_import(tmp_path: Path) -> None:
    more = rows(
        HEAD + ",attempt_id,order,rebound_by",
        f"{GAME},Skerry,Ilvo Tarn,1,7,1,",
        f"{GAME},Skerry,Ilvo Tarn,0,8,2,defensive",
        f"{GAME},Fenholt,Bram Oselo,1,9,3,",
    )
    with desk(tmp_path) as d:
        source = d.bring(TEXT)
        mend(d, "attempt", 1, made="no")
        mend(d, "attempt", 2, player="Bram Oselo")
        report = d.bring(more)
        assert (report.stored, report.already_there, report.contradicting) == (1, 2, 0)
        assert attempt(d)[0] is False
        assert attempt(d, 2)[5] == "Bram Oselo"
        assert attempt(d, 2)[7] == "defensive"
        d.undo(report.source)
        assert attempt(d, 2)[7] is None
        d.undo(source.source)
        again = d.bring(TEXT)
        assert again.stored == 3
        assert attempt(d)[0] is False
        assert attempt(d, 2)[5] == "Bram Oselo"
        assert d.whole() == []


def test_a_corrected_attempt_of_counts_is_still_the_same_attempt(tmp_path: Path) -> None:
    text = rows(HEAD, f"{GAME},Skerry,Ilvo Tarn,1", f"{GAME},Skerry,Ilvo Tarn,1")
    longer = rows(HEAD, *[f"{GAME},Skerry,Ilvo Tarn,1"] * 3)
    with desk(tmp_path) as d:
        d.bring(text)
        fixed = mend(d, "attempt", 1, made="no")
        report = d.bring(longer)
        assert (report.stored, report.already_there) == (1, 2)
        d.undo(fixed)
        assert d.dump() == alone((longer, "attempts"))


def test_a_players_name_mended_still_meets_the_files_that_have_the_old_one(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(TEXT)
        fixed = mend(d, "player", 1, name="Ilvo Tarne", height_cm="198", hand="left")
        more = rows(HEAD, "Halma League,2023-24,2023-10-21,G2,Skerry,Ilvo Tarn,1")
        d.bring(more)
        assert d.rows("SELECT count(*) FROM player") == [(2,)]
        kept = d.rows("SELECT name, height_cm, hand FROM player WHERE id = 1")
        assert kept == [("Ilvo Tarne", 198.0, "left")]
        d.undo(fixed)
        kept = d.rows("SELECT name, normal_form, height_cm, hand FROM player WHERE id = 1")
        assert kept == [("Ilvo Tarn", "ilvo tarn", None, None)]


def test_a_games_day_mended_still_meets_the_files_that_have_the_old_one(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        source = d.bring(TEXT)
        before = d.dump()
        fixed = mend(
            d, "game", 1, date="2023-10-15", home="skerry", stage="playoff", video="reel 4"
        )
        assert d.rows("SELECT stage, video FROM game") == [("playoff", "reel 4")]
        d.undo(source.source)
        d.bring(TEXT)
        assert d.rows("SELECT count(*), min(date)::VARCHAR FROM game") == [(1, "2023-10-15")]
        d.undo(fixed)
        assert d.dump() == before


def test_a_team_gets_a_better_name_but_not_that_of_another(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(TEXT)
        mend(d, "team", 1, name="Skerry Harbour")
        assert d.rows("SELECT name FROM team WHERE id = 1") == [("Skerry Harbour",)]
        with pytest.raises(UseError, match="has a team 'Fenholt' already"):
            mend(d, "team", 1, name="Fenholt")


def test_a_derived_trip_that_a_person_mends_is_derived_no_more(tmp_path: Path) -> None:
    text = rows(
        HEAD + ",order,period,clock",
        f"{GAME},Skerry,Ilvo Tarn,1,1,1,5:38",
        f"{GAME},Skerry,Ilvo Tarn,0,2,1,5:38",
    )
    trip = "SELECT trip_shot, trip_of, trip_derived FROM attempt ORDER BY order_in_game"
    with desk(tmp_path) as d:
        d.bring(text, trips="by-clock")
        source = mend(d, "attempt", 1, trip_of="3")
        mended = d.rows(trip)
        # Another file of the game lays it out anew.
        d.bring(rows(HEAD + ",order,spot", f"{GAME},Skerry,Ilvo Tarn,1,1,left"))
        kept = d.rows(trip)
        d.undo(source)

        assert mended == kept == [(1, 3, False), (2, 2, True)]
        assert d.rows(trip) == [(1, 2, True), (2, 2, True)]
        assert d.whole() == []
