"""How is the trial going: which trial, whose practice, and what is said where there is none."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from ledger.cohort import Cohort
from ledger.errors import UseError
from ledger.questions.answer import Answer
from tests.questions import trying
from tests.questions.ground import Ground
from tests.tui.driving import press, rest, running, shows, status_of, text_of
from tests.tui.fake_book import FakeBook
from tests.tui.key_checks import asked
from tui.cohorts import Whom
from tui.screens.dialogs import ChoiceDialog, TextDialog
from tui.screens.player import PlayerScreen
from tui.screens.trial import TrialScreen
from tui.widgets.rows import RowsView
from tui.widgets.session_chart import SessionChart


@dataclass
class OnGround(FakeBook):
    """Answers about trials from a ground of their own."""

    ground: Ground = field(default_factory=Ground)

    def _answer(self, question: str, cohort: Cohort, options: dict[str, Any]) -> Answer:
        if question == "trial":
            return self.ground.ask("trial", **options)
        return super()._answer(question, cohort, options)


async def test_where_no_trial_is_planned_it_says_how_to_plan_one() -> None:
    async with running(OnGround(), show="trial") as (app, _, _book):
        assert "No trial is planned" in text_of(app)
        assert status_of(app).startswith("z on a player's row of another question plans one")
        assert not app.screen.query_one(SessionChart).display


class Several(FakeBook):
    """Asks back which trial is meant."""

    def _answer(self, question: str, cohort: Cohort, options: dict[str, Any]) -> Answer:
        if question == "trial" and "name" not in options:
            raise UseError("there are 2 trials, say which: --name Winter or Spring")
        return super()._answer(question, cohort, options)


async def test_of_several_trials_one_is_chosen_from_a_window() -> None:
    async with running(Several(), show="trial") as (app, pilot, book):
        assert shows(app, ChoiceDialog)
        trials = book.trials()
        assert f"{trials[0].name}: {trials[0].player}" in text_of(app)
        await press(pilot, "1")
        assert asked(book)[3] == {"name": trials[0].name}
        assert shows(app, TrialScreen)


async def test_a_window_that_is_left_is_not_opened_again_by_itself() -> None:
    async with running(Several(), show="trial") as (app, pilot, book):
        await press(pilot, "escape")
        assert shows(app, TrialScreen)
        assert "no answer yet" in text_of(app)
        await press(pilot, "b", "1")
        assert asked(book)[3] == {"name": book.trials()[0].name}


async def test_enter_goes_to_whose_practice_it_is_and_the_details_are_of_the_row() -> None:
    async with running(show="trial", size=(120, 36)) as (app, pilot, _book):
        await press(pilot, "d")
        assert shows(app, TextDialog)
        assert "Whether the session enters the result" in text_of(app)
        await press(pilot, "escape", "enter")
        assert shows(app, PlayerScreen)
        assert app.player == Whom("Tarn", "Halma League")
        await press(pilot, "escape")
        assert shows(app, TrialScreen)


async def test_a_session_that_is_not_counted_says_so_in_its_row_and_in_the_picture() -> None:
    ground = Ground()
    trying.plan(ground, sessions=8, practice_only=1)
    trying.consent(ground)
    trying.sessions(ground, trying.STRAIGHT[:3], trying.BOARD[:3])
    async with running(OnGround(ground=ground), show="trial", size=(160, 40)) as (app, _, _book):
        rows = app.screen.query_one("#rows", RowsView)
        lines = [rows.render_line(y).text for y in range(1, 5)]
        assert [line[:6].strip(" ▸") for line in lines] == ["1 ×", "1 ×", "2", "2"]
        assert "practice only, by the plan" in lines[0]
        assert "× not counted" in text_of(app)


async def test_a_trial_is_not_said_to_study_another_technique() -> None:
    async with running(show="trial") as (app, pilot, _book):
        await press(pilot, "t", "4")
        await rest(pilot)
        assert "studying" not in text_of(app)
        assert "Trial Winter: practice of Tarn (Halma League)" in text_of(app)
