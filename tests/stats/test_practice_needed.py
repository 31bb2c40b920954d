from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from ledger.stats.practice_needed import PER_SESSION, chance_shown, sessions_needed
from ledger.stats.session_trial import LAST_LIMIT


@pytest.mark.parametrize(("difference", "spread"), [(0.08, 0.2), (-0.12, 0.0), (0.1, 0.3)])
def test_the_chance_to_show_a_difference_is_that_of_played_trials(
    difference: float, spread: float
) -> None:
    rng = np.random.default_rng(3)
    trials, sessions, rate = 20_000, 10, 0.62

    def shot(p: float) -> NDArray[np.float64]:
        form = np.log(p / (1 - p)) + spread * rng.standard_normal((trials, sessions))
        rates: NDArray[np.float64] = rng.binomial(50, 1 / (1 + np.exp(-form))) / 50
        return rates

    d = shot(rate + difference) - shot(rate)
    p = stats.ttest_1samp(d, 0.0, axis=1).pvalue

    found = chance_shown(rate, difference, sessions, spread=spread)

    assert found == pytest.approx((p <= LAST_LIMIT).mean(), abs=0.02)


def test_without_a_difference_it_is_shown_as_often_as_the_limit_allows() -> None:
    assert chance_shown(0.6, 0.0, 9) == pytest.approx(LAST_LIMIT, abs=1e-4)


@pytest.mark.parametrize(("difference", "sessions"), [(0.08, 4), (0.1, 12), (-0.2, 9), (0.03, 40)])
def test_the_chance_is_that_of_the_noncentral_t(difference: float, sessions: int) -> None:
    other = 0.6 + difference
    spread = 0.04 * (0.24**2 + (other * (1 - other)) ** 2)
    away = difference * (sessions / ((0.24 + other * (1 - other)) / 50 + spread)) ** 0.5
    limit = stats.t.ppf(1 - LAST_LIMIT / 2, sessions - 1)
    tails = [stats.nct.sf(limit, sessions - 1, away), stats.nct.cdf(-limit, sessions - 1, away)]

    assert chance_shown(0.6, difference, sessions) == pytest.approx(sum(tails), abs=2e-4)


def test_the_sessions_needed_are_the_first_that_suffice() -> None:
    sessions = sessions_needed(0.58, 0.08)

    assert sessions == 20
    assert chance_shown(0.58, 0.08, 20) >= 0.8 > chance_shown(0.58, 0.08, 19)


@pytest.mark.parametrize("per_100", range(7, 30))
def test_one_session_fewer_would_not_do(per_100: int) -> None:
    sessions = sessions_needed(0.55, per_100 / 100)

    assert sessions is not None
    assert chance_shown(0.55, per_100 / 100, sessions) >= 0.8
    assert sessions == 4 or chance_shown(0.55, per_100 / 100, sessions - 1) < 0.8


def test_a_great_difference_needs_four_sessions_and_a_small_one_too_many() -> None:
    assert sessions_needed(0.3, 0.5) == 4
    assert sessions_needed(0.6, 0.02) is None
    assert sessions_needed(0.0, 1.0) == 4


def test_fewer_attempts_in_a_session_need_more_sessions() -> None:
    many = sessions_needed(0.6, 0.15, per_session=20)
    usual = sessions_needed(0.6, 0.15, per_session=PER_SESSION)

    assert many is not None
    assert usual is not None
    assert many > usual


@pytest.mark.parametrize(
    ("rate", "difference", "sessions"), [(0.9, 0.2, 5), (-0.1, 0.2, 5), (0.5, 0.1, 1)]
)
def test_rates_that_cannot_be_are_refused(rate: float, difference: float, sessions: int) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        chance_shown(rate, difference, sessions)


def test_the_chance_grows_with_the_sessions_wherever_rates_lie() -> None:
    for rate in (0.0, 0.2, 0.5, 0.9, 1.0):
        for other in (0.0, 0.3, 0.7, 0.95):
            if rate == other:
                continue
            found = [chance_shown(rate, other - rate, many) for many in range(2, 61, 3)]

            assert all(0 <= chance <= 1 + 1e-12 for chance in found), (rate, other)
            assert found == pytest.approx(sorted(found), abs=1e-9), (rate, other)
