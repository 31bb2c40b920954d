"""Records typed by hand: one call a source, each another attempt unless it has a place or an id."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from ledger.errors import UseError
from ledger.intake.entry import enter, enter_lines, trip_rows
from ledger.intake.settling import settle
from tests.store.filing import HEAD, Desk, desk, rows

GAME = "Halma League,2023-24,2023-10-14,G1,Skerry"
WHERE = {
    "league": "Halma League",
    "season": "2023-24",
    "date": "2023-10-14",
    "game": "G1",
    "team": "Skerry",
    "player": "Ilvo Tarn",
}
AGREED = """
    SELECT k.name, a.tags, a.disputed, a.unclear, a.picked_for FROM agreed a
    LEFT JOIN technique k ON k.id = a.technique_id ORDER BY a.attempt_id
"""


def typed(d: Desk, **more: str) -> tuple[tuple[int, ...], tuple[str, ...]]:
    done = enter(d.file, "attempts", [{**WHERE, **more}])
    return done.attempts, done.outcomes


def tagged(d: Desk, attempt: int, **more: str) -> Any:
    return enter(d.file, "tags", [more], attempt=attempt)


def test_the_same_words_typed_again_are_another_attempt(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        assert [typed(d, made="yes")[0] for _ in range(3)] == [(1,), (2,), (3,)]
        before = d.dump()
        d.undo(2)
        assert d.rows("SELECT count(*) FROM attempt WHERE NOT removed") == [(2,)]
        d.again(2)
        assert d.dump() == before
        assert d.whole() == []


def test_a_place_in_the_game_or_an_id_is_one_attempt(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        typed(d, made="yes", order="1")
        assert typed(d, made="yes", order="1") == ((1,), ("already_there",))
        assert typed(d, made="no", attempt_id="A9", order="2")[1] == ("stored",)
        assert typed(d, made="no", attempt_id="A9", order="2") == ((2,), ("already_there",))
        with pytest.raises(UseError, match=r"it contradicts attempt 1, .*offglass correct"):
            typed(d, made="no", order="1")
        assert d.rows("SELECT count(*) FROM source") == [(4,)]


def test_typed_over_a_box_score_fills_its_attempts_one_by_one(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(f"{HEAD},attempts", f"{GAME},Ilvo Tarn,2,3"), "box")
        met = [typed(d, made="yes", technique="board")[0][0] for _ in range(2)]
        assert len(set(met)) == 2
        assert d.rows("SELECT count(*) FROM attempt WHERE NOT removed") == [(3,)]
        before = d.dump()
        d.undo(2)
        d.again(2)
        assert d.dump() == before
        assert d.whole() == []


def test_a_file_that_comes_later_meets_what_was_typed(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        for made in ("yes", "no", "yes"):
            typed(d, made=made)
        report = d.bring(rows(HEAD, *[f"{GAME},Ilvo Tarn,{m}" for m in (1, 0, 1)]))
        assert (report.already_there, report.stored) == (3, 0)
        d.undo(1)
        assert d.rows("SELECT count(*) FROM attempt WHERE NOT removed") == [(3,)]
        assert d.whole() == []


@pytest.mark.parametrize(
    ("made", "fields", "expected"),
    [
        ("yes", {}, [{"made": "yes", "trip_shot": "1", "trip_of": "1"}]),
        (
            "yes,no",
            {"order": "7", "rebound_by": "out", "game": "A,B", "clock": "5:38"},
            [
                {
                    "made": "yes",
                    "trip_shot": "1",
                    "trip_of": "2",
                    "order": "7",
                    "game": "A,B",
                    "clock": "5:38",
                },
                {
                    "made": "no",
                    "trip_shot": "2",
                    "trip_of": "2",
                    "order": "8",
                    "rebound_by": "out",
                    "game": "A,B",
                    "clock": "5:38",
                },
            ],
        ),
        (
            "no, yes",
            {"technique": "board,straight", "note": "both, low and late"},
            [
                {
                    "made": "no",
                    "trip_shot": "1",
                    "trip_of": "2",
                    "technique": "board",
                    "note": "both",
                },
                {
                    "made": "yes",
                    "trip_shot": "2",
                    "trip_of": "2",
                    "technique": "straight",
                    "note": "low and late",
                },
            ],
        ),
    ],
)
def test_a_visit_to_the_line_becomes_its_throws(
    made: str, fields: dict[str, str], expected: list[dict[str, str]]
) -> None:
    assert trip_rows(made, fields) == expected


@pytest.mark.parametrize(
    ("made", "fields", "words"),
    [
        ("", {}, "needs its results in order"),
        ("yes,,no", {}, "needs its results in order"),
        (",".join(["yes"] * 10), {}, "at most nine"),
        ("yes,no", {"attempt_id": "A1"}, "a trip of 2 needs 2 ids"),
        ("yes", {"trip_shot": "1"}, "a trip is numbered by its results"),
    ],
)
def test_a_visit_that_cannot_be_says_why(made: str, fields: dict[str, str], words: str) -> None:
    with pytest.raises(UseError, match=words):
        trip_rows(made, fields)


def test_several_people_one_ruling_and_what_picked_the_attempt(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        typed(d, made="no")
        for tagger, technique in (("ana", "board"), ("bo", "straight")):
            tagged(d, 1, tagger=tagger, technique=technique, picked_for="result")
        assert d.rows(AGREED) == [(None, 2, True, False, "result")]
        tagged(d, 1, tagger="cy", technique="not on film")
        assert d.rows(AGREED) == [(None, 3, True, False, "result")]
        tagged(d, 1, tagger="dee", technique="board")
        assert d.rows(AGREED)[0][:3] == ("board", 4, False)
        done = settle(d.file, 1, "straight")
        assert done.before == (
            ("ana", "board"),
            ("bo", "straight"),
            ("cy", "unclear"),
            ("dee", "board"),
        )
        assert done.was == "board"
        assert d.rows(AGREED)[0][:3] == ("straight", 5, False)
        d.undo(done.source)
        assert d.rows(AGREED)[0][:3] == ("board", 4, False)
        assert d.whole() == []


def test_an_attempt_nobody_could_see_is_unclear_and_not_tagged(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        typed(d, made="no")
        tagged(d, 1, tagger="ana", technique="cannot tell")
        assert d.rows(AGREED) == [(None, 1, False, True, None)]
        tagged(d, 1, tagger="bo", technique="board")
        assert d.rows(AGREED)[0][:4] == ("board", 2, False, False)


def test_a_ruling_keeps_what_its_person_saw_before(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        typed(d, made="no", technique="board", miss_depth="long", note="high arc")
        settle(d.file, 1, "underhand")
        told = d.rows("SELECT miss_depth, note, adjudicated FROM tag WHERE NOT removed")
        assert told == [("long", "high arc", True)]


def test_a_tags_file_finds_the_nth_attempt_by_names_and_set(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(f"{HEAD},order", *[f"{GAME},Ilvo Tarn,{n % 2},{n}" for n in (1, 2, 3)]))
        report = d.bring(
            rows(
                "date,game,player,nth,tagger,technique,adjudicated,picked_for",
                "2023-10-14,G1,Ilvo Tarn,2,ana,board,,result",
                "2023-10-14,G1,Ilvo Tarn,2,bo,straight,,",
                "2023-10-14,G1,Ilvo Tarn,3,ana,board,,",
                "2023-10-14,G1,Ilvo Tarn,3,bo,straight,yes,",
                "2023-10-14,G1,Ilvo Tarn,4,bo,straight,,",
            ),
            "tags",
            sets=("league=Halma League", "season=2023/24"),
        )
        assert (report.stored, report.rejected) == (4, 1)
        assert d.rows(AGREED) == [
            (None, 2, True, False, None),
            ("straight", 2, False, False, None),
        ]
        kept = d.rows("SELECT tagger, picked_for FROM tag WHERE attempt_id = 2 ORDER BY tagger")
        assert kept == [("ana", "result"), ("bo", None)]


def test_piped_rows_that_are_refused_are_kept_with_their_source(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        text = rows(HEAD, f"{GAME},Ilvo Tarn,1", f"{GAME},Ilvo Tarn,7x", f"{GAME},,0")
        done = enter_lines(d.file, "attempts", text.encode())
        assert (done.report.rows, done.report.stored, done.report.rejected) == (3, 1, 2)
        assert done.report.exit_code == 1
        told = d.rows("SELECT line, column_name FROM refused_row ORDER BY line")
        assert told == [(3, "made"), (4, "player")]
        counts = d.rows("SELECT kind, rows, stored, rejected FROM source")
        assert counts == [("entry", 3, 1, 2)]
        assert d.whole() == []


def test_a_sitting_counts_what_it_came_to_once_a_file_is_gone(tmp_path: Path) -> None:
    counts = "SELECT stored, already_there, attempts_stored FROM source WHERE kind = 'entry'"
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, f"{GAME},Ilvo Tarn,1", f"{GAME},Ilvo Tarn,0"))
        done = enter(d.file, "attempts", [{**WHERE, "made": "yes"}])
        assert done.words().startswith("attempt 1 there already: nothing added; if another one")
        assert d.rows(counts) == [(0, 1, 0)]
        d.undo(1)
        assert d.rows(counts) == [(1, 0, 1)]
        d.again(1)
        assert d.rows("SELECT count(*) FROM attempt WHERE NOT removed") == [(2,)]
        assert d.whole() == []
