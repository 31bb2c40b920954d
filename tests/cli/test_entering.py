"""Attempts, trips, tags, notes and decisions typed at the command line, and the way back."""

from __future__ import annotations

import csv
import io
import json
import re
import sys
from typing import Any

import pytest

from tests.cli.conftest import Offglass

WHERE = (
    *("league=Halma League", "season=2023-24", "date=2023-10-14", "game=G1", "team=Skerry"),
    "player=Ilvo Tarn",
)
HEAD = "league,season,date,game,team,player,made,technique"
ROW = "Halma League,2023-24,2023-10-14,G1,Skerry,Ilvo Tarn"


def _attempts(offglass: Offglass, *more: str) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = json.loads(offglass("ask", "attempts", "--json", *more).out)[
        "rows"
    ]
    return sorted(rows, key=lambda row: row["attempt"])


def _pipe(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text.encode())))


def test_an_attempt_is_typed_into_a_ledger_that_is_made_for_it(offglass: Offglass) -> None:
    done = offglass("add", "attempt", *WHERE, "made=yes", "technique=bank", "miss_depth=")

    assert done.code == 0
    assert done.err.splitlines() == [
        "attempt 1 stored; to take it back: offglass undo 1",
        "note: new league: Halma League",
        "note: new season: 2023-24",
        "note: new team: Skerry",
        "note: new player: Ilvo Tarn",
    ]
    (row,) = _attempts(offglass)
    assert (row["player"], row["made"], row["technique"]) == ("Ilvo Tarn", True, "board")
    assert offglass("check").code == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("attempt", *WHERE), "an attempt needs league, .*missing: made: add made=VALUE"),
        (("attempt", *WHERE, "made=perhaps"), "made=perhaps: it may be yes, no"),
        (("attempt", *WHERE, "made=yes", "period=40"), "period=40: it lies between 1 and 20"),
        (("attempt", *WHERE, "made=yes", "date=2"), "date is given twice"),
        (
            ("attempt", *WHERE[:2], "date=2023-02-30", *WHERE[3:], "made=1"),
            "no date can be read, .*-30",
        ),
        (("attempt", *WHERE, "made=yes", "rebond_by=out"), "no field rebond_by; did you mean"),
        (("attempt", *WHERE, "made"), "'made' is no field: write FIELD=VALUE"),
        (("attempt", *WHERE, "made=1", "trip_shot=3", "trip_of=2"), "trip_shot cannot be above"),
        (("attempts", *WHERE), "add attempts takes rows: type offglass add attempts --stdin"),
        (("basket",), "type add attempt, add trip or add tag"),
        (("trip", *WHERE), "a trip needs its results in order"),
        (("trip", *WHERE, "made=yes,no", "trip_of=2"), "trip_of: a trip is numbered by its"),
        (("tag", "3", "technique=board"), "the ledger has no such attempt"),
        (("tag", "x3", "technique=board"), "an attempt has a number"),
        (("tag", "technique=board"), "a tag needs its attempt: .*missing: league, season, date"),
    ],
)
def test_what_cannot_be_is_said_in_one_line_and_nothing_is_kept(
    offglass: Offglass, words: tuple[str, ...], said: str
) -> None:
    done = offglass("add", *words)

    assert done.code == 2
    assert len(done.err.splitlines()) == 1
    assert re.search(said, done.err)
    listed = offglass("sources", "--json")
    assert listed.code == 3 or json.loads(listed.out)["rows"] == []


def test_a_near_miss_of_a_name_is_told_and_kept_apart(offglass: Offglass) -> None:
    offglass("add", "attempt", *WHERE, "made=yes")

    done = offglass("add", "attempt", *WHERE[:-1], "player=Ilvo Tarm", "made=no")

    assert "new player: Ilvo Tarm; check that Ilvo Tarn, which is in the ledger" in done.err
    assert [row["player"] for row in _attempts(offglass)] == ["Ilvo Tarn", "Ilvo Tarm"]


def test_a_trip_is_one_visit_with_its_shots_numbered(offglass: Offglass) -> None:
    done = offglass(
        "add", "trip", "made=yes,no", *WHERE, "order=4", "technique=board", "rebound_by=defensive",
        "miss_depth=,long",
    )  # fmt: skip

    rows = _attempts(offglass)
    assert "attempts 1, 2 stored" in done.err
    told = ("made", "trip_shot", "trip_of", "order_in_game", "rebound_by", "miss_depth")
    assert [tuple(row[name] for name in told) for row in rows] == [
        (True, 1, 2, 4, None, None),
        (False, 2, 2, 5, "defensive", "long"),
    ]
    assert {row["technique"] for row in rows} == {"board"}


def test_each_call_is_a_source_that_goes_and_comes_back(offglass: Offglass) -> None:
    offglass("add", "attempt", *WHERE, "made=yes", "order=1")
    offglass("add", "trip", "made=no,yes", *WHERE, "order=2")

    gone = offglass("undo", "2")
    left = len(_attempts(offglass))
    offglass("undo", "2", "--again")

    assert "2 attempts and 0 tags left the ledger" in gone.err
    assert (left, len(_attempts(offglass))) == (1, 3)
    kinds = [
        (r["source"], r["kind"]) for r in json.loads(offglass("sources", "--json").out)["rows"]
    ]
    assert kinds == [(1, "entry"), (2, "entry")]
    assert offglass("check").code == 0


def test_practice_is_typed_like_a_game_and_enters_no_figure(offglass: Offglass) -> None:
    offglass("add", "attempt", *WHERE, "made=yes")
    offglass("undo", "1")
    offglass(
        *("consent", "Ilvo Tarn", "--given-by", "player", "--on", "2023-10-01", "--for", "a trial")
    )
    offglass("add", "trip", "made=yes,no,yes", *WHERE, "stage=practice", "technique=board")

    assert _attempts(offglass) == []
    assert len(_attempts(offglass, "--stage", "practice")) == 3


def test_a_tag_names_its_attempt_by_number_id_or_place(offglass: Offglass) -> None:
    offglass("add", "attempt", *WHERE, "made=yes", "order=1", "attempt_id=A1")
    offglass("add", "attempt", *WHERE, "made=no", "order=2")
    place = [w for w in WHERE if not w.startswith("team")]

    by_number = offglass("add", "tag", "2", "technique=board", "miss_side=left")
    by_id = offglass("add", "tag", "attempt_id=A1", "technique=straight", "--tagger", "bo")
    by_place = offglass("add", "tag", *place, "shot=ft", "nth=2", "note=low", "--tagger", "bo")

    assert [d.code for d in (by_number, by_id, by_place)] == [0, 0, 0]
    assert [d.err.split(";")[0] for d in (by_number, by_id, by_place)] == [
        "tag of attempt 2 stored",
        "tag of attempt 1 stored",
        "tag of attempt 2 stored",
    ]
    first = _attempts(offglass)[0]
    assert (first["technique"], first["taggers"]) == ("straight", "bo")


def test_rows_from_a_pipe_are_told_of_like_a_file(
    offglass: Offglass, monkeypatch: pytest.MonkeyPatch
) -> None:
    _pipe(monkeypatch, f"{HEAD}\n{ROW},1,board\n{ROW},maybe,board\n{ROW},0,straight\n")

    done = offglass("add", "attempts", "--stdin", "--json")

    report = json.loads(done.out)
    assert done.code == 1
    counts = ("rows", "stored", "rejected", "attempts_stored", "tags_stored", "source")
    assert [report[name] for name in counts] == [3, 2, 1, 2, 2, 1]
    assert report["attempts"] == [1, 2]
    table = list(csv.DictReader(io.StringIO(offglass("sources", "1", "--csv").out)))
    assert [(row["line"], row["column"], row["value"]) for row in table] == [("3", "made", "maybe")]
    assert "3 rows, 2 stored, 1 rejected" in offglass("sources", "1").out
    assert offglass("check").code == 0


def test_a_pipe_that_runs_twice_counts_no_attempt_twice(
    offglass: Offglass, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = f"{HEAD}\n{ROW},1,board\n{ROW},0,straight\n"
    _pipe(monkeypatch, text)
    first = offglass("add", "attempts", "--stdin")
    _pipe(monkeypatch, text)
    again = offglass("add", "attempts", "--stdin")
    counted = len(_attempts(offglass))
    offglass("undo", "1")
    _pipe(monkeypatch, text)
    after = offglass("add", "attempts", "--stdin")

    assert (first.code, again.code, after.code) == (0, 0, 0)
    assert "the same rows are already in the ledger as source 1" in again.err
    assert "give each its order" in again.err
    assert "offglass undo 1" in again.err
    assert counted == len(_attempts(offglass)) == 2
    assert offglass("check").code == 0


def test_piped_tags_take_league_and_season_from_set(
    offglass: Offglass, monkeypatch: pytest.MonkeyPatch
) -> None:
    offglass("add", "attempt", *WHERE, "made=yes")
    rows = "date,game,player,nth,technique,tagger\n2023-10-14,G1,Ilvo Tarn,1,board,bo\n"
    _pipe(monkeypatch, rows)

    lacking = offglass("add", "tags", "--stdin", "--set", "league=Halma League")
    _pipe(monkeypatch, rows)
    done = offglass(
        "add", "tags", "--stdin", "--set", "league=Halma League", "--set", "season=2023-24"
    )

    assert lacking.code == 2
    assert "no column for season (a tag names its attempt by attempt_id, or by" in lacking.err
    assert "--set season=VALUE" in lacking.err
    assert done.code == 0
    assert _attempts(offglass)[0]["technique"] == "board"


@pytest.mark.parametrize(
    ("kind", "text", "asked"),
    [
        ("box", "league,season,date,game,team,player,made,attempts\n" + ROW + ",7,9\n", 9),
        ("totals", "league,season,team,player,made,attempts\nA,2023-24,T,P,40,50\n", 0),
    ],
)
def test_rows_of_other_kinds_come_in_as_their_files_do(
    offglass: Offglass, monkeypatch: pytest.MonkeyPatch, kind: str, text: str, asked: int
) -> None:
    _pipe(monkeypatch, text)

    done = offglass("add", kind, "--stdin")

    assert done.code == 0
    assert "1 of 1 row stored" in done.err
    assert len(_attempts(offglass)) == asked


def test_a_dispute_is_settled_says_what_it_was_and_is_taken_back(offglass: Offglass) -> None:
    offglass("add", "attempt", *WHERE, "made=no", "technique=board", "--tagger", "ana")
    offglass("add", "tag", "1", "technique=straight", "--tagger", "bo")
    before = _attempts(offglass)[0]["technique"]

    done = offglass("settle", "1", "underhanded")
    now = _attempts(offglass)[0]["technique"]
    offglass("undo", "3")

    assert before is None
    assert done.err.startswith(
        "attempt 1 settled: underhand; before: disputed (ana board, bo straight); to take it back"
    )
    assert now == "underhand"
    assert _attempts(offglass)[0]["technique"] is None
    assert offglass("check").code == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [(("1", "nonsuch"), "no technique 'nonsuch'"), (("9", "board"), "there is no attempt 9")],
)
def test_only_an_attempt_and_a_technique_that_are_there_are_settled(
    offglass: Offglass, words: tuple[str, str], said: str
) -> None:
    offglass("add", "attempt", *WHERE, "made=no", "technique=board")

    done = offglass("settle", *words)

    assert done.code == 2
    assert said in done.err
    assert len(json.loads(offglass("sources", "--json").out)["rows"]) == 1


def test_notes_and_decisions_are_kept_listed_journalled_and_undone(offglass: Offglass) -> None:
    offglass("add", "attempt", *WHERE, "made=no")

    noted = offglass("note", "--player", "ilvo tarn", "--date", "2024-01-02", "elbow out")
    decided = offglass(
        "decide", "Ilvo Tarn", "try", "--why", "misses long", "--review", "2024-09-01"
    )
    listed = json.loads(offglass("note", "--list", "--json", "--player", "Ilvo Tarn").out)
    told = offglass("journal", "--player", "Ilvo Tarn").out
    listing = offglass("note", "--list")
    offglass("undo", "2")

    assert noted.err == "noted of Ilvo Tarn; to take it back: offglass undo 2\n"
    assert "Ilvo Tarn: try, to be looked at again on 2024-09-01" in decided.err
    assert [(r["said"], r["why"], r["date"]) for r in listed] == [
        ("elbow out", None, "2024-01-02"),
        ("try", "misses long", "2024-09-01"),
    ]
    assert [line.split()[3:6] for line in told.splitlines()[1:]] == [
        ["add", "note", "1"],
        ["add", "decision", "1"],
    ]
    assert listing.out.splitlines()[0].endswith("elbow out, about 2024-01-02; source 2")
    assert "elbow" not in offglass("note", "--list").out
    assert offglass("check").code == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("note",), "a note needs its text: offglass note --player P TEXT; offglass note --list"),
        (("note", "--player", "Nobu", "x"), "no player 'Nobu'"),
        (("note", " "), "a note needs a text of 1 to"),
        (("decide",), "a decision needs a player, a choice and a reason: offglass decide PLAYER"),
        (("decide", "Ilvo Tarn", "try"), "a decision needs a player, a choice and a reason"),
        (("decide", "Ilvo Tarn", "maybe", "--why", "x"), "'maybe' is no decision: use try, wait"),
        (("decide", "Ilvo Tarn", "stop", "--why", ""), "a decision needs a text"),
    ],
)
def test_notes_and_decisions_explain_themselves(
    offglass: Offglass, words: tuple[str, ...], said: str
) -> None:
    offglass("add", "attempt", *WHERE, "made=no")

    done = offglass(*words)

    assert done.code == 2
    assert said in done.err
    assert len(done.err.splitlines()) == 1


def test_one_source_is_shown_whole(filled: Offglass) -> None:
    page = filled("sources", "1").out
    whole = json.loads(filled("sources", "1", "--json").out)

    assert page.startswith("source 1: attempts_clean.csv\nattempts, by ")
    assert whole["rows"] == whole["stored"] + whole["already_there"] + whole["rejected"]
    assert set(whole) >= {"mapping", "reasons", "warnings", "refused", "changed", "sha256", "who"}
    assert filled("sources", "99").code == 2


def test_the_journal_is_read_by_source(filled: Offglass) -> None:
    filled("rumour", "off the glass", "--season", "2024-25")
    last = json.loads(filled("sources", "--json").out)["rows"][-1]

    told = filled("journal", "--source", str(last["source"])).out

    assert last["kind"] == "rumour"
    assert "text=off the glass" in told
    assert len(told.splitlines()) == 2
    assert "1 is a change beside the records" in filled("sources").out.replace("\n", " ")
