"""What windows of lines say: examples, what an empty line means, and what → completes to."""

from __future__ import annotations

import re

import pytest
from textual.widgets import Input

from tests.tui.driving import press, running, text_of
from tui.cohorts import Whom
from tui.completion import NameSuggester, offered
from tui.screens.form import Form, FormDialog
from tui.screens.league_windows import lot_form, rumour_form
from tui.screens.player_windows import FORMS, consent_form
from tui.screens.sheet_windows import sheet_form

NOBODY = Whom("")
ALL = {name: make(NOBODY) for name, make in FORMS.items()} | {
    "lot": lot_form(), "rumour": rumour_form(NOBODY),
    "sheet": sheet_form({}, "", "2025-03-31", lambda _: None),
}  # fmt: skip


@pytest.mark.parametrize("form", ALL.values(), ids=ALL.keys())
def test_an_example_is_told_from_what_an_empty_line_means(form: Form) -> None:
    for line in form.lines:
        # A figure that is neither would read as an order, or as what is taken.
        bare = re.sub(r"for example [^;]*|empty: [^;]*", "", line.says)
        assert not re.search(r"\d|such as|may be empty", bare), line.says
        if line.kind == "day":
            assert "for example " in line.says or "empty: " in line.says


@pytest.mark.parametrize("form", ALL.values(), ids=ALL.keys())
def test_a_line_that_may_be_empty_says_what_that_means(form: Form) -> None:
    asked_later = {"league", "season", "date", "home", "away"} if form is ALL["sheet"] else set()
    for line in form.lines:
        if not (line.needed or line.value or line.name in asked_later):
            assert "empty: " in line.says, line.name


def test_a_consent_has_its_usual_purpose_wherever_it_is_asked_for() -> None:
    def purpose(form: Form) -> str:
        return next(line.value for line in form.lines if line.name == "purpose")

    assert purpose(consent_form(NOBODY)) == "a practice trial"
    assert purpose(consent_form(NOBODY, "the trial Winter")) == "the trial Winter"


@pytest.mark.parametrize(
    ("typed", "part", "said"),
    [
        ("zel", ";", "→ Zellith, the first of 2 that begin so ; Zelloby"),
        ("Aldmoor; zello", ";", "→ Zelloby"),
        ("oby", ";", "Zelloby"),
        ("Zelloby", ";", "Zelloby"),
        ("", "", "Aldmoor, Zellith, Zelloby"),
        ("nobody", ";", ""),
    ],
)
async def test_what_is_offered_says_what_the_key_takes_and_of_how_many(
    typed: str, part: str, said: str
) -> None:
    names = ["Aldmoor", "Zellith", "Zelloby"]
    assert offered(typed, names, part) == said
    taken = await NameSuggester(lambda: names, part).get_suggestion(typed)
    shown = re.match(r"→ (\w+)", said)
    assert (taken or "").rpartition("; ")[2] == (shown[1] if shown else "")


async def test_a_window_says_how_many_names_begin_so_before_one_is_taken() -> None:
    async with running(show="ranking") as (app, pilot, _):
        await press(pilot, "k", "tab", "tab", "ctrl+u", "type:Ilv")
        assert isinstance(app.screen, FormDialog)
        assert isinstance(app.focused, Input)
        assert "→ Ilvo" in text_of(app)
        await press(pilot, "right")
        assert app.focused.value.startswith("Ilvo ")


async def test_every_window_in_which_the_key_completes_says_so() -> None:
    async with running(show="intake") as (app, pilot, _):
        assert "→ completes" in text_of(app)
    async with running(show="ranking") as (app, pilot, _):
        for key in ("f", "x"):
            await press(pilot, key)
            assert "→ completes" in text_of(app)
            await press(pilot, "escape")
