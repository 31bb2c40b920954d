from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import special, stats

from ledger.stats.beta_binomial import (
    FEW_ROWS,
    MIN_ROWS,
    Prior,
    combine_seasons,
    fit_beta_binomial,
    posterior,
)
from ledger.stats.counts import FloatArray
from tests.stats.quick import quick

COUNTS = st.integers(0, 80).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
LEAGUES = st.lists(COUNTS, min_size=1, max_size=40).map(lambda rows: list(zip(*rows, strict=True)))


def heights(made: list[int], attempts: list[int]) -> FloatArray:
    """The penalised log-likelihood over a net of levels and weights, written a second time."""
    k, n = np.array(made), np.array(attempts)
    edge = np.log(2.0 * n.sum() + 1.0)
    level, log_weight = np.meshgrid(np.linspace(-edge, edge, 41), np.linspace(-6.9, 13.8, 43))
    return penalised(level[..., None], log_weight[..., None], k, n)


def penalised(
    level: FloatArray, log_weight: FloatArray, k: NDArray[np.int64], n: NDArray[np.int64]
) -> FloatArray:
    weight = np.exp(log_weight)
    a, b = weight * special.expit(level), weight * special.expit(-level)
    terms = special.betaln(a + k, b + n - k) - special.betaln(a, b)
    return np.asarray(terms.sum(axis=-1) - 0.5 * (log_weight[..., 0] - np.log(30.0)) ** 2)


@quick
@given(LEAGUES)
def test_no_other_level_and_weight_fits_a_league_better(league: list[list[int]]) -> None:
    made, attempts = league
    prior = fit_beta_binomial(made, attempts)
    if prior.rows == 0:
        assert np.isnan(prior.mean)
        return
    place = np.log([[prior.a / prior.b], [prior.weight]])
    reached = float(penalised(place[0], place[1], np.array(made), np.array(attempts)))
    assert heights(made, attempts).max() <= reached + 1e-9
    edge = np.log(2.0 * sum(attempts) + 1.0)
    for level, log_weight in ((1e-3, 0.0), (-1e-3, 0.0), (0.0, 1e-3), (0.0, -1e-3)):
        # A nudge off the top goes down, unless it leaves the bounds.
        nudged = place + np.array([[level], [log_weight]])
        if abs(nudged[0, 0]) < edge:
            near = float(penalised(nudged[0], nudged[1], np.array(made), np.array(attempts)))
            assert near <= reached + 1e-10


@quick
@given(LEAGUES)
def test_a_shrunken_rate_lies_between_the_raw_rate_and_the_level(league: list[list[int]]) -> None:
    made, attempts = np.array(league)
    prior = fit_beta_binomial(made, attempts)
    if prior.rows == 0:
        return
    rates = posterior(prior, made, attempts)
    raw = np.where(attempts > 0, made / np.maximum(attempts, 1), prior.mean)
    slack = 1e-12
    assert (np.minimum(raw, prior.mean) - slack <= rates.mean).all()
    assert (rates.mean <= np.maximum(raw, prior.mean) + slack).all()
    assert (rates.low >= 0).all()
    assert (rates.high <= 1).all()
    assert (rates.low <= rates.high).all()


def test_more_attempts_at_the_same_rate_pull_away_from_the_level() -> None:
    prior = Prior(30.0, 10.0, 0.75, 40.0, 60, 0.0)
    rates = posterior(prior, [9, 90, 900], [10, 100, 1000])
    assert (np.diff(rates.mean) > 0).all()
    assert (np.diff(rates.high - rates.low) < 0).all()


def test_shrunken_intervals_are_those_of_the_beta_distribution() -> None:
    prior = Prior(30.0, 10.0, 0.75, 40.0, 60, 0.0)
    rates = posterior(prior, [28, 5], [50, 5])
    assert rates.low == pytest.approx(stats.beta.ppf(0.025, [58, 35], [32, 10]))
    assert rates.high == pytest.approx(stats.beta.ppf(0.975, [58, 35], [32, 10]))


def test_the_log_likelihood_is_that_of_the_beta_binomial_distribution() -> None:
    made, attempts = [3, 9, 20, 0], [5, 10, 31, 4]
    prior = fit_beta_binomial(made, attempts)
    expected = stats.betabinom.logpmf(made, attempts, prior.a, prior.b).sum()
    assert prior.log_likelihood == pytest.approx(expected, abs=1e-9)
    assert prior.mean == pytest.approx(prior.a / (prior.a + prior.b))
    assert prior.weight == pytest.approx(prior.a + prior.b)


@pytest.mark.parametrize("penalty", [True, None])
@pytest.mark.parametrize(
    ("made", "attempts"),
    [
        ([7] * 10, [7] * 10),
        ([0] * 10, [7] * 10),
        ([3], [5]),
        ([5], [5]),
        ([3] * 30, [5] * 30),
        ([0, 5] * 10, [5] * 20),
        ([0, 1], [1, 100_000]),
        ([10**6, 0], [10**6, 1]),
        ([18, 27, 29, 5, 25, 0, 9, 22, 12], [18, 27, 29, 5, 25, 22, 9, 22, 12]),
    ],
)
def test_no_league_is_too_odd_for_a_fit(
    made: list[int], attempts: list[int], penalty: bool | None
) -> None:
    prior = fit_beta_binomial(made, attempts, penalty=penalty)
    assert 0.0 < prior.mean < 1.0
    assert 0.0 < prior.weight < np.inf
    assert prior.a > 0
    assert prior.b > 0


def test_a_perfect_league_is_held_half_an_attempt_below_1() -> None:
    prior = fit_beta_binomial([7] * 10, [7] * 10)
    assert prior.mean == pytest.approx(70.5 / 71.0)
    assert fit_beta_binomial([0] * 10, [7] * 10).mean == pytest.approx(0.5 / 71.0)


def test_rows_without_attempts_change_nothing() -> None:
    assert fit_beta_binomial([8, 0, 3], [10, 0, 9]) == fit_beta_binomial([8, 3], [10, 9])
    empty = fit_beta_binomial([0, 0], [0, 0])
    assert empty.rows == 0
    assert np.isnan(empty.mean)
    assert fit_beta_binomial([], []).rows == 0


def test_five_thousand_rows_find_the_planted_level() -> None:
    rng = np.random.default_rng(11)
    attempts = rng.integers(1, 300, 5000)
    made = rng.binomial(attempts, rng.beta(30, 10, 5000))
    prior = fit_beta_binomial(made, attempts)
    assert prior.mean == pytest.approx(0.75, abs=0.005)
    assert prior.weight == pytest.approx(40.0, rel=0.08)


def test_the_penalty_fades_with_rows_and_pulls_to_thirty() -> None:
    few = fit_beta_binomial([3] * 3, [5] * 3)
    many = fit_beta_binomial([3] * 300, [5] * 300)
    assert 30.0 < few.weight < 40.0
    assert many.weight > 200.0


def coverage(rows: int, penalty: bool | None) -> float:
    """Part of the true rates that their shrunken intervals hold, over 300 small leagues."""
    rng = np.random.default_rng(rows)
    held: list[float] = []
    for _ in range(300):
        attempts = rng.integers(20, 120, rows)
        truth = rng.beta(22.5, 7.5, rows)
        made = rng.binomial(attempts, truth)
        rates = posterior(fit_beta_binomial(made, attempts, penalty=penalty), made, attempts)
        held.append(float(((rates.low <= truth) & (truth <= rates.high)).mean()))
    return float(np.mean(held))


@pytest.mark.parametrize(("rows", "low", "high"), [(8, 0.89, 0.94), (15, 0.90, 0.95)])
def test_shrunken_intervals_cover_the_truth_as_often_as_promised(
    rows: int, low: float, high: float
) -> None:
    assert low <= coverage(rows, True) <= high


def test_without_the_penalty_eight_rows_are_far_too_sure() -> None:
    assert coverage(8, None) < coverage(8, True) - 0.03


def test_many_rows_over_seasons_are_combined_at_once() -> None:
    means, weights = [0.75, 0.70, 0.80], [40.0, 60.0, 30.0]
    talents = combine_seasons(means, weights, [40, 10, 7], [50, 20, 9], rows=[2, 2, 0], size=4)
    alone = combine_seasons([0.80], [30.0], [7], [9])
    both = combine_seasons([0.75, 0.70], [40, 60], [40, 10], [50, 20])
    for name in ("prior_mean", "prior_weight", "a", "b", "mean", "low", "high"):
        column = getattr(talents, name)
        assert column[0] == getattr(alone, name)[0]
        assert column[2] == getattr(both, name)[0]
        assert np.isnan(column[[1, 3]]).all()


def test_one_season_is_its_own_prior() -> None:
    prior = Prior(30.0, 10.0, 0.75, 40.0, 60, 0.0)
    talent, rate = combine_seasons(0.75, 40.0, 28, 50), posterior(prior, 28, 50)
    for name in ("a", "b", "mean", "low", "high"):
        assert getattr(talent, name) == pytest.approx(getattr(rate, name))


def test_a_season_without_attempts_or_prior_says_nothing() -> None:
    talent = combine_seasons([0.75, np.nan], [40.0, np.nan], [28, 0], [50, 0])
    assert talent.mean == pytest.approx(58 / 90)


@pytest.mark.parametrize("rows", [[0, -1], [0, 2]])
def test_a_row_that_is_not_there_is_refused(rows: list[int]) -> None:
    with pytest.raises(ValueError, match="outside 0 to 1"):
        combine_seasons([0.7, 0.7], [40, 40], [1, 1], [2, 2], rows=rows, size=2)


def test_columns_that_differ_in_length_are_refused() -> None:
    with pytest.raises(ValueError, match="columns differ"):
        combine_seasons([0.7], [40, 40], [1, 1], [2, 2])


def test_the_limits_for_few_rows_are_the_documented_ones() -> None:
    assert (MIN_ROWS, FEW_ROWS) == (8, 30)
