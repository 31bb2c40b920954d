"""What a question was told, in plain words."""

from __future__ import annotations

import pytest

from ledger.questions.guards import NOT_A_TEST
from ledger.questions.options import Option
from ledger.questions.registry import QUESTIONS
from ledger.questions.told import WORDS, told, value_words, words_of

OPTIONS = [(name, option) for name, q in QUESTIONS.items() for option in q.options]


@pytest.mark.parametrize(("question", "option"), OPTIONS, ids=[f"{q}-{o.name}" for q, o in OPTIONS])
def test_every_option_of_every_question_is_said_in_words(question: str, option: Option) -> None:
    assert option.name in WORDS, question
    words = words_of(option)
    assert words.said.count("{}") == 1
    assert "_" not in words.label
    for choice in option.choices:
        said = value_words(option, choice)
        assert said, choice
        assert "-" not in said, "a code is no word"


def test_what_is_not_the_usual_stands_first_and_the_usual_follows() -> None:
    ranking = QUESTIONS["ranking"].options
    assert told(ranking, {"min_attempts": 80, "order": "made", "seed": 1}) == [
        "ordered by makes",
        "80 attempts or more",
        "one row for each player",
        "the first 10",
    ]


def test_a_seed_is_said_only_where_it_was_chosen() -> None:
    ranking = QUESTIONS["ranking"].options
    assert "seed 7" in told(ranking, {"seed": 7})
    assert not any("seed" in item for item in told(ranking, {"seed": 1}))


def test_a_season_that_raised_the_question_is_told_where_it_is_left_out() -> None:
    note = f"Left out of both comparisons of rates: Halma League 2022-23 ({NOT_A_TEST})."
    found = told(QUESTIONS["adopters"].options, {}, ["Watched: 1 of 2 attempts.", note])
    assert found[-1] == "left out of both comparisons of rates: Halma League 2022-23"


def test_numbers_lists_and_flags_are_said_as_a_person_would() -> None:
    rate = Option("rate", float, None)
    assert value_words(rate, 0.12) == "0.12"
    assert value_words(rate, 30.0) == "30"
    assert value_words(Option("list", str, None, many=True), ["Spring", "Lot"]) == "Spring; Lot"
    assert value_words(Option("forecast", bool, True), value=False) == "no"
    assert value_words(Option("budget", int, None), 1200) == "1,200"
    assert value_words(rate, None) == ""
