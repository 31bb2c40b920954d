"""The effect over several players against sums written out, and what it must and must not do.

"Computed check of the method's page" marks values that were computed, not published.
"""

from __future__ import annotations

from math import exp, log

import numpy as np
import pytest
from scipy import stats
from scipy.special import expit, logit

from ledger.stats.before_after import DELTA, Before, likelihood_of_change
from ledger.stats.pooled_change import Pooled, pooled, predicted

# Prior Beta(30, 10); makes of attempts before, then after.
THREE = [((28, 50), (82, 100)), ((40, 60), (75, 100)), ((33, 50), (60, 80))]


def likelihoods(sides: list[tuple[tuple[int, int], tuple[int, int]]]) -> list[np.ndarray]:
    return [likelihood_of_change(Before(30 + k, 10 + n - k), *after) for (k, n), after in sides]


@pytest.fixture(scope="module")
def pool() -> Pooled:
    return pooled(likelihoods(THREE))


# Computed check of the method's page (±.005).
def test_the_known_three_are_pooled_to_the_known_effect(pool: Pooled) -> None:
    assert (pool.mean, pool.low, pool.high) == pytest.approx((0.442, -0.133, 0.985), abs=0.005)
    assert pool.chance == pytest.approx(0.947, abs=0.005)
    assert (pool.new_low, pool.new_high) == pytest.approx((-0.578, 1.407), abs=0.005)
    assert pool.new_chance == pytest.approx(0.877, abs=0.005)
    assert pool.tau == pytest.approx(0.298, abs=0.005)
    assert pool.players == 3


def test_the_posterior_is_the_product_of_priors_and_players_written_out(pool: Pooled) -> None:
    players = likelihoods(THREE)
    joint = {}
    for mu in np.linspace(-2, 2, 81):
        for tau in np.linspace(0, 1.5, 31):
            value = exp(-0.5 * mu**2 - 0.5 * (tau / 0.5) ** 2)
            for one in players:
                if tau == 0:
                    value *= float(np.interp(mu, DELTA, one))
                else:
                    weight = stats.norm.pdf(DELTA, mu, tau)
                    value *= float(weight @ one / weight.sum())
            joint[mu, tau] = value
    total = sum(joint.values())

    assert pool.mean == pytest.approx(sum(mu * w for (mu, _), w in joint.items()) / total)
    assert pool.tau == pytest.approx(sum(tau * w for (_, tau), w in joint.items()) / total)
    above = sum(w * (1.0 if mu > 1e-9 else 0.5 if abs(mu) < 1e-9 else 0.0)
                for (mu, _), w in joint.items())  # fmt: skip
    assert pool.chance == pytest.approx(above / total)


def test_a_new_player_is_the_mixture_over_the_posterior(pool: Pooled) -> None:
    assert pool.new_weight.sum() == pytest.approx(1.0)
    assert float(pool.new_weight @ DELTA) == pytest.approx(pool.mean, abs=0.005)
    assert pool.new_low < pool.low
    assert pool.new_high > pool.high


def test_the_order_of_players_and_a_factor_of_theirs_change_nothing(pool: Pooled) -> None:
    turned = pooled([5e-9 * one for one in reversed(likelihoods(THREE))])

    assert turned.mu_weight == pytest.approx(pool.mu_weight)
    assert turned.new_weight == pytest.approx(pool.new_weight)


def test_players_of_one_effect_leave_little_spread_and_opposite_ones_much() -> None:
    alike = pooled([np.asarray(stats.norm.pdf(DELTA, 0.5, 0.1))] * 6)
    apart = pooled([np.asarray(stats.norm.pdf(DELTA, m, 0.1)) for m in (-1, 1, -1, 1, -1, 1)])

    assert alike.mean == pytest.approx(0.5, abs=0.03)
    assert alike.tau < 0.2 < 0.8 < apart.tau
    assert alike.chance > 0.99
    assert apart.chance == pytest.approx(0.5, abs=0.01)
    assert apart.new_high - apart.new_low > 3 * (alike.new_high - alike.new_low)


def test_an_impossible_player_does_not_break_the_pool() -> None:
    # All made after very many attempts: the likelihood is 0 on most of the grid.
    pool = pooled([likelihood_of_change(Before(500, 500), 2_000, 2_000)] * 3)

    assert np.isfinite([pool.mean, pool.low, pool.high, pool.tau]).all()
    assert pool.mean > 1


def test_the_gain_is_the_effect_at_a_level(pool: Pooled) -> None:
    gain = pool.gain_at(0.75)

    assert gain.low == pytest.approx(expit(logit(0.75) + pool.low) - 0.75, abs=1e-3)
    assert gain.high == pytest.approx(expit(logit(0.75) + pool.high) - 0.75, abs=1e-3)
    assert gain.chance == pool.chance
    assert 0 < gain.mean < expit(logit(0.75) + pool.mean) - 0.75


@pytest.mark.parametrize("players", [0, 1, 2])
def test_fewer_than_three_players_have_no_pooled_effect(players: int) -> None:
    with pytest.raises(ValueError, match="fewer than 3"):
        pooled(likelihoods(THREE)[:players])


# Computed check of the method's page: own 55 of 90 under Beta(30, 10) (±.002).
def test_the_known_candidate_may_gain_eight_per_hundred(pool: Pooled) -> None:
    found = predicted(85, 45, pool)

    assert found.mean == pytest.approx(0.0829, abs=0.002)
    assert (found.low_80, found.high_80) == pytest.approx((-0.016, 0.175), abs=0.002)
    assert (found.low, found.high) == pytest.approx((-0.138, 0.233), abs=0.002)
    assert found.chance == pool.new_chance


def test_the_prediction_is_that_of_draws(pool: Pooled) -> None:
    rng = np.random.default_rng(4)
    rate = rng.beta(85, 45, 200_000)
    delta = rng.choice(DELTA, 200_000, p=pool.new_weight)
    gain = expit(logit(rate) + delta) - rate

    found = predicted(85, 45, pool)

    assert found.mean == pytest.approx(gain.mean(), abs=0.001)
    assert (found.low, found.low_80, found.high_80, found.high) == pytest.approx(
        np.quantile(gain, [0.025, 0.1, 0.9, 0.975]), abs=0.003
    )


def test_the_sign_of_pooled_attempts_is_not_the_sign_of_the_players() -> None:
    # Each makes as many after as before, the better one shoots more after: added up they rise.
    sides = [((30, 60), (5, 10)), ((45, 50), (450, 500)), ((28, 40), (14, 20))]
    before = sum(k for (k, _), _ in sides) / sum(n for (_, n), _ in sides)
    after = sum(k for _, (k, _) in sides) / sum(n for _, (_, n) in sides)

    pool = pooled([likelihood_of_change(Before(k, n - k), *a) for (k, n), a in sides])

    assert after - before > 0.15
    assert pool.mean == pytest.approx(0.0, abs=0.05)
    assert log(after / (1 - after)) - log(before / (1 - before)) > 0.9
