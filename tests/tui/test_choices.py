"""What a question is told: the line that says it, and the window that changes it."""

from __future__ import annotations

import pytest
from textual.widgets import Input

from ledger.questions.registry import QUESTIONS
from ledger.questions.told import words_of
from tests.tui.driving import press, rest, running, status_of, text_of
from tests.tui.fake_book import FakeBook
from tests.tui.key_checks import asked
from tui.app import OffglassApp
from tui.cohorts import Whom
from tui.screens.choices import ChoicesDialog, OptionPrompt, read_typed
from tui.screens.question import QuestionScreen
from tui.widgets.lines import Words


def question_screen(app: OffglassApp) -> QuestionScreen:
    """The screen in front, which is one of a question."""
    assert isinstance(app.screen, QuestionScreen)
    return app.screen


WITH_OPTIONS = [name for name, question in QUESTIONS.items() if question.options]


@pytest.mark.parametrize("size", [(40, 12), (80, 24)], ids=lambda s: f"{s[0]}x{s[1]}")
async def test_every_option_of_every_question_can_be_seen_and_changed(
    size: tuple[int, int],
) -> None:
    async with running(size=size) as (app, pilot, _):
        for question in WITH_OPTIONS:
            app.show(question)
            await rest(pilot)
            screen = question_screen(app)
            options = QUESTIONS[question].options
            await press(pilot, "4")
            assert app.screen.__class__ is ChoicesDialog, question
            assert text_of(app).strip().startswith(("┌", screen.heading))
            for number, option in enumerate(options[:9], 1):
                await press(pilot, str(number))
                kind = app.screen.__class__.__name__
                assert kind in ("ChoiceDialog", "OptionPrompt"), (question, option.name)
                await press(pilot, "escape")
            await press(pilot, "escape")
            assert question_screen(app) is screen
            assert screen.options == {}


async def test_a_question_without_options_says_so() -> None:
    async with running() as (app, pilot, _):
        app.show_player(Whom("Tarn"))
        await rest(pilot)
        assert not app.screen.query_one("#told", Words).display
        await press(pilot, "a")
        assert "nothing but which attempts are meant" in status_of(app)


async def test_names_of_the_ledger_complete_an_option() -> None:
    async with running(FakeBook(), show="candidates") as (app, pilot, book):
        await press(pilot, "a", "1")
        assert isinstance(app.screen, OptionPrompt)
        assert ("choices", "list") in book.calls
        await press(pilot, "ctrl+u", "type:spr")
        assert "→ Spring, the first of 2 that begin so ; Spring lot" in text_of(app)
        await press(pilot, "right", "type:; Spring l", "right", "enter")
        await press(pilot, "escape")
        assert asked(book)[3] == {"list": ["Spring", "Spring lot"]}


async def test_what_an_option_cannot_take_is_said_and_stays_typed() -> None:
    async with running(show="worth") as (app, pilot, book):
        before = asked(book)
        await press(pilot, "a", "1", "type:1.2", "enter")
        assert "a make rate takes a number from 0 to 1, not '1.2'" in text_of(app)
        line = app.focused
        assert isinstance(line, Input)
        assert line.value == "1.2"
        await press(pilot, "escape", "escape")
        assert asked(book) == before


async def test_a_value_that_is_the_usual_is_not_told() -> None:
    options = {option.name: option for option in QUESTIONS["ranking"].options}
    assert read_typed(options["top"], "10") is None
    assert read_typed(options["top"], " ") is None
    assert read_typed(options["top"], "5") == 5
    assert read_typed(options["state"], "Adopter") == "adopter"


async def test_the_window_shows_what_the_answer_was_told() -> None:
    async with running(show="ranking") as (app, pilot, _):
        await press(pilot, "a")
        text = text_of(app)
        # The usual minimum goes by the rows: only the answer knows it.
        assert "fewest attempts: 50" in text
        assert "only rows of: –" in text


async def test_all_choices_of_worth_and_the_hint_are_whole_in_a_usual_window() -> None:
    async with running(show="worth", size=(80, 24)) as (app, pilot, _):
        await press(pilot, "a")
        said = " ".join(text_of(app).replace("│", " ").split())
        for option in QUESTIONS["worth"].options:
            assert option.description in said
        assert "F9 takes the usual for all, esc asks so" in said


@pytest.mark.parametrize("size", [(80, 24), (40, 12), (120, 36)])
async def test_the_last_of_many_choices_is_reached_and_the_hint_stays(
    size: tuple[int, int],
) -> None:
    async with running(show="candidates", size=size) as (app, pilot, _):
        await press(pilot, "a", "end")
        said = " ".join(text_of(app).replace("│", " ").split())
        assert words_of(QUESTIONS["candidates"].options[-1]).label in said
        assert "esc asks so" in said
