from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats.contingency_tables import StratifiedTable

from ledger.stats.hypergeometric import fisher_two_sided, upper_tail
from ledger.stats.mantel_haenszel import association, odds_ratio, rate_difference
from ledger.stats.picked_by_result import picked_by_result
from tests.stats.quick import quick

CELL = st.integers(1, 40)
STRATA = st.lists(st.tuples(CELL, CELL, CELL, CELL), min_size=1, max_size=8)
TABLE = st.tuples(*[st.integers(0, 25)] * 4)


@quick
@given(STRATA)
def test_pooled_odds_ratio_and_test_are_those_of_the_reference_library(
    strata: list[tuple[int, int, int, int]],
) -> None:
    a, b, c, d = zip(*strata, strict=True)
    reference = StratifiedTable([np.array(row).reshape(2, 2) for row in strata])
    pooled, test = odds_ratio(a, b, c, d), association(a, b, c, d)
    assert pooled.odds_ratio == pytest.approx(reference.oddsratio_pooled)
    assert pooled.log_odds_ratio == pytest.approx(reference.logodds_pooled, abs=1e-12)
    assert pooled.error == pytest.approx(reference.logodds_pooled_se)
    low, high = reference.oddsratio_pooled_confint()
    assert (pooled.low, pooled.high) == pytest.approx((low, high))
    expected = reference.test_null_odds(correction=False)
    assert test.chi2 == pytest.approx(expected.statistic, abs=1e-9)
    assert test.p == pytest.approx(expected.pvalue, abs=1e-9)
    assert pooled.strata == test.strata == len(strata)


def test_strata_that_carry_nothing_change_nothing() -> None:
    full = ([647, 41], [622, 28], [2, 19], [27, 32])
    padded = tuple([*column, *extra] for column, extra in zip(full, _EMPTY, strict=True))
    assert odds_ratio(*padded) == odds_ratio(*full)
    assert association(*padded) == association(*full)


# Nobody; one group only; one result only.
_EMPTY = ([0, 5, 4], [0, 3, 0], [0, 0, 7], [0, 0, 0])


def test_ends_of_the_odds_ratio_have_no_interval_and_no_warning() -> None:
    always, never = odds_ratio([5], [0], [2], [3]), odds_ratio([0], [5], [2], [3])
    assert (always.odds_ratio, never.odds_ratio) == (math.inf, 0.0)
    assert (always.log_odds_ratio, never.log_odds_ratio) == (math.inf, -math.inf)
    nothing = odds_ratio([5], [0], [3], [0])
    for pooled in (always, never, nothing):
        assert math.isnan(pooled.low)
        assert math.isnan(pooled.error)
    assert math.isnan(nothing.odds_ratio)
    assert math.isnan(association([5], [0], [3], [0]).p)
    assert association([], [], [], []).strata == 0


def test_rate_difference_of_one_stratum_is_the_difference() -> None:
    single = rate_difference([28], [50], [82], [100])
    assert single.difference == pytest.approx(28 / 50 - 0.82)
    turned = rate_difference([82], [100], [28], [50])
    assert (single.low, single.high) == pytest.approx((-turned.high, -turned.low))
    assert single.error == pytest.approx(turned.error)


def test_rate_difference_uses_strata_with_both_groups_only() -> None:
    with_extra = rate_difference([8, 22, 9], [106, 98, 10], [5, 16, 0], [120, 85, 0])
    assert with_extra == rate_difference([8, 22], [106, 98], [5, 16], [120, 85])
    assert with_extra.strata == 2
    assert math.isnan(rate_difference([3], [5], [0], [0]).difference)


def test_rate_difference_covers_the_truth_in_many_small_strata() -> None:
    rng = np.random.default_rng(6)
    held = 0
    for _ in range(400):
        base = rng.uniform(0.2, 0.5, 12)
        n_a, n_b = rng.integers(2, 9, 12), rng.integers(2, 9, 12)
        found = rate_difference(rng.binomial(n_a, base + 0.15), n_a, rng.binomial(n_b, base), n_b)
        held += found.low <= 0.15 <= found.high
    assert 0.92 <= held / 400 <= 0.98


def test_strata_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="below 0"):
        odds_ratio([-1], [1], [1], [1])
    with pytest.raises(ValueError, match="differ in length"):
        association([1, 2], [1], [1], [1])
    with pytest.raises(ValueError, match="level"):
        odds_ratio([1], [1], [1], [1], level=95)


@quick
@given(st.lists(TABLE, min_size=1, max_size=20))
def test_fisher_is_that_of_the_reference_library(tables: list[tuple[int, int, int, int]]) -> None:
    a, b, c, d = zip(*tables, strict=True)
    expected = [stats.fisher_exact(np.array(table).reshape(2, 2)).pvalue for table in tables]
    assert fisher_two_sided(a, b, c, d) == pytest.approx(expected, abs=1e-9)


@quick
@given(TABLE)
def test_the_upper_tail_is_that_of_the_reference_library(table: tuple[int, int, int, int]) -> None:
    a, b, c, d = table
    # The reference knows no draw from nothing; there X is 0 for sure.
    expected = stats.hypergeom.sf(a - 1, a + b + c + d, a + c, a + b) if sum(table) else 1.0
    assert upper_tail(a, a + b, a + c, a + b + c + d) == pytest.approx(expected, abs=1e-9)


def test_broken_counts_are_refused() -> None:
    with pytest.raises(ValueError, match="not whole"):
        fisher_two_sided([1.5], [1], [1], [1])
    assert fisher_two_sided([], [], [], []).size == 0


def test_misses_watched_makes_not_is_flagged_for_the_player_and_the_cohort() -> None:
    found = picked_by_result([9], [100], [25], [41])
    assert found.flagged[0]
    assert found.pooled.flagged
    assert found.share_of_makes_watched[0] == pytest.approx(0.09)
    assert found.share_of_misses_watched[0] == pytest.approx(25 / 41)
    assert found.p[0] == pytest.approx(stats.fisher_exact([[9, 91], [25, 16]]).pvalue)
    assert found.pooled.p == pytest.approx(association([9], [91], [25], [16]).p)


@pytest.mark.parametrize(
    ("counts", "applied"),
    [
        ((0, 40, 10, 20), True),
        ((0, 40, 9, 20), False),
        ((40, 40, 10, 20), True),
        ((40, 40, 11, 20), False),
        ((0, 0, 0, 0), False),
    ],
)
def test_a_player_needs_ten_tagged_and_ten_untagged(
    counts: tuple[int, int, int, int], applied: bool
) -> None:
    found = picked_by_result(*([value] for value in counts))
    assert found.applied[0] == applied
    assert math.isnan(found.p[0]) != applied
    assert bool(found.flagged[0]) == applied
    assert math.isnan(found.pooled.p) != applied


def test_two_picked_tags_of_each_of_fifty_show_only_in_the_cohort() -> None:
    many = [50] * 50
    found = picked_by_result([0] * 50, many, [2] * 50, [20] * 50)
    assert not found.applied.any()
    assert not found.flagged.any()
    assert found.pooled.flagged
    assert found.pooled.share_of_misses_watched == pytest.approx(0.1)
    assert found.pooled.share_of_makes_watched == 0.0
    assert found.pooled.players == 50


def test_tags_by_lot_are_flagged_as_rarely_as_the_limit_says() -> None:
    rng = np.random.default_rng(12)
    made, missed = rng.integers(30, 150, 3000), rng.integers(15, 60, 3000)
    tagged = np.minimum(rng.integers(10, 40, 3000), made + missed - 10)
    of_makes = rng.hypergeometric(made, missed, tagged)
    found = picked_by_result(of_makes, made, tagged - of_makes, missed)
    assert found.applied.all()
    assert found.flagged.mean() <= 0.012
    assert not found.pooled.flagged


def test_good_players_watched_more_often_is_no_picking_by_result() -> None:
    # Pooled without strata this would look picked: the better player is watched more.
    found = picked_by_result([90, 10], [180, 100], [10, 10], [20, 100])
    assert not found.pooled.flagged
    assert found.pooled.share_of_makes_watched > 1.5 * found.pooled.share_of_misses_watched


def test_tags_above_attempts_are_refused() -> None:
    with pytest.raises(ValueError, match="above"):
        picked_by_result([3], [2], [0], [5])
    with pytest.raises(ValueError, match="differ in length"):
        picked_by_result([1, 2], [2, 2], [0], [5])
