"""Class, share of a league, rank test and growth against the checks of the method notes.

All computed (closed form, enumeration or reference libraries on invented data), none published.
"""

from __future__ import annotations

import pytest
from scipy import special

from ledger.stats.growth import fit_growth, share_at
from ledger.stats.league_share import league_share
from ledger.stats.rank_test import outranking
from ledger.stats.technique_class import chance_decided, classify, more_tags_needed

ATTEMPTS = [100, 80, 60, 40, 120, 50]
TAGGED = [20] * 6
FOCUS = [0, 20, 0, 1, 0, 0]


@pytest.mark.parametrize(
    ("focus", "tagged", "chance", "state"),
    [
        (6, 8, 0.92331, "adopter"),
        (0, 12, 0.89194, "undecided"),
        (0, 13, 0.90532, "not"),
        (1, 30, 0.90073, "not"),
    ],
)
def test_classes_at_the_limits(focus: int, tagged: int, chance: float, state: str) -> None:
    below = 0.5 if state == "adopter" else 0.1
    inside = float(special.betainc(focus + 0.5, tagged - focus + 0.5, below))
    assert (1.0 - inside if state == "adopter" else inside) == pytest.approx(chance, abs=1e-5)
    assert classify(focus, tagged, 4) == state


def test_more_tags_needed() -> None:
    assert more_tags_needed([0, 1, 4], [5, 10, 6]) == [8, 37, 7]
    assert chance_decided(0, 5, 8) == pytest.approx(0.69375, abs=1e-5)


def test_expected_decisions_per_attempt_of_a_game() -> None:
    # Two undecided players: (0, 5) with 4 and (1, 10) with 6 untagged attempts in the game.
    total = 0.0
    for focus, tagged, attempts in [(0, 5, 4), (1, 10, 6)]:
        more = more_tags_needed(focus, tagged)
        assert more is not None
        total += min(attempts, more) * chance_decided(focus, tagged, more) / more
    assert total / 10 == pytest.approx(0.04287, abs=1e-5)


def test_share_of_a_league_with_six_drawn_of_thirty() -> None:
    rest = [75] * 24
    share = league_share(
        ATTEMPTS + rest, TAGGED + [0] * 24, FOCUS + [0] * 24, [True] * 6 + [False] * 24
    )
    assert share.share == pytest.approx(0.182222, abs=1e-6)
    assert share.p == pytest.approx(0.182222, abs=1e-6)
    assert share.v == pytest.approx(0.0252584, abs=1e-7)
    assert share.kish == pytest.approx(5.25974, abs=1e-5)
    assert share.effective_size == pytest.approx(3.42977, abs=1e-5)
    assert (share.low, share.high) == pytest.approx((0.02313, 0.67708), abs=1e-5)
    assert share.method == "drawn"


def test_share_of_a_league_where_nobody_drawn_does_it() -> None:
    rest = [75] * 24
    share = league_share(ATTEMPTS + rest, TAGGED + [0] * 24, [0] * 30, [True] * 6 + [False] * 24)
    assert (share.share, share.low) == (0.0, 0.0)
    assert share.high == pytest.approx(0.42208, abs=1e-5)


def test_adopters_against_others() -> None:
    others = [0.85, 0.78, 0.77, 0.76, 0.75, 0.74, 0.73, 0.72, 0.70, 0.68]
    result = outranking([0.86, 0.84, 0.80, 0.79], others, seed=1)
    assert result.chance == pytest.approx(0.925)
    assert result.p == pytest.approx(0.0069930, abs=5e-8)
    assert (result.low, result.high) == pytest.approx((0.43647, 0.99493), abs=1e-5)


def test_logistic_growth_of_five_seasons() -> None:
    growth = fit_growth(range(5), [0.02, 0.05, 0.10, 0.22, 0.35], [12, 12, 14, 15, 16])
    assert (growth.intercept, growth.slope) == pytest.approx((-3.7395, 0.79122), abs=5e-5)
    figures = (growth.odds_ratio, growth.low, growth.high)
    assert figures == pytest.approx((2.206, 0.793, 6.133), abs=1e-3)
    point = share_at(growth, 5)
    assert (point.share, point.low, point.high) == pytest.approx((0.554, 0.113, 0.924), abs=1e-3)
    assert growth.forecast.share is None
    assert growth.forecast.why == "too uncertain to forecast"
