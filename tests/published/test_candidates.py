"""What a new player may gain, and the practice that would show it, against check values.

Sources
- Pool of three players, prior Beta(30, 10): 28/50 then 82/100, 40/60 then 75/100, 33/50 then 60/80;
  a player with 55 of 90 and 120 attempts a season. Computed, not published; the tolerances are
  those of the figures as given.
- Chance that a trial of 600 attempts each way at 58 % shows +8 and +13 per 100: 44 to 73 % and 85
  to 99 %, by simulation, the form of the day varying by 0 to .3 on the logit scale.
"""

from __future__ import annotations

import pytest
from scipy.integrate import quad
from scipy.special import expit, logit
from scipy.stats import beta

from ledger.stats.before_after import DELTA, Before, likelihood_of_change
from ledger.stats.pooled_change import Pooled, pooled, predicted
from ledger.stats.practice_needed import chance_shown

A, B = 30, 10


@pytest.fixture(scope="module")
def pool() -> Pooled:
    sides = [((28, 50), (82, 100)), ((40, 60), (75, 100)), ((33, 50), (60, 80))]
    return pooled(
        [likelihood_of_change(Before(A + k, B + n - k), *after) for (k, n), after in sides]
    )


def test_a_new_player_may_gain_what_was_computed(pool: Pooled) -> None:
    own = Before(A + 55, B + 35)
    found = predicted(own.a, own.b, pool)

    assert own.rate == pytest.approx(0.65385, abs=1e-5)
    assert found.mean == pytest.approx(0.0829, abs=0.002)
    assert (found.low_80, found.high_80) == pytest.approx((-0.016, 0.175), abs=0.002)
    assert (found.low, found.high) == pytest.approx((-0.138, 0.233), abs=0.002)
    assert found.chance == pytest.approx(0.877, abs=0.002)


def test_the_expected_gain_is_the_exact_integral(pool: Pooled) -> None:
    found = predicted(A + 55, B + 35, pool)

    def gain(rate: float) -> float:
        risen = pool.new_weight @ expit(logit(rate) + DELTA) - rate
        return float(risen * beta.pdf(rate, A + 55, B + 35))

    assert found.mean == pytest.approx(quad(gain, 0.3, 0.95)[0], abs=1e-6)


def test_over_a_season_it_is_so_many_points(pool: Pooled) -> None:
    found = predicted(A + 55, B + 35, pool)

    season = [120 * x for x in (found.mean, found.low, found.high)]
    assert season == pytest.approx([9.9, -16.6, 28.0], abs=0.3)


@pytest.mark.parametrize(
    ("difference", "spread", "chance"),
    [(0.08, 0.3, 0.44), (0.08, 0.0, 0.73), (0.13, 0.3, 0.85), (0.13, 0.0, 0.99)],
)
def test_a_trial_shows_a_difference_as_often_as_simulated(
    difference: float, spread: float, chance: float
) -> None:
    # Two digits are given; the second look of a simulated trial adds a little.
    found = chance_shown(0.58, difference, 12, spread=spread)

    assert found == pytest.approx(chance, abs=0.01)
