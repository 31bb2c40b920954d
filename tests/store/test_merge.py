"""A colleague's ledger in: recognised like a file, and taken back like one."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from ledger.errors import UseError
from ledger.store import registers
from ledger.store.correct import correct
from ledger.store.merge import child
from ledger.store.merge import other as foreign
from ledger.store.merge.merge import merge
from ledger.store.merge.report import Merged
from ledger.store.same import same
from tests.store.filing import HEAD, Desk, desk, rows

ORDERED = HEAD + ",order,attempt_id"
GAME = rows(
    ORDERED,
    "Halma League,2023-24,2023-10-14,G1,Skerry,Oda Tarn,1,1,a1",
    "Halma League,2023-24,2023-10-14,G1,Skerry,Oda Tarn,0,2,a2",
    "Halma League,2023-24,2023-10-14,G1,Skerry,Ivo Marl,1,3,a3",
)
TAGS = "attempt_id,league,tagger,technique,miss_depth"


@pytest.fixture(autouse=True)
def _read_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """The other ledger is read without a process of its own, which takes a second to start."""
    monkeypatch.setattr(foreign, "_asked", lambda request, _: child.answer(request))


@contextmanager
def two(folder: Path) -> Iterator[tuple[Desk, Desk]]:
    """One's own ledger, and a colleague's."""
    (folder / "own").mkdir()
    (folder / "other").mkdir()
    with desk(folder / "own") as own, desk(folder / "other", "other") as other:
        other.file.who = "bo"
        yield own, other


def brought(own: Desk, other: Desk) -> Merged:
    """The colleague's ledger in."""
    other.file.release()
    return merge(own.file, other.file.path)


def said(desk_: Desk, what: Any) -> Any:
    """A change by hand."""
    with desk_.file.changing("a test") as con:
        return what(con, desk_.file)


def test_attempts_that_are_there_are_recognised_and_tags_keep_their_taggers(
    tmp_path: Path,
) -> None:
    with two(tmp_path) as (own, other):
        own.bring(GAME)
        own.bring(rows(TAGS, "a1,Halma League,ana,board,"), "tags")
        other.bring(GAME)
        other.bring(
            rows(TAGS, "a1,Halma League,cem,straight,", "a2,Halma League,,board,short"), "tags"
        )

        report = brought(own, other)

        assert (report.attempts_stored, report.tags_stored, report.already_there) == (0, 2, 3)
        assert report.contradictions == ()
        assert own.rows("SELECT attempt_id, tagger FROM tag ORDER BY attempt_id, tagger") == [
            (1, "ana"),
            (1, "cem"),
            (2, "bo"),
        ]
        assert own.rows("SELECT kind FROM source ORDER BY id") == [
            ("attempts",),
            ("tags",),
            ("merge",),
        ]
        assert own.whole() == []


def test_merging_twice_changes_nothing_and_says_so_in_one_line(tmp_path: Path) -> None:
    with two(tmp_path) as (own, other):
        other.bring(GAME)
        first = brought(own, other)
        before = own.dump(), own.rows("SELECT count(*) FROM source")

        again = brought(own, other)

        assert again.words() == (
            f"{other.file.name} is already in the ledger as source {first.source} of 2025-01-01: "
            "nothing added"
        )
        assert (own.dump(), own.rows("SELECT count(*) FROM source")) == before


def test_a_ledger_that_grew_brings_only_what_is_new(tmp_path: Path) -> None:
    with two(tmp_path) as (own, other):
        other.bring(GAME)
        brought(own, other)
        other.bring(rows(HEAD, "Halma League,2023-24,2023-10-15,G2,Skerry,Oda Tarn,1"))

        report = brought(own, other)

        assert (report.attempts_stored, report.already_there, report.rows) == (1, 3, 4)
        assert own.dump() == other.dump()


def test_what_contradicts_is_listed_with_its_line_and_not_taken(tmp_path: Path) -> None:
    with two(tmp_path) as (own, other):
        own.bring(GAME)
        other.bring(GAME)
        said(other, lambda c, h: correct(c, h, "attempt", 2, {"made": True}, why="film"))
        other.bring(rows(TAGS, "a2,Halma League,cem,board,"), "tags")
        before = own.dump()

        report = brought(own, other)

        assert report.contradicting == 1
        assert report.contradictions == (
            "line 2: attempt 2 there, 2 here (Oda Tarn): made is yes there, no here",
        )
        assert report.reasons == {"attempt_contradicts": 1}
        assert own.dump() == before
        assert own.whole() == []


def test_tags_of_one_name_that_differ_are_a_contradiction(tmp_path: Path) -> None:
    with two(tmp_path) as (own, other):
        for one, technique in ((own, "board"), (other, "straight")):
            one.bring(GAME)
            one.bring(rows(TAGS, f"a1,Halma League,ana,{technique},"), "tags")

        report = brought(own, other)

        assert report.contradictions == (
            "line 4: tag of attempt 1 by ana there, 1 here (Oda Tarn): technique is straight "
            "there, board here",
        )


def test_a_technique_of_another_meaning_is_listed_and_its_tags_are_not_taken(
    tmp_path: Path,
) -> None:
    with two(tmp_path) as (own, other):
        for one, board in ((own, False), (other, True)):
            said(one, lambda c, h, b=board: registers.add_technique(c, h, "hook", uses_board=b))
            one.bring(GAME)
        other.bring(rows(TAGS, "a1,Halma League,cem,hook,", "a2,Halma League,cem,board,"), "tags")

        report = brought(own, other)

        assert report.reasons == {"other_meaning": 1}
        assert report.tags_stored == 1
        assert report.not_taken == (
            "technique hook: off the backboard there, not off the backboard here",
        )
        assert f"merge again: offglass undo {report.source}" in brought(own, other).words()


def test_a_corrected_name_or_day_there_does_not_make_two_of_one(tmp_path: Path) -> None:
    with two(tmp_path) as (own, other):
        own.bring(GAME)
        other.bring(GAME)
        said(other, lambda c, h: correct(c, h, "player", 1, {"name": "Oda Tarnel"}, why="card"))
        said(other, lambda c, h: correct(c, h, "team", 1, {"name": "Skerry Town"}, why="card"))
        said(other, lambda c, h: correct(c, h, "game", 1, {"label": "Game 1"}, why="card"))
        before = own.dump()

        report = brought(own, other)

        assert own.dump() == before
        assert (report.attempts_stored, report.already_there) == (0, 3)
        assert report.not_taken == (
            "team Skerry is called Skerry Town there",
            "player Oda Tarn is called Oda Tarnel there",
            "game G1 of 2023-10-14 is Game 1 of 2023-10-14 there",
        )


def test_what_people_entered_comes_too_and_goes_with_an_undo(tmp_path: Path) -> None:
    with two(tmp_path) as (own, other):
        own.bring(GAME)
        empty = _entered(own)
        other.bring(GAME)
        other.bring(
            rows(
                "player,league,team,season,number,height_cm,hand",
                "Oda Tarn,Halma League,Skerry,2023-24,7,201,left",
            ),
            "players",
        )
        other.bring(
            rows("league,season,team,player,made,attempts",
                 "Halma League,2022-23,Skerry,Ivo Marl,30,40"), "totals",
        )  # fmt: skip
        said(other, lambda c, h: registers.add_word(c, h, "technique", "brett", "board"))
        said(other, lambda c, h: registers.add_rumour(c, h, "heard it", "2023-24"))
        said(other, lambda c, h: registers.list_add(c, h, "keep", ["Ivo Marl"], note="look"))
        with other.file.changing("a test") as con:
            con.execute(
                "INSERT INTO note VALUES (1, 1, NULL, 'calm', 'bo', TIMESTAMP '2025-01-01')"
            )
            con.execute(
                "INSERT INTO decision VALUES (1, 1, 'try', 'why not', NULL, 'bo',"
                " TIMESTAMP '2025-01-01')"
            )
            con.execute(
                "INSERT INTO profile VALUES (1, 'p', 'x = 1', 'bo', TIMESTAMP '2025-01-01')"
            )
            con.execute("UPDATE game SET video = 'film.mp4'")
            con.execute(
                "INSERT INTO consent VALUES (1, 1, 'player', DATE '2025-01-01', NULL, 'practice',"
                " 'bo', TIMESTAMP '2025-01-01')"
            )

        report = brought(own, other)

        full = _entered(own)
        assert full == _entered(other)
        assert full != empty
        assert report.not_taken == ("1 consents: they stay with who made them",)
        own.undo(report.source)
        assert _entered(own) == empty
        own.again(report.source)
        assert _entered(own) == full
        assert own.whole() == []


def _entered(one: Desk) -> dict[str, list[tuple[Any, ...]]]:
    queries = {
        "word": "SELECT field, text, value, who FROM word",
        "rumour": "SELECT text, who FROM rumour",
        "list": """SELECT s.name, p.name, e.note FROM shortlist_entry e
            JOIN shortlist s ON s.id = e.shortlist_id JOIN player p ON p.id = e.player_id
            WHERE e.dropped IS NULL""",
        "note": "SELECT p.name, n.text, n.who FROM note n JOIN player p ON p.id = n.player_id",
        "decision": "SELECT choice, why, who FROM decision",
        "profile": "SELECT name, body, who FROM profile",
        "game": "SELECT label, video FROM game",
        "player": "SELECT name, height_cm, hand FROM player ORDER BY name",
        "roster": "SELECT p.name, number FROM roster r JOIN player p ON p.id = r.player_id",
        "totals": "SELECT made, attempts FROM season_total WHERE NOT removed",
    }
    return {name: one.rows(query) for name, query in queries.items()}


def test_players_who_are_one_there_become_one_before_anything_is_matched(tmp_path: Path) -> None:
    with two(tmp_path) as (own, other):
        short = GAME.replace("Oda Tarn", "O. Tarn").replace("G1", "G2").replace(",a", ",b")
        for one in (own, other):
            one.bring(GAME)
            one.bring(short)
        said(other, lambda c, h: same(c, h, ["Oda Tarn", "O. Tarn"]))
        apart = own.rows("SELECT name, same_as FROM player ORDER BY name")

        report = brought(own, other)

        persons = "SELECT count(DISTINCT coalesce(same_as, id)) FROM player"
        assert own.rows(persons) == other.rows(persons) == [(2,)]
        assert report.new == {"joined players": 1}
        assert report.attempts_stored == 0
        own.undo(report.source)
        assert own.rows("SELECT name, same_as FROM player ORDER BY name") == apart
        assert own.whole() == []


def test_attempts_under_two_names_that_are_one_there_count_once_here(tmp_path: Path) -> None:
    with two(tmp_path) as (own, other):
        twice = GAME.replace("Oda Tarn", "O. Tarn").replace(",a", ",b")
        for one in (own, other):
            one.bring(GAME)
            one.bring(twice)
        said(other, lambda c, h: same(c, h, ["Oda Tarn", "O. Tarn"]))
        before = own.dump()

        report = brought(own, other)

        count = "SELECT count(*) FROM attempt WHERE NOT removed"
        assert own.rows(count) == other.rows(count)
        assert report.new == {"joined players": 1}
        assert own.whole() == []
        own.undo(report.source)
        assert own.dump() == before
        assert own.whole() == []


def test_tags_drawn_by_lot_stay_so_and_others_do_not_become_so(tmp_path: Path) -> None:
    from ledger.store.reads import Reads

    with two(tmp_path) as (own, other):
        other.bring(GAME)
        other.bring(rows(TAGS, "a1,Halma League,ana,board,"), "tags")
        other.bring(rows(TAGS, "a3,Halma League,ana,board,"), "tags", drawn=True)

        brought(own, other)

        for each in (own, other):
            with each.file.reading() as con:
                drawn = Reads(con).first_tags().sort("first_tag")["drawn"].to_list()
            assert drawn == [False, True]


def test_games_without_order_lose_and_double_nothing(tmp_path: Path) -> None:
    lines = [
        f"Halma League,2023-24,2023-10-14,G1,Skerry,Oda Tarn,{made},{technique}"
        for made, technique in ((1, "board"), (1, "straight"), (0, "board"), (1, ""))
    ]
    with two(tmp_path) as (own, other):
        own.bring(rows(HEAD + ",technique", *lines))
        other.bring(rows(HEAD + ",technique", *reversed(lines)), tagger="ann")
        before = own.dump()

        report = brought(own, other)

        assert own.dump() == before
        assert (report.attempts_stored, report.tags_stored, report.contradicting) == (0, 0, 0)


def test_a_ledger_is_not_merged_into_itself(tmp_path: Path) -> None:
    with two(tmp_path) as (own, _):
        link = tmp_path / "link.duckdb"
        link.symlink_to(own.file.path)

        with pytest.raises(UseError, match="is this ledger itself"):
            merge(own.file, link)


def test_the_other_ledger_is_left_as_it_was(tmp_path: Path) -> None:
    with two(tmp_path) as (own, other):
        other.bring(GAME)
        other.file.release()
        before = other.file.path.read_bytes()
        beside = sorted(p.name for p in other.file.path.parent.iterdir())

        merge(own.file, other.file.path)

        assert other.file.path.read_bytes() == before
        assert sorted(p.name for p in other.file.path.parent.iterdir()) == beside


def test_players_of_whom_no_record_tells_which_of_two_they_are_are_named(tmp_path: Path) -> None:
    with two(tmp_path) as (own, other):
        twin = GAME.replace("Skerry", "Weil").replace("G1", "G2").replace(",a", ",b")
        own.bring(GAME)
        own.bring(twin)
        other.bring("player,league,height_cm\nOda Tarn,Halma League,201\n", "players")
        count = own.rows("SELECT count(DISTINCT coalesce(same_as, id)) FROM player")

        report = brought(own, other)

        said = "player Oda Tarn: several players have the name, and no team tells which"
        assert report.not_taken == (said,)
        assert own.rows("SELECT count(DISTINCT coalesce(same_as, id)) FROM player") == count


def test_players_and_numbers_that_no_file_could_have_brought_are_said(tmp_path: Path) -> None:
    with two(tmp_path) as (own, other):
        lines = ("Oda Tarn,Halma League,Skerry,2023-24,7", "Ivo Marl,Halma League,Skerry,2023-24,8")
        other.bring(rows("player,league,team,season,number", *lines), "players")
        said(other, lambda c, _: c.execute("UPDATE roster SET number = repeat('9', 5000)"))
        said(other, lambda c, _: c.execute("UPDATE player SET name = ' ' || name WHERE id = 1"))

        report = brought(own, other)

        assert "1 player: a name that no file could have brought" in report.not_taken
        assert "players' teams and numbers: 2 that no file could have brought" in report.not_taken
