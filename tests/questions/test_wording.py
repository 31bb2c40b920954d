from __future__ import annotations

import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.questions import wording


def test_the_examples_in_the_words_are_right() -> None:
    assert doctest.testmod(wording).failed == 0


@pytest.mark.parametrize(
    ("share", "attempts", "said"),
    [
        (0.8, 5, "4 of 5"), (0.0, 9, "0 of 9"), (0.7932, 5, "79 %"), (0.5, 10, "50 %"),
        (0.505, 99, "50 %"), (0.5049, 100, "50.5 %"), (0.0004, 200, "under 0.1 %"),
        (0.9996, 200, "over 99.9 %"), (0.998, 50, "over 99 %"), (1.0, 50, "100 %"),
        (0.0, 100, "0.0 %"), (1 / 3, 9, "3 of 9"),
    ],
)  # fmt: skip
def test_digits_follow_the_attempts_behind_a_rate(share: float, attempts: int, said: str) -> None:
    assert wording.rate(share, attempts) == said


@given(made=st.integers(0, 500), missed=st.integers(0, 500))
def test_a_rate_between_is_never_said_to_be_none_or_all(made: int, missed: int) -> None:
    attempts = made + missed
    if attempts < 10 or not made or not missed:
        return

    said = wording.rate(made / attempts, attempts)

    assert said not in ("0 %", "0.0 %", "100 %", "100.0 %")


@pytest.mark.parametrize(
    ("names", "said"),
    [
        (["board-assisted"], "off the backboard"),
        (["board"], "off the backboard"),
        (["underhand", "straight", "other"], "underhand, straight or in another way"),
        (["one hand [b]"], "by “one hand [b]”"),
    ],
)
def test_techniques_are_said_as_a_coach_says_them(names: list[str], said: str) -> None:
    assert wording.technique_words(names) == said
