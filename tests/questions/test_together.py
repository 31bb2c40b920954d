"""Questions asked together share what they rest on, and nothing outlives the asking."""

from __future__ import annotations

from typing import Any

import pytest

from ledger.questions import switches
from ledger.questions.together import asked_together, once
from tests.questions import changing
from tests.questions.ground import Ground

QUESTIONS: list[tuple[str, dict[str, Any]]] = [
    *((name, {}) for name in ("uptake", "adopters", "ranking", "switches", "misses", "worth")),
    ("watchlist", {"budget": 50}),
    ("candidates", {"list": ["Spring"]}),
    ("ranking", {"focus": ["underhand"], "min_attempts": 10}),
]


@pytest.fixture
def looked(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How often changes were looked for."""
    times: list[int] = []
    plain = switches.find_all  # type: ignore[attr-defined]

    def find_all(*given: object) -> object:
        times.append(1)
        return plain(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(switches, "find_all", find_all)
    return times


def filled(ground: Ground) -> None:
    changing.league(ground)
    changing.changed(ground, "Tarn", (28, 50), (82, 100))
    ground.shortlist("Spring", ["P01", "Tarn"])


def test_changes_are_looked_for_once_and_the_answers_are_the_same(
    ground: Ground, looked: list[int]
) -> None:
    filled(ground)
    alone = ground.ask("switches"), ground.ask("candidates", list=["Spring"])
    assert len(looked) == 2

    with asked_together():
        both = ground.ask("switches"), ground.ask("candidates", list=["Spring"])

    assert len(looked) == 3
    assert [answer.json() for answer in both] == [answer.json() for answer in alone]


def test_the_same_question_asked_twice_together_is_one_answer(ground: Ground) -> None:
    filled(ground)

    with asked_together():
        first, again = ground.ask("ranking"), ground.ask("ranking")
        other = ground.ask("ranking", min_attempts=10)

    assert again.main is first.main
    assert other.main is not first.main
    assert ground.ask("ranking").main is not first.main


def test_another_cohort_technique_option_or_ledger_is_looked_at_anew(
    ground: Ground, looked: list[int]
) -> None:
    filled(ground)

    with asked_together():
        ground.ask("switches")
        ground.ask("switches", season="2024-25")
        ground.ask("switches", focus=["underhand"])
        ground.ask("switches", min_tagged=30)
        ground.ask("switches", declared="Tarn:2024-11-20")
        assert len(looked) == 5
        ground.shots("Tarn", 4, 5, source=2)
        ground.ask("switches")
    assert len(looked) == 6

    with asked_together():
        ground.ask("switches")
    assert len(looked) == 7


def test_answers_asked_together_are_those_asked_alone(ground: Ground) -> None:
    filled(ground)
    ground.shots("Tarn", 4, 5, stage="practice")
    asked: list[tuple[str, dict[str, Any]]] = [
        (question, {**options, **cohort})
        for cohort in ({}, {"player": "Tarn"}, {"season": "2024-25"})
        for question, options in QUESTIONS
    ]
    alone = [ground.ask(question, **options).json() for question, options in asked]

    with asked_together():
        together = [ground.ask(question, **options).json() for question, options in asked]

    assert together == alone


def test_nothing_is_kept_where_nothing_is_asked_together() -> None:
    found: list[int] = []

    def find() -> int:
        found.append(1)
        return len(found)

    assert (once("a", find), once("a", find)) == (1, 2)
    with asked_together():
        assert (once("a", find), once("a", find), once("b", find)) == (3, 3, 4)
        # A page and slides made together share what either finds, to the end of both.
        with asked_together():
            assert (once("a", find), once("c", find)) == (3, 5)
        assert (once("a", find), once("c", find)) == (3, 5)
    assert once("a", find) == 6
