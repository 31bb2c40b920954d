"""The scoresheet: keys a trip costs, nothing lost, pastes, quick typing, practice."""

from __future__ import annotations

import asyncio
import re
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest
from textual import events
from textual.keys import key_to_character
from textual.pilot import Pilot
from textual.widgets import Input

from ledger.book import Book
from ledger.errors import LedgerBusy
from ledger.intake.scoresheet import Sheet
from ledger.intake.trip import GameFacts, Scored, Trip
from tests.tui.driving import burst, press, rest, running, status_of, text_of
from tests.tui.fake_book import FakeBook
from tests.tui.keys_of_scoresheet import GAME, open_game, open_practice, trips
from tui.app import OffglassApp
from tui.remembered import LastSheet, Memory
from tui.screens.form import FormDialog
from tui.screens.scoresheet import ScoresheetScreen
from tui.screens.sheet_windows import LineUpDialog, PasteDialog
from tui.screens.trial import TrialScreen
from tui.widgets.lines import Words


def sheet_of(app: OffglassApp) -> ScoresheetScreen:
    screen = app.screen
    assert isinstance(screen, ScoresheetScreen)
    return screen


async def paste(pilot: Pilot[int], text: str) -> None:
    event = events.Paste(text)
    event.set_sender(pilot.app)
    assert pilot.app._driver is not None
    pilot.app._driver.send_message(event)
    await rest(pilot)


def strike(pilot: Pilot[int], key: str, at: float) -> None:
    """A key that a keyboard sends at a time of its own, however busy the program is."""
    event = events.Key(key, key_to_character(key))
    event.set_sender(pilot.app)
    event.time = at
    assert pilot.app._driver is not None
    pilot.app._driver.send_message(event)


@pytest.mark.parametrize(
    ("keys", "player", "made"),
    [
        ("4+-\r", "Bram Oselo", (True, False)),
        ("12+-\r", "Ilvo Tarn", (True, False)),
        ("12=- ", "Sefa Tarnak", (True, False)),
        ("al-+\r", "Pim Al-Saif", (False, True)),
        ("30++\r", "Bram Mun", (True, True)),
    ],
)
async def test_a_two_shot_trip_costs_five_keys_at_most(
    keys: str, player: str, made: tuple[bool, ...]
) -> None:
    assert len(keys) == (4 if keys[0] == "4" else 5)
    async with running(show="scoresheet") as (_, pilot, book):
        await open_game(pilot)
        await press(pilot, *("enter" if key == "\r" else key for key in keys))
        assert [(t.player, t.made) for t in trips(book)] == [(player, made)]


async def test_marks_after_the_signs_are_stored_and_said() -> None:
    async with running(show="scoresheet") as (app, pilot, book):
        await open_game(pilot)
        await press(pilot, *"538*7-71", "enter", *"12+*", "space", *"9+/2-/1", "enter")
        one, two, three = trips(book)
        assert (one.kind, one.rebound_by, one.clock) == ("one_and_one", "offensive", "5:38")
        assert (two.player, two.made) == ("Sefa Tarnak", (True, None))
        assert three.techniques == ("board", "straight")
        assert "7 Kuno Dravik (Fenholt): missed (one-and-one; own rebound); now 0 of 1" in text_of(
            app
        )


async def test_both_teams_with_one_number_are_told_apart_before_anything_is_stored() -> None:
    async with running(show="scoresheet", size=(120, 36)) as (app, pilot, book):
        await open_game(pilot)
        await press(pilot, *"12+")
        said = text_of(app)
        assert "enter: 12 Ilvo Tarn (Skerry); space: 12 Sefa Tarnak (Fenholt)" in said
        assert "Bram Oselo" not in said
        await press(pilot, "space")
        assert [(t.player, t.team) for t in trips(book)] == [("Sefa Tarnak", "Fenholt")]


async def test_a_new_player_is_number_and_name_and_known_from_then_on() -> None:
    async with running(show="scoresheet") as (app, pilot, book):
        await open_game(pilot)
        await press(pilot, *"33+-", "enter")
        assert "neither team has number 33" in status_of(app)
        assert sheet_of(app).line.text == "33+-"
        await press(pilot, *["backspace"] * 2, *" Aro Pell++", "space", *"33-", "enter")
        assert [(t.player, t.team, t.is_new) for t in trips(book)] == [
            ("Aro Pell", "Fenholt", True), ("Aro Pell", "Fenholt", False),
        ]  # fmt: skip


async def test_what_the_ledger_refuses_comes_back_to_be_mended() -> None:
    book = FakeBook(refuses="it contradicts attempt 7: nothing stored")
    async with running(book, show="scoresheet") as (app, pilot, _):
        await open_game(pilot)
        await press(pilot, *"12+-", "enter")
        assert sheet_of(app).line.text == "12+-"
        assert "not stored: 12+-: it contradicts attempt 7: nothing stored" in status_of(app)
        # Where something else is being typed it waits.
        await press(pilot, *"4++", "enter", "9")
        assert sheet_of(app).line.text == "9"
        assert list(sheet_of(app).aside) == ["12+-", "4++"]
        book.refuses = ""
        await press(pilot, "up", "enter", "up", "enter")
        assert [t.player for t in book.scored["Skerry v Fenholt"]] == ["Ilvo Tarn", "Bram Oselo"]


async def test_of_two_like_trips_that_are_refused_both_wait() -> None:
    book = FakeBook(refuses="it contradicts attempt 7: nothing stored")
    async with running(book, show="scoresheet") as (app, pilot, _):
        await open_game(pilot)
        await press(pilot, *"12+-", "enter", "9", *["backspace"], *"12+-", "enter", "4")
        assert list(sheet_of(app).aside) == ["12+-", "12+-"]


async def test_a_fault_of_the_program_gives_the_line_back() -> None:
    class Faulty(FakeBook):
        def score(self, sheet: Sheet, trip: Trip) -> Scored:
            raise ZeroDivisionError(f"{sheet.facts.label}, {trip.player}")

    async with running(Faulty(), show="scoresheet") as (app, pilot, _):
        await open_game(pilot)
        await press(pilot, *"12+-", "enter")
        assert sheet_of(app).line.text == "12+-"
        assert "not stored: 12+-: a fault of the program (ZeroDivisionError" in status_of(app)


async def test_who_watches_the_game_types_on_after_a_line_that_is_none() -> None:
    async with running(show="scoresheet") as (app, pilot, book):
        await open_game(pilot)
        await press(pilot, *"99+-", "enter", *"12+-", "enter", *"4", "enter", *"++", "enter")
        assert [(t.player, t.made) for t in trips(book)] == [
            ("Ilvo Tarn", (True, False)), ("Bram Oselo", (True, True)),
        ]  # fmt: skip
        assert "1 line put aside: ↑ brings it back" in text_of(app)
        await press(pilot, "up", "backspace", "-", "enter")
        assert sheet_of(app).line.text == "99+-"


async def test_what_cannot_be_stored_now_waits_in_its_order(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("tui.screens.storing._AGAIN_S", 0.1)
    book = FakeBook()
    async with running(book, show="scoresheet") as (app, pilot, _):
        await open_game(pilot)
        book.busy = True
        await press(pilot, *"12+-", "enter", *"4+", "enter", *"9-", "enter", "f7")
        assert "typed, not stored yet" in status_of(app)
        # The last one was not stored yet: it is on hand to be typed again.
        assert list(sheet_of(app).aside) == ["9-"]
        book.busy = False
        await asyncio.sleep(0.2)
        await rest(pilot)
        assert [t.player for t in book.scored["Skerry v Fenholt"]] == ["Ilvo Tarn", "Bram Oselo"]


@pytest.mark.parametrize("keys_a_second", [10, 100])
async def test_quick_typing_arrives_complete_and_in_order(keys_a_second: int) -> None:
    many = 200 if keys_a_second == 100 else 20
    typed = [("4++", "9-+", "12--", "30+-")[n % 4] for n in range(many // 2)]
    keys = [key for text in typed for key in (*text, "enter")]
    async with running(show="scoresheet") as (app, pilot, book):
        await open_game(pilot)
        # By the times at which they came: how long the test itself takes tells nothing.
        began = time.monotonic()
        for at, key in enumerate(keys):
            strike(pilot, key, began + at / keys_a_second)
        await rest(pilot)
        got = [t for trip in trips(book) for t in trip.made]
        assert len(got) == many
        assert got == [sign == "+" for text in typed for sign in text if sign in "+-"]
        assert sheet_of(app).line.text == ""


async def test_a_burst_of_keys_is_asked_about_and_can_go_on_as_keys() -> None:
    async with running(show="scoresheet") as (app, pilot, book):
        await open_game(pilot)
        for answer, stored in (("escape", 0), ("2", 3), ("1", 6)):
            burst(pilot, *"12+-", "enter", *"4++", "enter", *"9-+", "enter")
            for _ in range(100):
                await asyncio.sleep(0.05)
                if isinstance(app.screen, PasteDialog):
                    break
            await rest(pilot)
            assert "3 lines came faster than anybody types: 12+- … What is it?" in text_of(app)
            assert "1 3 trips, one a line" in text_of(app)
            await press(pilot, answer)
            assert len(trips(book)) == stored
        assert [t.player for t in trips(book)[-3:]] == ["Ilvo Tarn", "Bram Oselo", "Pim Al-Saif"]


async def test_a_pasted_line_up_is_counted_and_goes_to_the_team_that_is_chosen() -> None:
    async with running(show="scoresheet") as (app, pilot, book):
        await open_game(pilot)
        await paste(pilot, "1 Aro Pell\n#2, Kesa Lun\n\n3\tOri Dal\n")
        assert isinstance(app.screen, PasteDialog)
        assert "3 lines were pasted: 1 Aro Pell … What is it?" in text_of(app)
        assert "3 players for the line-up of Fenholt" in text_of(app)
        await press(pilot, "2")
        assert ("add_line_up", ("Fenholt", (("1", "Aro Pell"), ("2", "Kesa Lun"),
                                            ("3", "Ori Dal")))) in book.calls  # fmt: skip
        assert "line-up of Fenholt: 3 players stored" in text_of(app)
        await press(pilot, *"2+-", "enter")
        assert trips(book)[-1].player == "Kesa Lun"
        await press(pilot, "tab")
        assert isinstance(app.screen, LineUpDialog)
        await paste(pilot, "21 Ano Per\n---\n22 Bel Tor")
        assert "2 players pasted; 1 line left out" in text_of(app)
        await press(pilot, "type:22 Somebody", "enter")
        assert "number 22 is Bel Tor: Somebody needs another" in text_of(app)


async def test_pasted_trips_and_rows_are_told_from_each_other() -> None:
    async with running(show="scoresheet") as (app, pilot, book):
        await open_game(pilot)
        await paste(pilot, "12+-\n99+\n4++\n")
        await press(pilot, "1")
        assert [t.player for t in trips(book)] == ["Ilvo Tarn", "Bram Oselo"]
        assert list(sheet_of(app).aside) == ["99+"]
        await paste(pilot, "league,season,player,made\nHalma League,2024-25,Ilvo Tarn,yes\n")
        await press(pilot, "1")
        assert [what for name, what in book.calls if name == "add_lines"] == [("attempts", 61)]
        # One pasted line is typing.
        await paste(pilot, "12+-")
        assert sheet_of(app).line.text.endswith("12+-")


async def test_a_large_paste_leaves_the_screen_alive() -> None:
    async with running(show="scoresheet") as (app, pilot, book):
        await open_game(pilot)
        began = time.monotonic()
        await paste(pilot, "12 Ilvo Tarn\n" * 80_000)
        assert isinstance(app.screen, PasteDialog)
        assert "80,000 lines were pasted" in text_of(app)
        assert "save it as a file, F3 brings it in" in text_of(app)
        await press(pilot, "escape", *"4+", "enter")
        assert time.monotonic() - began < 2.0
        assert len(trips(book)) == 1


async def test_practice_is_one_key_an_attempt_and_goes_on_where_it_stopped() -> None:
    book = FakeBook()
    async with running(book, show="scoresheet") as (app, pilot, _):
        await open_practice(pilot)
        await press(pilot, *"+-=7", "x")
        shots = trips(book)
        assert [t.made for t in shots] == [(True,), (False,), (True,), (False,)]
        assert {t.techniques for t in shots} == {("board",)}
        assert (shots[3].miss_depth, shots[3].miss_side) == ("long", "left")
        assert "next: 6 more off the backboard" in text_of(app)
        assert "●○●○······  block 1 of 4, 4 of 10 shot" in text_of(app)
        await press(pilot, "f7")
        assert "●○●·······  block 1 of 4, 3 of 10 shot" in text_of(app)
        await press(pilot, *"+++++++++")
        assert "next: 8 more straight" in text_of(app)
        assert trips(book)[-1].techniques == ("straight",)
    async with running(book, show="scoresheet") as (app, pilot, _):
        await open_practice(pilot)
        assert "next: 8 more straight" in text_of(app)
        assert "session 2 of 12: 12 of 40 shots" in text_of(app)
        await press(pilot, *"+" * 28)
        assert "session 2 is whole: nothing is next" in text_of(app)
        assert status_of(app) == "enter shows how the trial goes, F8 opens another day's"
        assert text_of(app).count("nothing is next") == 1
        await press(pilot, "enter")
        assert isinstance(app.screen, TrialScreen)
        assert app.screen.options == {"name": "Winter"}
        await press(pilot, "escape")
        await press(pilot, "+")
        assert len(book.scored["Winter"]) == 40


async def test_practice_without_consent_asks_for_it() -> None:
    async with running(FakeBook(consented=False), show="scoresheet") as (app, pilot, _):
        await open_practice(pilot)
        assert isinstance(app.screen, FormDialog)
        assert "Who agreed to records of Ilvo Tarn's practice?" in text_of(app)
        await press(pilot, "escape")
        assert "without consent no practice of Ilvo Tarn is stored" in status_of(app)


async def test_what_was_not_finished_is_there_the_next_time(tmp_path: Path) -> None:
    kept, ledger = tmp_path / "sheets.json", tmp_path / "spring.duckdb"
    book = FakeBook()
    async with running(book) as (app, pilot, _):
        app.memory = Memory(kept, ledger)
        await press(pilot, "e")
        await open_game(pilot)
        await press(pilot, *"9+", "escape", "f9", *"12+-", "enter", *"4-")
    last = Memory(kept, ledger).last()
    assert (last.line, last.waiting, last.period) == ("4-", ("9+",), 1)
    async with running(book) as (app, pilot, _):
        app.memory = Memory(kept, ledger)
        await press(pilot, "e")
        screen = sheet_of(app)
        assert (screen.line.text, list(screen.aside), screen.period) == ("4-", ["9+"], 1)
        assert "Skerry v Fenholt; period 1" in text_of(app)
        assert "2 are stored, it goes on after them; 1 line put aside" in status_of(app)


def test_a_damaged_memory_is_no_memory(tmp_path: Path) -> None:
    kept = tmp_path / "sheets.json"
    for text in ("{", "[]", '{"x": 3}', '{"' + str(tmp_path / "a") + '": {"asked": 3, "line": 4}}'):
        kept.write_text(text, encoding="utf-8")
        assert Memory(kept, tmp_path / "a").last().asked == {}
    Memory(kept, tmp_path / "a").keep(LastSheet({"league": "L"}, "12+"))
    assert Memory(kept, tmp_path / "a").last() == LastSheet({"league": "L"}, "12+")


async def test_a_game_is_typed_into_a_real_ledger(tmp_path: Path) -> None:
    path = tmp_path / "spring.duckdb"
    facts = GameFacts("Halma League", "2024-25", "2024-11-02", "Skerry", "Fenholt")
    with Book(path, create=True, who="Mira") as book:
        opened = book.open_sheet(facts)
        book.add_line_up(opened, "Skerry", [("12", "Ilvo Tarn"), ("4", "Bram Oselo")])
        book.score(opened, Trip("Ilvo Tarn", "Skerry", (True,), number="12"))
        book.trial("Winter", player="Ilvo Tarn", techniques="straight,board", seed=7)
        day = f"{book.today()}"
    app = OffglassApp(lambda: Book(path, who="Mira"), path.name)
    async with app.run_test(size=(120, 36)) as pilot:
        await rest(pilot)
        await press(pilot, "e")
        await open_game(pilot)
        assert "1 is stored, it goes on after it" in status_of(app)
        await press(pilot, *"12+-", "enter", *"7 Kuno Dravik++", "space", *"4-2", "enter", "f7")
        await press(pilot, *"4--", "enter")
        assert "12 Ilvo Tarn (Skerry): made, missed; now 2 of 3" in text_of(app)
        assert re.search(r" 12 Ilvo Tarn +2/3\n", text_of(app))
        await press(pilot, "f8")
        for name, value in (("session", day), ("trial", "winter")):
            app.screen.query_one(f"#{name}-typed").value = value  # type: ignore[attr-defined]
        await press(pilot, "enter", "type:player", "tab", f"type:{day}", "enter")
        await press(pilot, *"+-5")
        assert "session 1 of 12: 3 of 100 shots" in text_of(app)
        await press(pilot, "f2")
    with Book(path) as book:
        assert book.check() == []
        rows = book.ask("attempts").frame
        assert rows["player"].to_list().count("Bram Oselo") == 2
        practice = book.ask("attempts", stage="practice").frame
        assert practice["made"].to_list() == [True, False, False]
        assert practice["miss_depth"].to_list() == [None, None, "level"]


async def test_a_held_ledger_loses_nothing_when_the_program_ends(tmp_path: Path) -> None:
    class Held(FakeBook):
        def score(self, sheet: Sheet, trip: Trip) -> Scored:
            raise LedgerBusy(f"{sheet.facts.label} cannot have {trip.made}: Oren has the ledger")

    kept = Memory(tmp_path / "sheets.json", tmp_path / "spring.duckdb")
    async with running(Held()) as (app, pilot, _):
        app.memory = kept
        await press(pilot, "e")
        await open_game(pilot)
        await press(pilot, *"12+-", "enter", *"4+", "enter")
    assert kept.last().waiting == ("12+-", "4+")


async def test_shots_of_practice_that_were_not_stored_can_be_taken_the_next_time(
    tmp_path: Path,
) -> None:
    kept, ledger = tmp_path / "sheets.json", tmp_path / "spring.duckdb"
    asked = {"trial": "Winter", "date": "2025-02-03"}
    Memory(kept, ledger).keep(LastSheet(asked, "", ("+", "7")))
    async with running() as (app, pilot, book):
        app.memory = Memory(kept, ledger)
        await press(pilot, "e")
        assert "2 lines put aside" in status_of(app) or "nothing of it is stored" in status_of(app)
        await press(pilot, "up", "up", "up")
        assert "nothing waits to be typed again" in status_of(app)
        assert [(t.made, t.miss_depth) for t in trips(book)] == [((True,), ""), ((False,), "long")]
    assert Memory(kept, ledger).last().waiting == ()


async def test_what_cannot_be_typed_again_is_named_in_the_shell_where_it_is_not_stored() -> None:
    class Held(FakeBook):
        def add_line_up(self, *_: object) -> None:
            raise LedgerBusy("Oren has the ledger")

    async with running(Held(), show="scoresheet") as (app, pilot, _):
        await open_game(pilot)
        await paste(pilot, "1 Aro Pell\n#2, Kesa Lun\n")
        await press(pilot, "1", *"9+-", "enter")
    assert app.last_words == [
        "1 line typed, not in the ledger yet: the next start has them on Scoresheet",
        "NOT stored: line-up of Skerry (2 players)",
    ]


async def test_that_there_is_no_period_is_said_before_anything_is_typed() -> None:
    async with running(show="scoresheet") as (app, pilot, _):
        await open_game(pilot)
        assert "Skerry v Fenholt; no period yet (F9)" in text_of(app)
        await press(pilot, "f9")
        assert "no period yet" not in text_of(app)


async def test_each_team_and_the_game_are_added_up() -> None:
    async with running(show="scoresheet") as (app, pilot, _):
        await open_game(pilot)
        assert "made" not in app.screen.query_one("#sentence", Words).said[0]
        await press(pilot, *"4+-", "enter", *"9++", "enter", *"7--", "enter", *"30+", "enter")
        assert "; 4/7 made" in app.screen.query_one("#sentence", Words).said[0]
        heads = next(line for line in text_of(app).splitlines() if "(enter)" in line)
        assert heads.split() == ["Skerry", "(enter)", "3/4", "Fenholt", "(space)", "1/3"]


async def test_fifteen_players_of_a_team_stand_on_a_screen_of_24_lines() -> None:
    async with running(show="scoresheet") as (app, pilot, _):
        await open_game(pilot)
        # With the three that are there already.
        await paste(pilot, "\n".join(f"{n} Player{n}" for n in range(31, 43)))
        await press(pilot, "2", "f9", *"4+", "enter")
        said = text_of(app)
        assert [n for n in range(31, 43) if f" {n} Player{n}" not in said] == []
        assert "more" not in said
        await pilot.resize_terminal(80, 18)
        await press(pilot, "4", "backspace")
        assert "more: tab lists all" in text_of(app)


async def test_a_day_far_outside_its_season_is_asked_about_once() -> None:
    async with running(show="scoresheet") as (app, pilot, book):
        await press(pilot, "f8", *GAME[:5], "type:2026-11-30", *GAME[6:], "enter")
        asked = "2026-11-30 is more than 60 days outside the season 2024-25"
        assert asked in " ".join(text_of(app).replace("│", " ").split())
        assert isinstance(app.screen, FormDialog)
        assert "open_sheet" not in [name for name, _ in book.calls]
        await press(pilot, "enter")
        assert "2026-11-30: Skerry v Fenholt" in text_of(app)


async def test_game_and_trial_are_remembered_apart(tmp_path: Path) -> None:
    kept, ledger = tmp_path / "sheets.json", tmp_path / "spring.duckdb"
    book = FakeBook()

    def typed(app: OffglassApp, name: str) -> str:
        return app.screen.query_one(f"#{name}-typed", Input).value

    async with running(book) as (app, pilot, _):
        app.memory = Memory(kept, ledger)
        await press(pilot, "e")
        await open_game(pilot)
        await press(pilot, "f8")
        # A session begins today, whatever day the last game had.
        assert (typed(app, "date"), typed(app, "trial")) == ("2024-11-02", "")
        assert typed(app, "session") == f"{datetime.now(UTC).astimezone():%Y-%m-%d}"
        await press(pilot, "escape")
        await open_practice(pilot)
        await press(pilot, "+")
    assert Memory(kept, ledger).last().asked == {"trial": "Winter", "date": "2025-02-03"}
    async with running(book) as (app, pilot, _):
        app.memory = Memory(kept, ledger)
        await press(pilot, "e", "f8")
        # Whose session is open goes on with one: what is typed now is a trial.
        assert isinstance(app.focused, Input)
        assert app.focused.id == "trial-typed"
        assert "the last was Winter" in app.focused.placeholder
        assert [typed(app, n) for n in ("date", "home", "away")] == [
            "2024-11-02", "Skerry", "Fenholt",
        ]  # fmt: skip


async def test_the_name_of_a_trial_is_no_team() -> None:
    async with running(show="scoresheet") as (app, pilot, book):
        await press(pilot, "f8", *GAME[:-1], "type:winter", "enter")
        assert "Winter is a trial, no team" in text_of(app)
        assert "open_sheet" not in [name for name, _ in book.calls]
