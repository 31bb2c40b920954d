from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from ledger.stats.session_trial import FIRST_LIMIT, LAST_LIMIT, looks, result

# METHODS 6.10: 6 sessions of 50 each way, straight and board (computed check).
D = [(b - s) / 50 for s, b in zip([29, 31, 27, 30, 28, 32], [34, 33, 36, 31, 37, 35], strict=True)]


@pytest.mark.parametrize("many", [2, 3, 6, 9])
def test_mean_interval_and_p_are_those_of_the_one_sample_t_test(many: int) -> None:
    d = list(np.random.default_rng(3).normal(0.03, 0.1, many))

    found = result(d, planned=12)
    outside = stats.ttest_1samp(d, 0)

    assert (found.mean, found.p) == pytest.approx((np.mean(d), outside.pvalue))
    assert (found.low, found.high) == pytest.approx(tuple(outside.confidence_interval(0.95)))


def test_the_check_of_the_methods() -> None:
    found = result(D, planned=12)

    assert (found.mean, found.low, found.high) == pytest.approx(
        (0.09667, 0.02346, 0.16988), abs=1e-5
    )
    assert found.p == pytest.approx(0.0194, abs=5e-5)
    assert (found.limit, found.verdict) == (FIRST_LIMIT, "go_on")


def test_the_same_sessions_are_better_where_they_are_the_last_look() -> None:
    # p .0194 is above .0052 and below .048.
    assert result(D, planned=6).verdict == "better"
    assert result([-d for d in D], planned=6).verdict == "worse"
    assert result(D, planned=6).limit == LAST_LIMIT


def test_between_and_before_looks_nothing_is_called() -> None:
    clear = [0.2, 0.21, 0.19, 0.2, 0.2]

    before = result(clear, planned=12)
    between = result([*D, 0.3, 0.3, 0.3], planned=12)

    assert (before.verdict, between.verdict) == ("go_on", "go_on")
    assert math.isnan(before.limit)
    assert math.isnan(between.limit)


def test_a_look_that_ended_it_ends_it_for_good() -> None:
    ended = [0.2, 0.21, 0.19, 0.2, 0.2, 0.2]

    found = result([*ended, -0.5, -0.5, -0.5, -0.5, -0.5, -0.5], planned=12)

    assert (found.verdict, found.sessions, found.limit) == ("better", 6, FIRST_LIMIT)


def test_the_last_look_that_shows_nothing_is_undecided_and_later_sessions_count_nothing() -> None:
    d = [0.1, -0.1, 0.1, -0.1]

    assert result(d, planned=4).verdict == "undecided"
    assert result([*d, 0.9, 0.9], planned=4) == result(d, planned=4)


@pytest.mark.parametrize("same", [0.1, 0.0, -0.3])
def test_sessions_that_are_all_alike_tell_no_spread_and_call_nothing(same: float) -> None:
    # Without any effect, one pair of sessions of 10 each way in ten shows one difference twice.
    early = result([same] * 2, planned=4)
    last = result([same] * 4, planned=4)

    assert (early.mean, last.mean) == pytest.approx((same, same))
    assert (early.verdict, last.verdict) == ("go_on", "undecided")
    assert all(math.isnan(x) for x in (early.low, early.high, early.p, last.low, last.p))


def test_without_two_sessions_there_is_no_interval() -> None:
    none, one = result([], planned=12), result([0.1], planned=12)

    assert (none.sessions, one.sessions, one.mean) == (0, 1, 0.1)
    assert all(math.isnan(v) for v in (none.mean, none.p, one.low, one.high, one.p))


def test_looks_are_at_half_and_at_the_end() -> None:
    assert (looks(12), looks(5)) == ((6, 12), (2, 5))
    with pytest.raises(ValueError, match="four sessions"):
        looks(3)
