"""A change and what it did, against exact fractions and numerical integration.

"Computed check of the method's page" marks values that were computed, not published.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import accumulate
from math import comb, factorial, log

import numpy as np
import pytest
from scipy import integrate, stats
from scipy.special import expit

from ledger.stats.before_after import (
    DELTA,
    Before,
    Drift,
    attempts_needed,
    bad_start,
    expected,
    likelihood_of_change,
    size,
    weighted_quantiles,
)

# Prior Beta(30, 10), 28 of 50 before.
SIDE = Before(58, 32)


def beta(a: int, b: int) -> Fraction:
    return Fraction(factorial(a - 1) * factorial(b - 1), factorial(a + b - 1))


@pytest.mark.parametrize(
    ("a", "b", "made", "attempts"),
    [(58, 32, 82, 100), (3, 2, 0, 12), (3, 2, 12, 12), (40, 5, 9, 20), (1, 1, 5, 10)],
)
def test_expected_makes_are_those_of_exact_fractions(
    a: int, b: int, made: int, attempts: int
) -> None:
    chance = [
        comb(attempts, k) * beta(a + k, b + attempts - k) / beta(a, b) for k in range(attempts + 1)
    ]
    below = list(accumulate(chance))

    found = expected(Before(a, b), made, attempts)

    assert found.mean == pytest.approx(float(sum(k * c for k, c in enumerate(chance))))
    assert found.low == next(k for k, c in enumerate(below) if c >= Fraction(1, 40))
    assert found.high == next(k for k, c in enumerate(below) if c >= Fraction(39, 40))
    assert found.surprise == pytest.approx(float(sum(chance[made + 1 :]) + chance[made] / 2))


# Computed check of the method's page.
def test_the_known_player_was_expected_to_make_sixty_four() -> None:
    found = expected(SIDE, 82, 100)

    assert found.mean == pytest.approx(64.44, abs=0.005)
    assert (found.low, found.high) == (51, 78)
    assert found.surprise == pytest.approx(0.003348, abs=1e-6)


def test_the_bad_start_explains_a_part_of_the_raw_rise() -> None:
    # Computed check of the method's page: 8.44 points.
    assert 100 * bad_start(SIDE, 28, 50) == pytest.approx(8.44, abs=0.005)


@pytest.mark.parametrize(("made", "attempts"), [(-1, 10), (11, 10)])
def test_makes_that_cannot_be_are_refused(made: int, attempts: int) -> None:
    with pytest.raises(ValueError, match="makes lie between"):
        expected(SIDE, made, attempts)


# Computed check of the method's page: .1430 (.0307, .2551), P .9937 (±5e-4).
def test_the_known_player_gained_fourteen_per_hundred() -> None:
    found = size(SIDE, 82, 100)

    assert found.mean == pytest.approx(0.1430, abs=5e-4)
    assert (found.low, found.high) == pytest.approx((0.0307, 0.2551), abs=5e-4)
    assert found.chance == pytest.approx(0.9937, abs=5e-4)


@pytest.mark.parametrize(("made", "attempts"), [(82, 100), (9, 20), (30, 30)])
def test_the_gain_is_that_of_a_much_finer_grid_over_the_rate_itself(
    made: int, attempts: int
) -> None:
    low, high = stats.beta.ppf([1e-9, 1 - 1e-9], SIDE.a, SIDE.b)
    p, delta = np.linspace(low, high, 1_201)[:, None], np.linspace(-3, 3, 1_201)[None, :]
    after = expit(np.log(p / (1 - p)) + delta)
    weight = (
        stats.beta.pdf(p, SIDE.a, SIDE.b)
        * stats.norm.pdf(delta, 0, 0.7)
        * after**made
        * (1 - after) ** (attempts - made)
    )

    found = size(SIDE, made, attempts)

    def part(values: np.ndarray) -> float:
        return float(integrate.trapezoid(integrate.trapezoid(values, delta[0]), p[:, 0]))

    assert found.mean == pytest.approx(part(weight * (after - p)) / part(weight), abs=1e-4)
    above = part(weight * ((delta > 0) + 0.5 * (delta == 0))) / part(weight)
    assert found.chance == pytest.approx(above, abs=1e-3)
    assert found.low < found.mean < found.high


def test_limits_hold_the_middle_ninety_five_percent_of_draws() -> None:
    rng = np.random.default_rng(11)
    p, delta = rng.beta(58, 32, 400_000), rng.normal(0, 0.7, 400_000)
    after = expit(np.log(p / (1 - p)) + delta)
    weight = stats.binom.pmf(82, 100, after)
    gain = after - p
    order = np.argsort(gain)
    below = np.cumsum(weight[order]) / weight.sum()

    found = size(SIDE, 82, 100)

    assert found.low == pytest.approx(gain[order][np.searchsorted(below, 0.025)], abs=0.004)
    assert found.high == pytest.approx(gain[order][np.searchsorted(below, 0.975)], abs=0.004)


def test_nothing_seen_after_leaves_the_prior() -> None:
    found = size(Before(50, 50), 0, 0)

    assert found.chance == pytest.approx(0.5)
    assert found.mean == pytest.approx(0.0, abs=1e-9)
    assert found.low == pytest.approx(-found.high, abs=1e-6)


def test_a_league_that_did_not_move_changes_nothing() -> None:
    still = size(SIDE, 82, 100, Drift(0.0, 0.0))

    plain = size(SIDE, 82, 100)
    assert (still.mean, still.low, still.high, still.chance) == pytest.approx(
        (plain.mean, plain.low, plain.high, plain.chance)
    )


def test_a_league_that_rose_takes_from_the_gain_and_one_that_fell_gives() -> None:
    rose, fell = (size(SIDE, 82, 100, Drift(by, 0.05)) for by in (0.3, -0.3))

    assert rose.mean < size(SIDE, 82, 100).mean < fell.mean
    assert rose.chance < 0.975 < fell.chance


def test_the_drift_is_added_for_the_makes_and_not_for_the_gain() -> None:
    # With the drift known, makes speak of δ + d: the posterior of δ is that of the shifted grid.
    eta, weight = SIDE.logits()
    after = expit(eta[:, None] + DELTA[None, :] + 0.2)
    joint = (
        weight[:, None]
        * np.exp(-0.5 * (DELTA / 0.7) ** 2)[None, :]
        * stats.binom.pmf(82, 100, after)
    )
    gain = expit(eta[:, None] + DELTA[None, :]) - expit(eta)[:, None]

    found = size(SIDE, 82, 100, Drift(0.2, 0.0))

    assert found.mean == pytest.approx(float((gain * joint).sum() / joint.sum()))


def test_an_unsure_drift_widens_the_gain_by_its_own_spread() -> None:
    wide = size(SIDE, 82, 100, Drift(0.0, 0.4))
    narrow = size(SIDE, 82, 100)
    # δ + d has the variance of both: five nodes of d by hand, weights of a normal distribution.
    rng = np.random.default_rng(2)
    p, delta = rng.beta(58, 32, 400_000), rng.normal(0, 0.7, 400_000)
    logit = np.log(p / (1 - p)) + delta
    weight = stats.binom.pmf(82, 100, expit(logit + rng.normal(0, 0.4, logit.size)))
    gain = expit(logit) - p

    assert wide.high - wide.low > narrow.high - narrow.low
    assert wide.mean == pytest.approx(float(weight @ gain / weight.sum()), abs=0.003)
    assert wide.chance == pytest.approx(float(weight @ (gain > 0) / weight.sum()), abs=0.004)


def test_the_likelihood_of_a_change_has_the_rate_before_integrated_out() -> None:
    found = likelihood_of_change(SIDE, 82, 100)

    def exact(delta: float) -> float:
        return float(
            integrate.quad(
                lambda p: (
                    stats.beta.pdf(p, 58, 32)
                    * stats.binom.pmf(82, 100, expit(log(p / (1 - p)) + delta))
                ),
                0.2,
                0.95,
            )[0]
        )

    at = [100, 120, 160]
    ratios = [exact(float(DELTA[i])) / exact(0.0) for i in at]
    assert [found[i] / found[120] for i in at] == pytest.approx(ratios, rel=1e-5)
    assert found.shape == (241,)


# Computed check of the method's page: d .20 → 88; d .08 → never.
def test_attempts_needed_are_the_known_ones() -> None:
    assert attempts_needed(SIDE, 0.20) == 88
    assert attempts_needed(SIDE, 0.08) is None


@pytest.mark.parametrize("difference", [0.18, 0.25, 0.4])
def test_attempts_needed_show_the_difference_in_four_of_five_cases(difference: float) -> None:
    # By the normal approximation behind the formula: variance of the makes' share after it.
    needed = attempts_needed(SIDE, difference)
    assert needed is not None

    def spread(n: int) -> float:
        m, c = SIDE.rate, SIDE.a + SIDE.b
        return float((m * (1 - m) * (c + n) / (n * (c + 1))) ** 0.5)

    reach = 1.959964 + 0.841621
    assert difference >= reach * spread(needed) * (1 - 1e-6)
    assert difference < reach * spread(needed - 1)


def test_quantiles_of_equal_weights_are_between_the_values() -> None:
    values = np.array([3.0, 1.0, 2.0, 4.0])

    assert weighted_quantiles(values, np.ones(4), (0.0, 0.5, 1.0)) == (1.0, 2.5, 4.0)


def test_a_rate_of_very_many_attempts_keeps_its_points_around_it() -> None:
    eta, weight = Before(8_000, 2_000).logits()

    assert float(expit(eta) @ weight) == pytest.approx(0.8, abs=1e-5)
    assert weight.sum() == pytest.approx(1.0)
    assert size(Before(8_000, 2_000), 8_000, 10_000).mean == pytest.approx(0.0, abs=1e-3)
