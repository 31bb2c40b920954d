"""What files tell of players, season totals by name, and shortlists."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.errors import UseError
from tests.store.filing import HEAD, Desk, desk, rows

SHOTS = rows(
    HEAD,
    "Halma League,2023-24,2023-10-14,G1,Skerry,Ilvo Tarn,1",
    "Ormeda Liga,2023-24,2023-10-14,G1,Dunmoor,Ilvo Tarn,1",
    "Halma League,2023-24,2023-10-14,G1,Fenholt,Bram Oselo,0",
)
PLAYERS = "player,league,team,season,number,position,height_cm,mass_kg,birth_year,hand"


def known(d: Desk, name: str = "Bram Oselo") -> list[tuple[object, ...]]:
    text = "SELECT position, height_cm, mass_kg, birth_year, hand FROM player WHERE name = "
    return d.rows(f"{text}'{name}' ORDER BY id")


def test_what_is_told_of_a_player_fills_his_fields_and_roster(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(SHOTS)
        report = d.bring(
            rows(PLAYERS, "bram oselo,,Fenholt,2023-24,12,wing,199,94.5,1998,left"), "players"
        )
        assert (report.stored, report.new) == (1, {})
        assert known(d) == [("wing", 199.0, 94.5, 1998, "left")]
        assert d.rows("SELECT number FROM roster") == [("12",)]
        assert d.whole() == []


def test_a_name_of_several_players_is_not_guessed(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(SHOTS)
        report = d.bring(
            rows(
                PLAYERS,
                "Ilvo Tarn,,,,,guard,,,,",
                "Ilvo Tarn,,Dunmoor,,,guard,,,,",
                "Nobody Here,,,,,guard,,,,",
                "Newcomer,Halma League,,,,guard,,,,",
            ),
            "players",
        )
        assert report.reasons == {"no_such_player": 1, "several_players": 1}
        assert (report.stored, report.new) == (2, {"players": 1})
        fix = d.rows("SELECT fix FROM refused_row WHERE reason = 'several_players'")[0][0]
        assert "Halma League, Skerry" in fix
        assert "Ormeda Liga, Dunmoor" in fix
        assert known(d, "Ilvo Tarn") == [(None,) * 5, ("guard", None, None, None, None)]


def test_a_players_row_that_differs_contradicts_and_counts_when_the_first_goes(
    tmp_path: Path,
) -> None:
    with desk(tmp_path) as d:
        d.bring(SHOTS)
        first = d.bring(rows(PLAYERS, "Bram Oselo,,,,,,199,,,"), "players")
        second = d.bring(rows(PLAYERS, "Bram Oselo,,,,,,201,96,,"), "players")
        third = d.bring(rows(PLAYERS, "Bram Oselo,,,,,wing,199,,,"), "players")
        assert second.contradicting == 1
        assert third.stored == 1
        assert known(d) == [("wing", 199.0, None, None, None)]
        d.undo(third.source)
        assert known(d) == [(None, 199.0, None, None, None)]
        d.undo(first.source)
        assert known(d) == [(None, 201.0, 96.0, None, None)]
        d.again(third.source)
        d.again(first.source)
        assert known(d) == [("wing", 199.0, None, None, None)]


def test_totals_of_a_name_that_is_two_players_need_the_team(tmp_path: Path) -> None:
    twice = rows(
        HEAD,
        "Halma League,2023-24,2023-10-14,G1,Skerry,Ilvo Tarn,1",
        "Halma League,2023-24,2023-10-14,G2,Fenholt,Ilvo Tarn,1",
    )
    head = "league,season,team,player,made,attempts"
    with desk(tmp_path) as d:
        d.bring(twice)
        report = d.bring(
            rows(
                head,
                "Halma League,2023-24,,Ilvo Tarn,70,90",
                "Halma League,2023-24,Fenholt,Ilvo Tarn,50,60",
            ),
            "totals",
        )
        assert report.reasons == {"several_players": 1}
        found = d.rows(
            "SELECT a.team_id = t.team_id, t.made "
            "FROM season_total t JOIN attempt a ON a.player_id = t.player_id"
        )
        assert found == [(True, 50)]
        assert d.whole() == []


def test_totals_of_a_traded_player_are_one_player(tmp_path: Path) -> None:
    head = "league,season,team,player,made,attempts"
    with desk(tmp_path) as d:
        report = d.bring(
            rows(
                head,
                "Halma League,2023-24,Skerry,Ilvo Tarn,70,90",
                "Halma League,2023-24,Fenholt,Ilvo Tarn,50,60",
            ),
            "totals",
        )
        assert report.new["players"] == 1
        assert d.rows("SELECT count(*) FROM season_total WHERE NOT removed") == [(2,)]


def test_shortlists_take_players_the_ledger_has_and_are_undone(tmp_path: Path) -> None:
    head = "list,player,league,note"
    live = (
        "SELECT p.name, e.note FROM shortlist_entry e JOIN player p ON p.id = e.player_id "
        "WHERE dropped IS NULL ORDER BY 1"
    )
    with desk(tmp_path) as d:
        d.bring(SHOTS)
        report = d.bring(
            rows(
                head,
                "spring,Bram Oselo,,quick",
                "spring,Ilvo Tarn,Ormeda Liga,",
                "spring,Ilvo Tarn,,",
                "spring,Bram Oselu,,",
                "Spring,bram oselo,,",
                "spring,Bram Oselo,,slow",
            ),
            "shortlist",
        )
        assert (report.stored, report.already_there, report.contradicting) == (2, 1, 1)
        assert report.reasons == {"no_such_player": 1, "several_players": 1}
        assert d.rows(live) == [("Bram Oselo", "quick"), ("Ilvo Tarn", None)]
        d.undo(report.source)
        assert d.rows(live) == []
        d.again(report.source)
        assert d.rows(live) == [("Bram Oselo", "quick"), ("Ilvo Tarn", None)]
        assert d.whole() == []


def test_a_lot_is_no_shortlist_to_add_to(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(SHOTS)
        with d.file.changing("a lot") as con:
            con.execute(
                "INSERT INTO lot "
                "SELECT 1, 'Spring', 1, 1, 7, 'ann', TIMESTAMP '2025-01-01 00:00:00'"
            )
        with pytest.raises(UseError, match="is a lot"):
            d.bring(rows("list,player", "spring,Bram Oselo"), "shortlist")
