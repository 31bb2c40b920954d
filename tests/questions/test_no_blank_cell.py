"""No figure without a reason why it is missing: every answer, over thin and whole cohorts."""

from __future__ import annotations

from typing import Any

import pytest

from ledger.questions.answer import Column, Part
from ledger.questions.registry import QUESTIONS
from tests.questions import test_headlines as grounds
from tests.questions import test_trial as trials
from tests.questions.ground import Ground
from tests.questions.test_headlines import Fill

FILLS = [
    grounds.one_player,
    grounds.thin,
    grounds.untagged,
    grounds.watched_whole,
    grounds.picked,
    grounds.changed_well,
]
# Lists of what came in: there a blank is a field that the file left blank.
FIGURES = [name for name in QUESTIONS if name not in ("attempts", "sources", "player", "trial")]
# A cell that is meant for some rows only, and the column that says for which.
ONLY_SOME = {
    ("adopters", "adopter_since"): "state",
    ("adopters", "more_tags"): "state",
    ("uptake", "team"): "league",
    ("uptake", "position"): "league",
}
NUMBERS = {"attempts", "tagged", "count", "of", "attempts_before"}
_CODES = ("state", "given")


def _explained(row: dict[str, Any], column: Column, question: str) -> bool:
    if any(value for name, value in row.items() if name.endswith("why")):
        return True
    if (question, column.name) == ("player", "technique"):
        return bool(row["tagged"] == 0)
    if ONLY_SOME.get((question, column.name)):
        return row[ONLY_SOME[question, column.name]] is not None
    return any(row.get(code) in ("untagged", "undecided", "typed", "missing") for code in _CODES)


def _blank(part: Part, question: str) -> list[str]:
    return [
        column.name
        for row in part.frame.iter_rows(named=True)
        for column in part.columns
        if not column.name.endswith("why")
        and row[column.name] is None
        and not _explained(row, column, question)
    ]


@pytest.mark.parametrize("fill", FILLS, ids=[f.__name__ for f in FILLS])
def test_a_missing_figure_says_why_and_a_share_stands_beside_its_number(
    ground: Ground, fill: Fill
) -> None:
    fill(ground)

    for question in FIGURES:
        answer = ground.ask(question)
        parts = {"rows": answer.main, **answer.parts}
        for name, part in parts.items():
            assert _blank(part, question) == [], f"{question}, {name}"
        names = {column.name for part in parts.values() for column in part.columns}
        if any(column.unit == "share" for column in answer.columns):
            assert names & NUMBERS, question


@pytest.mark.parametrize("fill", FILLS, ids=[f.__name__ for f in FILLS])
def test_a_player_s_missing_figure_says_why(ground: Ground, fill: Fill) -> None:
    fill(ground)
    names = ground.con.execute(
        "SELECT DISTINCT p.name FROM player p JOIN attempt a ON a.player_id = p.id ORDER BY 1"
    ).fetchall()

    for (name,) in names[:2]:
        answer = ground.ask("player", player=name)
        for part_name, part in {"rows": answer.main, **answer.parts}.items():
            assert _blank(part, "player") == [], part_name


TRIALS = [trials.planned, trials.two, trials.better, trials.fewer, trials.only_practising]


@pytest.mark.parametrize("fill", TRIALS, ids=[f.__name__ for f in TRIALS])
def test_a_trial_s_missing_figure_says_why(ground: Ground, fill: Fill) -> None:
    fill(ground)

    answer = ground.ask("trial")

    for name, part in {"rows": answer.main, **answer.parts}.items():
        assert _blank(part, "trial") == [], name
