from __future__ import annotations

import re

import pytest

from ledger.errors import UseError
from ledger.questions.explain import ANALYST, COACH, explanation, for_coach
from ledger.questions.registry import QUESTIONS


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_question_explains_itself_first_to_a_coach_then_to_an_analyst(question: str) -> None:
    page = explanation(question)

    assert page.startswith(f"# {QUESTIONS[question].title}\n\n## {COACH}\n")
    assert page.index(f"## {COACH}") < page.index(f"## {ANALYST}")
    sentences = re.findall(r"[.:?](?:\s|$)", for_coach(question))
    assert 8 <= len(sentences) <= 16


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_option_with_a_usual_value_is_explained(question: str) -> None:
    page = explanation(question).casefold()

    unexplained = [
        o.name for o in QUESTIONS[question].options if o.name not in page and o.flag not in page
    ]

    assert unexplained in ([], ["by"], ["top", "seed"])


def test_an_unknown_question_has_no_page() -> None:
    with pytest.raises(UseError, match="did you mean ranking"):
        explanation("rankin")
