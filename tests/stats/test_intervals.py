from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from ledger.stats.intervals import Interval, Intervals, Z, beta_interval, newcombe, wilson
from tests.stats.quick import quick

COUNTS = st.integers(1, 400).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


def test_the_constant_is_the_normal_quantile() -> None:
    assert pytest.approx(stats.norm.ppf(0.975), abs=1e-15) == Z


@quick
@given(COUNTS)
def test_a_rate_lies_inside_its_interval_and_both_within_0_and_1(count: tuple[int, int]) -> None:
    made, attempts = count
    interval = wilson(made, attempts)
    assert 0.0 <= interval.low <= made / attempts <= interval.high <= 1.0
    assert interval.low < interval.high


@quick
@given(COUNTS)
def test_the_interval_of_a_rate_is_that_of_the_reference_library(count: tuple[int, int]) -> None:
    interval = wilson(*count)
    low, high = proportion_confint(*count, method="wilson")
    assert (interval.low, interval.high) == pytest.approx((low, high), abs=1e-12)


@quick
@given(COUNTS, COUNTS)
def test_the_interval_of_a_difference_is_that_of_the_reference_library(
    first: tuple[int, int], second: tuple[int, int]
) -> None:
    interval = newcombe(*first, *second)
    low, high = confint_proportions_2indep(*first, *second, method="newcomb", compare="diff")
    assert (interval.low, interval.high) == pytest.approx((low, high), abs=1e-12)


@quick
@given(COUNTS, COUNTS)
def test_turning_the_groups_turns_the_interval_of_the_difference(
    first: tuple[int, int], second: tuple[int, int]
) -> None:
    one, other = newcombe(*first, *second), newcombe(*second, *first)
    assert (one.low, one.high) == pytest.approx((-other.high, -other.low), abs=1e-12)
    difference = first[0] / first[1] - second[0] / second[1]
    assert -1.0 <= one.low <= difference <= one.high <= 1.0


def test_nothing_counted_gives_no_interval_and_no_warning() -> None:
    for interval in (wilson(0, 0), newcombe(3, 5, 0, 0), newcombe(0, 0, 3, 5)):
        assert isinstance(interval, Interval)
        assert math.isnan(interval.low)
        assert math.isnan(interval.high)


def test_arrays_give_arrays_and_numbers_give_floats() -> None:
    many = wilson([0, 3, 5, 0], np.array([5, 5, 5, 0]))
    assert isinstance(many, Intervals)
    single = wilson(np.int64(3), 5)
    assert isinstance(single, Interval)
    assert type(single.low) is float
    assert many.low[1] == single.low
    assert (many.low[0], many.high[2]) == (0.0, 1.0)
    assert np.isnan(many.low[3])
    differences = newcombe([56, 9], [70, 10], [48, 3], [80, 10])
    assert differences.low[1] == newcombe(9, 10, 3, 10).low


def test_fractions_of_attempts_are_possible() -> None:
    # An effective size is no whole number.
    interval = wilson(0.182222 * 3.42977, 3.42977)
    assert (interval.low, interval.high) == pytest.approx((0.02313, 0.67708), abs=1e-5)


@pytest.mark.parametrize("level", [0.5, 0.8, 0.95])
def test_beta_intervals_leave_equal_tails(level: float) -> None:
    a, b = np.array([6.5, 0.5, 300.0]), np.array([2.5, 12.5, 40.0])
    interval = beta_interval(a, b, level)
    assert stats.beta.cdf(interval.low, a, b) == pytest.approx((1 - level) / 2, abs=1e-9)
    assert stats.beta.sf(interval.high, a, b) == pytest.approx((1 - level) / 2, abs=1e-9)
    assert beta_interval(6.5, 2.5, level).low == interval.low[0]


@pytest.mark.parametrize(
    ("made", "attempts", "word"),
    [
        (-1, 5, "below 0"),
        (6, 5, "above"),
        (math.nan, 5, "missing"),
        ([1, 2], [1, 2, 3], "2 counts"),
    ],
)
def test_counts_that_cannot_be_are_refused_in_words(
    made: float, attempts: float, word: str
) -> None:
    with pytest.raises(ValueError, match=word):
        wilson(made, attempts)


def test_tables_of_counts_are_refused_in_words() -> None:
    with pytest.raises(ValueError, match="made has 2 dimensions"):
        wilson(np.ones((2, 2)), np.ones((2, 2)))
    with pytest.raises(ValueError, match="level"):
        beta_interval(1.0, 1.0, 1.0)
