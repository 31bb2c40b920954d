"""The next start begins where the last visit ended; what no longer makes sense is left out."""

from __future__ import annotations

import json
import os
import signal
import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot

from ledger.book import Book
from ledger.cohort import Cohort
from tests.tui.driving import QUESTIONS, press, rest, running, shows, status_of, text_of
from tests.tui.fake_book import FakeBook
from tests.tui.key_checks import asked
from tests.tui.test_launch import Terminal
from tests.tui.test_real_book import season_file
from tui.app import OffglassApp
from tui.cohorts import Meant, MeantHistory, Whom
from tui.places import Place, read_place
from tui.screens.base import RoomScreen
from tui.screens.player import PlayerScreen
from tui.visits import Visit, keep_visit, last_visit
from tui.widgets.rows import RowsView

HALMA = Meant(Cohort(league=("Halma League",)), ("underhand",))


def again(place: Place) -> Place:
    """A place as the next start has it: written to a file of JSON and read back."""
    return read_place(json.loads(json.dumps(place.written())))


@asynccontextmanager
async def started(
    place: Place, book: FakeBook | None = None, focus: tuple[str, ...] = ()
) -> AsyncIterator[tuple[OffglassApp, Pilot[int], FakeBook]]:
    """The program started after a visit that ended there."""
    used = book or FakeBook()
    seen = Visit(2, 2, "2025-03-01", again(place))
    app = OffglassApp(lambda: used, "spring.duckdb", questions=QUESTIONS, seen=seen, focus=focus)
    async with app.run_test(size=(80, 24)) as pilot:
        await rest(pilot)
        yield app, pilot, used


def test_a_place_is_the_same_after_it_was_written() -> None:
    place = Place(
        room="candidates",
        now=Meant(Cohort.of(league="Halma League", season="2019-20..2024-25", period=[1, 4],
                            **{"from": "2024-10-31", "list": "Spring"})),
        before=(Meant(), HALMA),
        options={"candidates": {"list": ["Spring"], "gain": "3,5"}, "uptake": {"forecast": False}},
        player=Whom("Ilvo Tarn", "Halma League", "Skerry"),
        row=("Bram Oselo", None, 3),
    )  # fmt: skip
    assert again(place) == place


@pytest.mark.parametrize(
    "said",
    [
        None, [], {"now": 3}, {"now": {"cohort": []}}, {"before": 3}, {"options": {"ranking": 3}},
        {"options": {"ranking": {"top": "many", "gone": 1}}}, {"options": {"gone": {"by": 1}}},
        {"player": []}, {"row": {}}, {"now": {"cohort": {"shot": ["dunk"]}, "focus": ["board"]}},
    ],
)  # fmt: skip
def test_what_cannot_be_read_of_a_place_is_left_out(said: object) -> None:
    place = read_place(said)
    assert (place.now, place.before, place.options) == (Meant(), (), {})
    wrong = isinstance(said, dict) and isinstance(said.get("now"), dict)
    assert bool(place.lost) == wrong


async def test_the_next_start_shows_the_same_screen_row_cohort_and_options() -> None:
    async with running(show="ranking") as (app, pilot, _):
        await press(pilot, "f", "type:Halma League", "enter", "o", "3", "down", "down")
        before = text_of(app)
        app.exit(0)
        place = app.left
    async with started(place) as (app, pilot, book):
        assert text_of(app) == before
        assert asked(book)[1:] == (
            Cohort(league=("Halma League",)), ("board-assisted",), {"order": "low"}
        )  # fmt: skip
        await press(pilot, "backspace")
        assert "Free throws in all leagues" in text_of(app)
        # The contents were never seen: they ask now.
        await press(pilot, "c")
        assert "7 of the 37 players" in text_of(app)


async def test_the_player_who_was_looked_at_is_looked_at_again() -> None:
    async with running(show="ranking") as (app, pilot, _):
        await press(pilot, "down", "enter")
        app.exit(0)
        place = app.left
    async with started(place) as (app, _, book):
        assert isinstance(app.screen, RoomScreen)
        assert app.screen.room == "player"
        assert asked(book)[1].player == ("Bram Tarn",)  # type: ignore[attr-defined]


async def test_a_window_over_a_screen_does_not_hide_the_place() -> None:
    async with running(show="uptake") as (app, pilot, _):
        await press(pilot, "f")
        assert app.place().room == "uptake"


async def test_a_cohort_that_no_longer_makes_sense_is_dropped_with_a_word() -> None:
    for room in ("ranking", "contents"):
        async with started(Place(room, HALMA), FakeBook(gone="Halma League")) as (app, pilot, _):
            line = status_of(app)
            assert "the attempts meant last time are left out, all are meant" in line
            assert "there is no league 'Halma League'" in line
            assert app.meant.now == Meant()
            text = text_of(app)
            assert "Free throws in all leagues" in text
            assert "Tarn is first" in text
            # A cohort of this visit that is wrong is only told.
            await press(pilot, "f", "type:Halma League", "enter")
            assert app.meant.now.cohort == Cohort(league=("Halma League",))


async def test_a_place_that_is_gone_is_the_contents() -> None:
    for room in ("no such room", "player"):
        async with started(Place(room)) as (app, _, _book):
            assert app.screen.__class__.__name__ == "ContentsScreen"


async def test_a_technique_named_at_the_start_wins_over_that_of_the_last_visit() -> None:
    async with started(Place("ranking", HALMA), focus=("board",)) as (_, _pilot, book):
        assert asked(book)[1:3] == (HALMA.cohort, ("board",))


def test_what_was_meant_is_known_though_one_went_back() -> None:
    one, two = Meant(), HALMA
    three = Meant(Cohort(league=("Kesto Liga",)))
    history = MeantHistory(one)
    history.change(two)
    history.change(three)
    assert history.others() == [two, one]
    assert history.back()
    assert history.others() == [three, one]
    history.change(one)
    assert history.others() == [two, three]
    assert history.past == (one, two)


async def test_attempts_meant_before_are_chosen_in_the_editor_those_of_earlier_visits_too() -> None:
    place = Place("ranking", Meant(), (HALMA,))
    async with started(place) as (app, pilot, book):
        await press(pilot, "f", "type:Kesto Liga", "enter", "f", "f3")
        text = text_of(app)
        assert "1 Free throws in all leagues; studying: off the backboard" in text
        assert "2 Free throws in Halma League; studying: underhand" in text
        await press(pilot, "2")
        # Its lines are filled in, to be changed or taken.
        assert "underhand" in text_of(app)
        await press(pilot, "enter")
        assert app.meant.now == HALMA
        assert asked(book)[1:3] == (HALMA.cohort, ("underhand",))


async def test_where_nothing_was_meant_before_the_editor_says_so() -> None:
    async with running(show="ranking") as (app, pilot, _):
        await press(pilot, "f", "f3")
        assert "nothing else was meant before" in text_of(app)


def test_a_visit_keeps_its_place(tmp_path: Path) -> None:
    visit = Visit(3, 2, "2025-03-01", Place("uptake", HALMA))
    keep_visit(tmp_path / "visits.json", tmp_path / "a.duckdb", visit)
    assert last_visit(tmp_path / "visits.json", tmp_path / "a.duckdb") == visit


PROGRAM = """
import sys
from pathlib import Path
import tui.app
tui.app.visits_path = lambda: Path(sys.argv[2])
sys.exit(tui.app.run(Path(sys.argv[1])))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="terminals of this kind are not on Windows")
def test_a_program_that_was_ended_from_outside_begins_where_it_was(tmp_path: Path) -> None:
    ledger, kept = tmp_path / "spring.duckdb", tmp_path / "visits.json"
    season_file(tmp_path / "season.csv")
    with Book(ledger, create=True, who="Mira") as book:
        book.import_file(tmp_path / "season.csv", "attempts")
    code = f"import sys\nsys.argv = ['', {str(ledger)!r}, {str(kept)!r}]\n{PROGRAM}"
    terminal = Terminal(code)
    assert terminal.until(b"Who does it?")
    os.write(terminal.end, b"2")
    assert terminal.until(b"share of attempts")
    os.kill(terminal.child, signal.SIGTERM)
    assert terminal.exit_code() == 143
    assert last_visit(kept, ledger) is not None
    terminal = Terminal(code)
    assert terminal.until(b"share of attempts")
    assert b"Who shoots best" not in terminal.seen
    os.write(terminal.end, b"q")
    assert terminal.exit_code() == 0


async def test_a_row_is_wanted_before_and_after_its_rows_are_there() -> None:
    async with running(show="ranking") as (app, pilot, _):
        rows = app.screen.query_one(RowsView)
        about = ("Kuno Tarn", "Skerry", "Halma League", "2024-25")
        rows.want(about)
        assert rows.cursor == 3
        assert rows.about() == about
        await press(pilot, "r")
        assert rows.cursor == 3


@pytest.mark.parametrize("key", ["e", "l", "s", "i", "v"])
async def test_escape_comes_back_to_the_player_one_was_at(key: str) -> None:
    async with running(show="adopters") as (app, pilot, _):
        await press(pilot, "down", "enter")
        assert shows(app, PlayerScreen)
        await press(pilot, key)
        assert not shows(app, PlayerScreen)
        for _ in range(3):
            if not shows(app, PlayerScreen):
                await press(pilot, "escape")
        assert shows(app, PlayerScreen)
        await press(pilot, "escape")
        assert app.screen is app.room("adopters")


async def test_escape_never_goes_round_between_rooms() -> None:
    async with running(show="ranking") as (app, pilot, _):
        for key in ("s", "l", "s", "l"):
            await press(pilot, key)
        seen = []
        for _ in range(4):
            seen.append(app.screen.__class__.__name__)
            await press(pilot, "escape")
        assert seen == ["ListsScreen", "SourcesScreen", "RankingScreen", "ContentsScreen"]
