"""The contents: what is new, what is watched, and headlines that are never stale."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.screen import ModalScreen

from ledger.store.reads import Contents, LeagueSeason, SourceLine
from tests.tui.driving import QUESTIONS, press, rest, running, text_of
from tests.tui.fake_book import FakeBook
from tui.app import OffglassApp, listed_questions
from tui.holdings import holdings_of
from tui.settings import Settings
from tui.visits import Visit, keep_visit, last_visit
from tui.widgets.lines import wrapped

LAST = SourceLine(7, "week.csv", "attempts", 40, 40, 0, "Mira", "2025-03-02 12:00:00", False)


def facts(**changed: object) -> Contents:
    seasons = (
        LeagueSeason("Halma League", "2022-23", 2022, "free_throw", 800, 0, 9),
        LeagueSeason("Halma League", "2023-24", 2023, "free_throw", 800, 800, 9),
        LeagueSeason("Kesto", "2023-24", 2023, "free_throw", 400, 100, 5),
    )
    given = {
        "leagues": seasons, "attempts": 2000, "tagged": 900, "practice": 0, "totals": 0,
        "players": 14, "games": 60, "sources": 7, "last_sources": (LAST,), "rumours": (),
        "changes": 9, "last_change": LAST.when,
    }  # fmt: skip
    return Contents(**{**given, **changed})  # type: ignore[arg-type]


def test_each_league_has_a_line_with_a_sign_for_each_season() -> None:
    _, halma, kesto = holdings_of(facts()).leagues
    assert halma == "  Halma League  ·█  1,600 free throws, 50.0 % watched"
    assert kesto == "  Kesto          ▃  400 free throws, 25.0 % watched"


@pytest.mark.parametrize(
    ("seen", "said"),
    [
        (None, "Last in: source 7, week.csv"),
        (Visit(9, 7, "2025-03-01"), "Last in: source 7, week.csv"),
        (Visit(5, 6, "2025-03-01"), "New since your last visit (2025-03-01): source 7, week.csv"),
        (Visit(8, 7, "2025-03-01"), "Changed since your last visit (2025-03-01): the journal on"),
    ],
)
def test_what_changed_since_the_last_visit_is_said(seen: Visit | None, said: str) -> None:
    assert holdings_of(facts(), seen).lines[-1].startswith(said)


def test_a_visit_is_kept_by_ledger_and_a_broken_file_of_visits_is_none(tmp_path: Path) -> None:
    kept, ledger = tmp_path / "state" / "visits.json", tmp_path / "spring.duckdb"
    assert last_visit(kept, ledger) is None
    keep_visit(kept, ledger, Visit(3, 2, "2025-03-01"))
    keep_visit(kept, tmp_path / "other.duckdb", Visit(1, 1, "2025-03-02"))
    assert last_visit(kept, ledger) == Visit(3, 2, "2025-03-01")
    kept.write_text("{", encoding="utf-8")
    assert last_visit(kept, ledger) is None


async def test_headlines_are_asked_anew_after_a_store_and_after_an_undo(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tests.tui.test_goldens import write_attempts

    monkeypatch.chdir(tmp_path)
    write_attempts(tmp_path / "new.csv")
    async with running() as (app, pilot, book):
        await press(pilot, "i", "type:new.csv", "enter", "a")
        book.headline = "Oselo is first now."
        await press(pilot, "c")
        assert "Oselo is first now." in text_of(app)
        await press(pilot, "s")
        assert "new.csv" in text_of(app)
        await press(pilot, "u", "y")
        assert "2025-03-03" in text_of(app)
        book.headline = "Tarn is first again."
        await press(pilot, "c")
        assert "Tarn is first again." in text_of(app)


async def test_what_another_process_stored_is_seen_when_the_contents_are() -> None:
    async with running() as (app, pilot, book):
        await press(pilot, "1")
        book.changes += 1
        book.headline = "Oselo is first now."
        await press(pilot, "c")
        assert "Oselo is first now." in text_of(app)
        await press(pilot, "1")
        assert "Oselo is first now." in text_of(app)


async def test_nothing_is_asked_again_where_nothing_has_changed() -> None:
    async with running() as (_, pilot, book):
        asked = len([c for c in book.calls if c[0] == "ask"])
        await press(pilot, "1", "c", "i", "c")
        assert len([c for c in book.calls if c[0] == "ask"]) == asked + 1


async def test_the_visit_before_is_on_the_first_screen() -> None:
    book = FakeBook()
    seen = Visit(1, 1, "2025-02-01")
    app = OffglassApp(lambda: book, "spring.duckdb", questions=QUESTIONS, seen=seen)
    async with app.run_test(size=(100, 30)) as pilot:
        await rest(pilot)
        assert "New since your last visit (2025-02-01): source 2, tags.csv" in text_of(app)


def test_a_headline_is_wrapped_with_its_signs_and_cut_with_one() -> None:
    text = "Off the backboard 4 % of free throws, 19 % now, and nobody knows why that is so."
    lines = wrapped(text, 21, 9)
    assert " ".join(lines) == text
    assert all(len(line) <= 21 for line in lines)
    assert not any(line.startswith("%") for line in lines)
    assert wrapped(text, 21, 2) == ["Off the backboard 4 %", "of free throws, 19 %…"]


async def test_a_slow_question_that_was_answered_on_its_screen_has_its_headline() -> None:
    async with running() as (app, pilot, _):
        assert "24 records." not in text_of(app)
        await press(pilot, "4", "c")
        assert "24 records." in text_of(app)
        # Of other attempts it is another headline.
        await press(pilot, "f", "type:Halma League", "enter")
        assert "24 records." not in text_of(app)
        await press(pilot, "backspace")
        assert "24 records." in text_of(app)


async def test_the_contents_say_how_film_is_tagged_a_game_typed_in_and_a_file_brought() -> None:
    settings = Settings(keys={"scoresheet": ("ctrl+e",)})
    async with running(size=(80, 24), settings=settings) as (app, _, _book):
        line = next(line for line in text_of(app).splitlines() if "watches film" in line)
    assert line == " v watches film and tags it, ctrl+e types a game in, i brings in a file."


def test_an_empty_ledger_says_that_a_game_may_be_typed_in() -> None:
    empty = holdings_of(facts(sources=0, attempts=0))
    assert empty.ways(lambda action: f"<{action}>") == (
        "No file: <scoresheet> types a game in, by hand."
    )


async def test_every_question_of_the_ledger_is_reached_by_its_digit_or_enter() -> None:
    app = OffglassApp(FakeBook, "spring.duckdb")
    async with app.run_test(size=(80, 24)) as pilot:
        await rest(pilot)
        for number, question in enumerate(listed_questions(), 1):
            if number <= 10:
                await press(pilot, str(number % 10))
            else:
                await press(pilot, "end", *["up"] * (len(listed_questions()) - number), "enter")
            assert app.place().room == question.name
            while isinstance(app.screen, ModalScreen):
                await press(pilot, "escape")
            await press(pilot, "f2")
            assert app.place().room == "contents"


@pytest.mark.parametrize("size", [(40, 12), (60, 16), (80, 24), (120, 36), (200, 60)])
async def test_the_contents_show_a_question_whole_at_every_size(size: tuple[int, int]) -> None:
    async with running(size=size) as (app, pilot, _):
        await press(pilot, "down")
        text = " ".join(text_of(app).split())
        assert "7 of the 37 players watched enough shoot off the backboard" in text
        assert "? keys" in text
