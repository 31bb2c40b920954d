"""A game typed trip by trip: what it leaves in the ledger, and how it is taken back."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.errors import LedgerBusy, UseError
from ledger.intake import scoresheet
from ledger.intake.entry import enter
from ledger.intake.scoresheet import Sheet, add_line_up, open_sheet, score, take_back
from ledger.intake.trip import GameFacts, Trip
from tests.store.filing import HEAD, Desk, desk, rows

GAME = GameFacts("Halma League", "2024-25", "2024-11-02", "Skerry", "Fenholt")
TARN = Trip("Ilvo Tarn", "Skerry", (True, False), number="12")
OSELO = Trip("Bram Oselo", "Fenholt", (True,), number="7")
ORDERS = "SELECT order_in_game, made, trip_shot, trip_of FROM attempt WHERE NOT removed ORDER BY id"


def opened(d: Desk, facts: GameFacts = GAME) -> Sheet:
    return open_sheet(d.file, facts)


def test_a_trip_is_stored_with_its_places_and_told_in_words(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        sheet = opened(d)
        first = score(d.file, sheet, TARN)
        second = score(d.file, sheet, replace(TARN, made=(True, True, False)))

        assert first.words() == "12 Ilvo Tarn (Skerry): made, missed; now 1 of 2"
        assert second.words() == "12 Ilvo Tarn (Skerry): made, made, missed; now 3 of 5"
        assert d.rows(ORDERS) == [
            (1, True, 1, 2), (2, False, 2, 2), (3, True, 1, 3), (4, True, 2, 3), (5, False, 3, 3),
        ]  # fmt: skip
        assert d.rows("SELECT kind, file, rows, stored, attempts_stored FROM source") == [
            ("entry", "Halma League 2024-25, 2024-11-02: Skerry v Fenholt", 5, 5, 5)
        ]
        assert d.whole() == []


def test_marks_of_a_trip_are_the_records_own_fields(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        sheet = opened(d)
        score(d.file, sheet, OSELO)
        miss = replace(OSELO, made=(False,), kind="one_and_one", rebound_by="offensive", period=2,
                       clock="5:38", techniques=("board",))  # fmt: skip
        score(d.file, sheet, miss)
        score(d.file, sheet, replace(OSELO, made=(True, None)))
        score(d.file, sheet, replace(OSELO, made=(False,), ended_by="violation"))

        said = d.rows(
            "SELECT trip_kind, trip_of, trip_incomplete, rebound_by, ended_by, period, clock_s "
            "FROM attempt ORDER BY id"
        )
        assert said == [
            ("personal", 1, False, None, None, None, None),
            ("one_and_one", 2, False, "offensive", None, 2, 338.0),
            ("personal", 2, True, None, None, None, None),
            ("personal", 1, False, None, "violation", None, None),
        ]
        assert d.rows("SELECT attempt_id, technique_id, technique_as_written, tagger FROM tag") == [
            (2, 2, "board", "ann")
        ]
        assert d.rows("SELECT attempt_id, technique_id, tags FROM agreed") == [(2, 2, 1)]
        assert d.whole() == []


def test_a_trip_that_is_stored_is_told_so_though_nobody_can_be_looked_up_after_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with desk(tmp_path) as d:
        sheet = opened(d)
        add_line_up(d.file, sheet, "Skerry", [("12", "Ilvo Tarn"), ("4", "Bram Oselo")])
        change, calls = d.file.changing, []

        def once(*args: Any, **more: Any) -> Any:
            calls.append(args)
            if len(calls) > 1:
                raise LedgerBusy("Oren has the ledger")
            return change(*args, **more)

        with monkeypatch.context() as patched:
            patched.setattr(d.file, "changing", once)
            done = score(d.file, sheet, TARN)
        # Told to be busy, whoever typed it would store it a second time.
        assert len(calls) == 2
        assert len(done.attempts) == 2
        assert d.rows(ORDERS) == [(1, True, 1, 2), (2, False, 2, 2)]
        assert d.whole() == []


@st.composite
def trips(draw: st.DrawFn) -> list[Trip]:
    """Trips of four players, one name in both teams among them."""
    found = []
    for _ in range(draw(st.integers(1, 8))):
        made = tuple(draw(st.lists(st.sampled_from([True, False, None]), min_size=1, max_size=3)))
        if set(made) == {None}:
            made = (*made[:2], True)
        player, team = draw(
            st.sampled_from(
                [("Ilvo Tarn", "Skerry"), ("Bram Oselo", "Fenholt"), ("Kuno Mun", "Skerry"),
                 ("Kuno Mun", "Fenholt")]
            )
        )  # fmt: skip
        kind = draw(st.sampled_from(["personal", "technical", "one_and_one"]))
        if kind == "one_and_one":
            made = draw(st.sampled_from([(False,), (True,), (True, False), (True, None)]))
        techniques = draw(st.sampled_from([(), ("board",), ("board", "straight")]))
        found.append(
            Trip(player, team, made, kind=kind, techniques=techniques,
                 period=draw(st.sampled_from([None, 1, 2])),
                 clock=draw(st.sampled_from(["", "5:38"])),
                 rebound_by=draw(st.sampled_from(["", "defensive"])))
        )  # fmt: skip
    return found


def _left(d: Desk) -> Any:
    sources = d.rows("SELECT rows, stored, attempts_stored, tags_stored FROM source ORDER BY id")
    sightings = d.rows("SELECT line, attempt_id, outcome, given FROM sighting ORDER BY line")
    return d.dump(), sources, sightings


@settings(
    max_examples=6, deadline=None, derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)  # fmt: skip
@given(trips())
def test_the_short_way_leaves_what_the_long_way_leaves(typed: list[Trip]) -> None:
    with tempfile.TemporaryDirectory() as name:
        left = []
        for place in ("short", "long"):
            folder = Path(name) / place
            folder.mkdir()
            with desk(folder) as d:
                sheet = opened(d)
                for trip in typed:
                    if place == "long":
                        sheet.places.clear()
                    score(d.file, sheet, trip)
                assert d.whole() == []
                left.append(_left(d))
        assert left[0] == left[1]


def test_who_is_in_a_line_up_is_known_before_his_first_trip(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with desk(tmp_path) as d:
        d.bring(rows("player,league,team,season,number", "Ilvo Tarn,Halma League,Skerry,2024-25,12",
                     "Bram Oselo,Halma League,Fenholt,2024-25,7"), "players")  # fmt: skip
        sheet = opened(d)
        assert [(s.number, s.name) for s in sheet.line_ups["Skerry"]] == [("12", "Ilvo Tarn")]
        before = d.rows("SELECT count(*) FROM player_alias")
        score(d.file, sheet, TARN)
        monkeypatch.setattr(scoresheet, "_take", None)

        assert score(d.file, sheet, OSELO).words().endswith("made; now 1 of 1")
        assert d.rows("SELECT count(*) FROM player_alias") == before
        assert d.rows(
            "SELECT count(DISTINCT player_id), count(DISTINCT opponent_id) FROM attempt"
        ) == [(2, 2)]
        assert d.whole() == []


def test_a_name_of_both_teams_is_two_players(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        sheet = opened(d)
        score(d.file, sheet, replace(TARN, player="Kuno Mun"))
        done = score(d.file, sheet, replace(TARN, player="Kuno Mun", team="Fenholt"))

        assert done.words().endswith("now 1 of 2")
        assert d.rows("SELECT count(DISTINCT player_id) FROM attempt") == [(2,)]
        # Without the second one they are nobody but the first again.
        take_back(d.file, sheet)
        assert d.rows("SELECT count(DISTINCT player_id) FROM attempt WHERE NOT removed") == [(1,)]
        assert d.whole() == []


def test_a_new_players_number_is_told_to_the_ledger(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        score(d.file, opened(d), replace(TARN, is_new=True))
        assert [(s.number, s.name) for s in opened(d).line_ups["Skerry"]] == [("12", "Ilvo Tarn")]


def test_a_line_up_is_told_as_one_source_and_can_be_taken_back(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        sheet = opened(d)
        done = add_line_up(d.file, sheet, "Skerry", [("4", "Bram Oselo"), ("", "Ilvo Tarn, Jr")])

        shown = [(s.number, s.name) for s in sheet.line_ups["Skerry"]]
        assert shown == [("4", "Bram Oselo"), ("", "Ilvo Tarn, Jr")]
        d.undo(done.report.source)
        assert opened(d).line_ups["Skerry"] == ()
        assert d.whole() == []


def test_the_last_trip_goes_as_if_it_never_was(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        sheet = opened(d)
        score(d.file, sheet, TARN)
        before = d.dump()
        score(d.file, sheet, replace(OSELO, techniques=("board",)))
        score(d.file, sheet, replace(TARN, made=(True, True, True)))

        assert take_back(d.file, sheet).words() == (
            "taken back: Ilvo Tarn (Skerry): made, made, made; now 1 of 2"
        )
        take_back(d.file, sheet)
        assert d.dump() == before
        assert d.whole() == []
        told = d.rows("SELECT old_value FROM journal WHERE action = 'take back' ORDER BY id")
        assert told == [("Ilvo Tarn (Skerry): made, made, made",), ("Bram Oselo (Fenholt): made",)]
        score(d.file, sheet, OSELO)
        whole = d.dump()
        d.undo(sheet.source)
        assert not any(d.dump().values())
        assert d.whole() == []
        d.again(sheet.source)
        assert d.dump() == whole
        assert d.whole() == []


def test_everything_can_be_taken_back_and_typing_goes_on(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        sheet = opened(d)
        with pytest.raises(UseError, match="nothing is typed in this sitting yet"):
            take_back(d.file, sheet)
        score(d.file, sheet, TARN)
        take_back(d.file, sheet)
        with pytest.raises(UseError, match="nothing of this sitting is left"):
            take_back(d.file, sheet)
        assert score(d.file, sheet, TARN).words().endswith("now 1 of 2")
        assert d.rows("SELECT rows, stored, skipped FROM source") == [(4, 2, 2)]
        assert d.whole() == []


def test_a_step_with_somebody_elses_tag_stays(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        sheet = opened(d)
        number = score(d.file, sheet, OSELO).attempts[0]
        tags = d.bring(rows("attempt,tagger,technique", f"{number},Oren,board"), "tags")

        with pytest.raises(UseError, match=r"attempt 1 carries a tag by Oren.*take that one back"):
            take_back(d.file, sheet)
        assert d.rows("SELECT count(*) FROM attempt WHERE NOT removed") == [(1,)]
        d.undo(tags.source)
        take_back(d.file, sheet)
        assert d.rows("SELECT count(*) FROM attempt WHERE NOT removed") == [(0,)]
        assert d.whole() == []
        d.undo(sheet.source)
        d.again(sheet.source)
        assert d.rows("SELECT count(*) FROM attempt WHERE NOT removed") == [(0,)]
        assert d.whole() == []


def test_a_game_is_gone_on_with_where_it_stopped(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        first = opened(d)
        score(d.file, first, TARN)
        again = opened(d, replace(GAME, home=" skerry ", label=""))

        assert (again.source, again.order, again.facts.home) == (first.source, 3, "Skerry")
        assert [(s.player, s.made) for s in again.known.shots] == [
            ("Ilvo Tarn", True), ("Ilvo Tarn", False),
        ]  # fmt: skip
        assert score(d.file, again, TARN).words().endswith("now 2 of 4")
        assert [row[0] for row in d.rows(ORDERS)] == [1, 2, 3, 4]


def test_somebody_else_goes_on_in_a_sitting_of_his_own(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        score(d.file, opened(d), TARN)
        d.file.who = "Oren"
        sheet = opened(d)
        assert sheet.source is None
        score(d.file, sheet, TARN)
        score(d.file, sheet, OSELO)

        assert [row[0] for row in d.rows(ORDERS)] == [1, 2, 3, 4, 5]
        assert d.rows("SELECT count(*) FROM source") == [(2,)]
        take_back(d.file, sheet)
        assert [row[0] for row in d.rows(ORDERS)] == [1, 2, 3, 4]
        assert d.whole() == []


def test_two_sheets_of_one_game_go_on_after_each_other(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        one, other = opened(d), opened(d)
        score(d.file, one, TARN)
        score(d.file, other, OSELO)
        score(d.file, one, OSELO)
        score(d.file, other, TARN)

        assert one.source == other.source
        assert [row[0] for row in d.rows(ORDERS)] == [1, 2, 3, 4, 5, 6]
        assert d.whole() == []


def test_a_sitting_that_was_taken_back_is_not_gone_on_with(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        sheet = opened(d)
        score(d.file, sheet, TARN)
        d.undo(sheet.source)
        with pytest.raises(UseError, match="is no sitting that can go on"):
            score(d.file, sheet, TARN)
        again = opened(d)
        assert again.source is None
        assert score(d.file, again, TARN).words().endswith("now 1 of 2")
        assert d.whole() == []


def test_what_a_file_brought_is_not_counted_twice(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        line = "Halma League,2024-25,2024-11-02,R1,Skerry,Ilvo Tarn"
        d.bring(rows(HEAD, f"{line},1", f"{line},0", f"{line},1"))
        sheet = opened(d)

        assert sheet.facts.label == "R1"
        assert sheet.known.files == ("file1.csv",)
        said = score(d.file, sheet, TARN).words()
        assert said == (
            "12 Ilvo Tarn (Skerry): made, missed: there already, only what it lacked is added; "
            "now 2 of 3"
        )
        assert "1 there already" in score(d.file, sheet, replace(TARN, made=(True, True))).words()
        assert d.rows("SELECT count(*) FROM attempt WHERE NOT removed") == [(4,)]
        # What only typing said goes, what the file said stays.
        assert (
            take_back(d.file, sheet).words().endswith("1 stay, another source has them; now 2 of 3")
        )
        assert d.rows("SELECT count(*) FROM attempt WHERE NOT removed") == [(3,)]
        assert d.whole() == []


def test_what_a_trip_contradicts_is_said_and_nothing_is_stored(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        sheet = opened(d)
        score(d.file, sheet, replace(OSELO, period=1, clock="5:38"))
        d.file.who = "Oren"
        # The clock says that it is the attempt that ann has, but she saw it go in.
        other = opened(d)
        with pytest.raises(UseError, match=r"it contradicts attempt 1.*nothing stored"):
            score(d.file, other, replace(OSELO, made=(False,), period=1, clock="5:38"))
        assert d.rows("SELECT count(*) FROM source") == [(1,)]
        assert (other.source, other.order) == (None, 2)
        assert d.whole() == []


def test_a_change_by_others_is_seen_before_the_next_trip(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        sheet = opened(d)
        score(d.file, sheet, TARN)
        line = "Halma League,2024-25,2024-11-02,Skerry v Fenholt,Skerry,Ilvo Tarn"
        d.bring(rows(HEAD, f"{line},1", f"{line},0", f"{line},1"))
        said = score(d.file, sheet, replace(TARN, made=(True, True))).words()

        assert sheet.known.files == ("file1.csv",)
        assert said.endswith("made, made (1 there already); now 3 of 4")
        # What comes now is laid against the file, which has a make more than was typed before.
        assert score(d.file, sheet, replace(TARN, made=(False,))).words().endswith("now 3 of 5")
        assert d.whole() == []


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        (replace(GAME, league=" "), "missing: league"),
        (replace(GAME, away=""), "missing: away"),
        (replace(GAME, season="next year"), "season next year: type it as 2024-25"),
        (replace(GAME, date="2.11.24"), "date 2.11.24: type the day as 2024-11-02"),
        (replace(GAME, away="SKERRY"), "SKERRY|Skerry cannot play against itself"),
    ],
)
def test_a_game_that_cannot_be_is_one_clear_line(
    facts: GameFacts, said: str, tmp_path: Path
) -> None:
    with desk(tmp_path) as d, pytest.raises(UseError, match=said):
        opened(d, facts)


@pytest.mark.parametrize(
    ("trip", "said"),
    [
        (replace(TARN, made=(True,) * 4), "one to 3 shots, not 4"),
        (replace(TARN, made=()), "one to 3 shots, not 0"),
        (replace(TARN, made=(None, None)), "nothing was seen"),
        (replace(TARN, made=(False, True), kind="one_and_one"), "has no second one"),
        (replace(TARN, made=(True,) * 3, kind="one_and_one"), "a second one after a make"),
        (replace(TARN, clock="soon"), "clock=soon"),
        (replace(TARN, period=77), "period=77: it lies between 1 and 20"),
        (replace(TARN, kind="kind"), "trip_kind=kind: it may be personal, technical"),
    ],
)
def test_a_trip_that_cannot_be_is_one_clear_line(trip: Trip, said: str, tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        sheet = opened(d)
        for before in range(2):
            with pytest.raises(UseError, match=said):
                score(d.file, sheet, trip)
            if not before:
                score(d.file, sheet, TARN)
        assert d.rows("SELECT count(*) FROM attempt") == [(2,)]
        assert d.whole() == []


def test_two_games_of_the_same_teams_on_a_day_are_told_by_their_label(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        for label in ("A", "B"):
            score(d.file, opened(d, replace(GAME, label=label)), TARN)
        with pytest.raises(UseError, match=r"2 games of these teams on that day \(A, B\)"):
            opened(d)
        assert len(opened(d, replace(GAME, label="B")).known.shots) == 2


def test_trips_typed_one_by_one_with_the_command_are_gone_on_with(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        made = {"league": "Halma League", "season": "2024-25", "date": "2024-11-02", "game": "G1",
                "home": "Skerry", "away": "Fenholt", "team": "Skerry", "player": "Ilvo Tarn",
                "made": "yes", "order": "1"}  # fmt: skip
        enter(d.file, "attempts", [made])
        sheet = opened(d)
        assert (sheet.facts.label, sheet.order, sheet.known.files) == ("G1", 2, ())
        assert score(d.file, sheet, TARN).words().endswith("now 2 of 3")
        assert d.whole() == []
