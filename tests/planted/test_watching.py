"""Watching by the list, over the whole scenario: it settles about as many players as it says."""

from __future__ import annotations

import pytest

from tests.planted.measured import Planted
from tests.planted.watching import LEAGUE_SEASONS, drawn_twice, watch

pytestmark = pytest.mark.xdist_group("planted")


def test_a_plan_settles_about_as_many_players_as_it_says_and_rightly(data: Planted) -> None:
    found = [watch(data, *key, budget=1500) for key in LEAGUE_SEASONS]

    for one in found:
        assert one.attempts <= 1500
        assert one.right >= 0.97
        # The classes are read with a flat opinion beforehand; most players here shoot straight.
        assert one.settled == pytest.approx(one.said, rel=0.35)
    assert sum(one.settled for one in found) > sum(one.by_date for one in found)


def test_a_tenth_of_what_was_watched_is_drawn_for_a_second_person(data: Planted) -> None:
    drawn, watched = drawn_twice(data)

    # Three standard errors of some 41,000 are .45 points.
    assert drawn / watched == pytest.approx(0.1, abs=0.0045)


def test_second_opinions_are_for_somebody_else_and_no_attempt_is_owed_twice(data: Planted) -> None:
    rows = data.book.ask("watchlist", budget=100).part("second_opinions").rows()

    attempts = [row["attempt"] for row in rows]
    assert len(set(attempts)) == len(attempts) > 1_000
    assert all(row["for_tagger"].startswith("somebody other than ") for row in rows)
