"""Which names are offered as one player, and why; numbers and ids that files give."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.store import same as joining
from ledger.store.offers import Offer, offers
from tests.store.filing import HEAD, Desk, desk, rows

LEAGUE = "Halma League,2023-24"


def game(day: int, team: str = "Skerry", league: str = LEAGUE) -> str:
    return f"{league},2023-10-{day:02d},G{day}{team},{team}"


def open_offers(d: Desk) -> list[Offer]:
    with d.file.reading() as con:
        return offers(con)


def said(d: Desk) -> list[tuple[str, str, str]]:
    return [(o.reason, o.one.name, o.other.name if o.other else "") for o in open_offers(d)]


@pytest.mark.parametrize(
    ("one", "other", "reason"),
    [
        ("Ilvo Tàrn", "Ilvo Tarn", "accents"),
        ("Tarn Ilvo", "Ilvo Tarn", "order"),
        ("I. Tarn", "Ilvo Tarn", "initials"),
        ("Ilvo Tаrn", "Ilvo Tarn", "look"),
        ("Bramilvo Osel", "Bramilvo Oselo", "cut"),
    ],
)
def test_two_ways_to_write_a_name_are_offered_with_the_reason(
    tmp_path: Path, one: str, other: str, reason: str
) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, f"{game(1)},{other},1", f"{game(1)},{other},0"))
        report = d.bring(rows(HEAD, f"{game(2)},{one},1"))
        assert said(d) == [(reason, other, one)]
        assert any('offglass same "' in w for w in report.warnings)


def test_an_offer_says_where_and_how_often_both_played(tmp_path: Path) -> None:
    head = HEAD + ",number,player_id"
    with desk(tmp_path) as d:
        d.bring(rows(head, f"{game(1)},Ilvo Tarn,1,#07,p1", f"{game(1)},Ilvo Tarn,0,,p1"))
        report = d.bring(rows(head, f"{game(2)},I. Tarn,1,07,p1"))
        assert any("the id p1 is Ilvo Tarn's in this league already" in w for w in report.warnings)
        (offer,) = open_offers(d)
        assert offer.reason == "id"
        assert (offer.one.teams, offer.one.seasons) == (("Skerry",), ("2023-24",))
        assert (offer.one.attempts, offer.one.numbers, offer.one.ids) == (2, ("07",), ("p1",))
        assert offer.other is not None
        assert (offer.other.attempts, offer.other.numbers) == (1, ("07",))


def test_joined_names_and_names_told_apart_are_not_offered(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, f"{game(1)},Ilvo Tarn,1", f"{game(2)},I. Tarn,1"))
        assert len(open_offers(d)) == 1
        with d.file.changing("same") as con:
            done = joining.same(con, d.file, ["Ilvo Tarn", "I. Tarn"])
        assert open_offers(d) == []
        d.undo(done.source_id)
        with d.file.changing("same") as con:
            told = joining.apart(con, d.file, ["Ilvo Tarn", "I. Tarn"])
        assert open_offers(d) == []
        d.undo(told.source_id)
        assert len(open_offers(d)) == 1


def test_two_names_in_one_game_of_one_file_are_not_offered(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, f"{game(1)},Ilvo Tarn,1", f"{game(1)},I. Tarn,1"))
        assert open_offers(d) == []


def test_a_player_who_is_only_a_number_is_offered_with_who_wears_it_for_the_team(
    tmp_path: Path,
) -> None:
    head = HEAD + ",number"
    with desk(tmp_path) as d:
        d.bring(
            rows(
                head,
                f"{game(1)},Ilvo Tarn,1,32",
                f"{game(1)},Bram Oselo,1,33",
                f"{game(1, 'Fenholt')},Kemo Rast,1,32",
            )
        )
        d.bring(rows(HEAD, f"{game(2)},#32,1"))
        assert said(d) == [("number", "#32", "Ilvo Tarn")]


def test_one_name_with_several_ids_is_listed_and_kept_as_one(tmp_path: Path) -> None:
    head = HEAD + ",player_id"
    with desk(tmp_path) as d:
        d.bring(rows(head, f"{game(1)},Ilvo Tarn,1,p1", f"{game(2)},Ilvo Tarn,1,p2"))
        assert said(d) == [("ids", "Ilvo Tarn", "")]
        assert d.rows("SELECT count(*) FROM player") == [(1,)]


def test_one_name_in_two_leagues_is_offered_last(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, f"{game(1)},Ilvo Tarn,1", f"{game(1)},Tarn,1"))
        d.bring(rows(HEAD, f"{game(2, 'Dunmoor', 'Ormeda Liga,2024-25')},Ilvo Tarn,1"))
        names = sorted(["Ilvo Tarn (Skerry)", "Ilvo Tarn (Dunmoor)"])
        assert [(r, *sorted(pair)) for r, *pair in said(d)] == [("league", *names)]
        with d.file.changing("same") as con:
            joining.same(con, d.file, names)
        assert open_offers(d) == []


def test_numbers_and_ids_of_a_source_taken_back_are_no_evidence(tmp_path: Path) -> None:
    head = HEAD + ",player_id"
    with desk(tmp_path) as d:
        first = d.bring(rows(head, f"{game(1)},Ilvo Tarn,1,p1"))
        d.bring(rows(head, f"{game(2)},Bram Oselo,1,p1"))
        assert [o.reason for o in open_offers(d)] == ["id"]
        d.undo(first.source)
        assert open_offers(d) == []
        d.again(first.source)
        assert [o.reason for o in open_offers(d)] == ["id"]
        assert d.whole() == []


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("attempts", rows(HEAD + ",number,player_id", f"{game(1)},Ilvo Tarn,1,9,p1")),
        ("box", rows(HEAD + ",attempts,number,player_id", f"{game(1)},Ilvo Tarn,1,2,9,p1")),
        (
            "totals",
            rows(
                "league,season,team,player,made,attempts,number,player_id",
                f"{LEAGUE},Skerry,Ilvo Tarn,1,2,9,p1",
            ),
        ),
        (
            "players",
            rows("league,season,team,player,number,player_id", f"{LEAGUE},Skerry,Ilvo Tarn,9,p1"),
        ),
    ],
)
def test_every_kind_of_file_may_give_number_and_id(tmp_path: Path, kind: str, text: str) -> None:
    with desk(tmp_path) as d:
        report = d.bring(text, kind)
        assert report.stored == 1
        assert d.rows("SELECT number, source_id FROM roster") == [("9", 1)]
        assert d.rows(
            "SELECT file_id, as_written, source_id FROM player_alias WHERE file_id IS NOT NULL"
        ) == [("p1", "Ilvo Tarn", 1)]
        assert d.whole() == []
