"""On a screen the remedy that the ledger names is a key or a choice, never an option to type."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import ledger.questions
from ledger.questions.guards import ONE_TECHNIQUE
from ledger.questions.player_words import NOBODY
from ledger.questions.registry import QUESTIONS
from ledger.questions.trial_words import NO_TRIAL
from tests.tui.driving import press, running, status_of, text_of
from tui.actions import ALL, BY_ID, keys_of
from tui.keys import shown_key
from tui.remedies import Key, nouns_of, told_here

OPTION = re.compile(r"(?<!\w)--[a-z]")


def keys_on(kind: str) -> Key:
    """The keys of one screen."""

    def key(action: str) -> str:
        found = keys_of(BY_ID[action], {}, kind) if kind in BY_ID[action].where else ()
        return shown_key(found[0]) if found else ""

    return key


def said(name: str, line: str) -> str:
    """The line on the screen of a question, or of a file."""
    kind = name if name in ALL else "question"
    own = nouns_of(QUESTIONS[name].options) if name in QUESTIONS else {}
    return told_here(line, keys_on(kind), own)


@pytest.mark.parametrize(
    ("name", "line", "told"),
    [
        (
            "candidates",
            "Whose? Type --list NAME; the ledger has Guards.",
            "Whose? Type a list (a); the ledger has Guards.",
        ),
        (
            "candidates",
            "type both --offensive-rebound and --per-possession, or neither",
            "type both the chance of an offensive rebound and the points a possession (a), or "
            "neither",
        ),
        ("ranking", "--min-attempts 20 (usually 50)", "20 as the fewest attempts (usually 50)"),
        (
            "adopters",
            ONE_TECHNIQUE,
            "Among attempts of one technique there is no share: leave out the technique (f) and "
            "say with the technique studied (t) what is studied.",
        ),
        ("player", NOBODY, "Say which player: type the player (f)."),
        ("trial", NO_TRIAL, "No trial is planned: Lists (l) plan one before its first attempt."),
        ("watchlist", "(--part second_opinions); it", "(tab leafs there); it"),
        (
            "watchlist",
            "no film: type offglass correct game ID video=PLACE --why TEXT.",
            "no film: in a shell type offglass correct game ID video=PLACE --why TEXT.",
        ),
        (
            "agreement",
            "3 disputed: type offglass settle ATTEMPT TECHNIQUE.",
            "3 disputed: tab leafs there, = settles one.",
        ),
        (
            "intake",
            "type --word technique:'to be'=NAME to settle it",
            "type technique:'to be'=NAME as \"word\" (m) to settle it",
        ),
        (
            "intake",
            "type --dates dmy or --dates mdy",
            'type dmy as "dates" or mdy as "dates" (m)',
        ),
        ("intake", "nothing stored; type --as box", "nothing stored; type box as its kind (k)"),
        ("intake", "the file a--map.csv is not there", "the file a--map.csv is not there"),
        (
            "attempts",
            "there is no attempt 9: offglass ask attempts lists them",
            f'there is no attempt 9: "{QUESTIONS["attempts"].title}" lists them',
        ),
    ],
)
def test_a_remedy_is_a_key_or_a_choice(name: str, line: str, told: str) -> None:
    assert said(name, line) == told


def spoken() -> Iterator[tuple[str, str]]:
    """Every text in the questions that names an option: its module, and the text."""
    for path in sorted(Path(ledger.questions.__file__).parent.glob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        explained = {
            ast.get_docstring(node, clean=False)
            for node in ast.walk(tree)
            if isinstance(node, ast.Module | ast.FunctionDef | ast.ClassDef)
        }
        for node in ast.walk(tree):
            # A described option is described in the window where it is chosen.
            if (
                isinstance(node, ast.Constant)
                and isinstance(node.value, str)
                and node.value not in explained
                and OPTION.search(node.value)
            ):
                yield path.stem, node.value


def test_no_option_that_a_question_names_stays_an_option_on_the_screens() -> None:
    own = nouns_of([option for one in QUESTIONS.values() for option in one.options])
    found = list(spoken())
    assert len(found) > 20
    left = []
    for module, text in found:
        here = told_here(text, lambda action: f"<{action}>", own)
        # What is of a shell stays as it is typed there.
        if OPTION.search(here.partition("offglass ")[0]):
            left.append((module, here))
    assert left == []


async def test_the_screen_of_worth_names_the_choice_and_its_key() -> None:
    async with running(show="worth", size=(120, 36)) as (app, _, _book):
        assert "type the chance of an offensive rebound (a)." in text_of(app)
        assert OPTION.search(text_of(app)) is None


async def test_a_refused_choice_names_what_was_typed_not_the_option() -> None:
    async with running(show="ranking", size=(120, 36)) as (app, pilot, _):
        await press(pilot, "m", "type:x", "enter")
        assert "the fewest attempts takes a whole number" in text_of(app)
        await press(pilot, "escape")
        assert "--" not in status_of(app)
