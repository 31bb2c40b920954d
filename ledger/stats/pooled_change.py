"""The effect over several players who changed, and what a new player may expect.

Player i's makes after his change give the likelihood l_i(δ), his bad start taken out
(`before_after.likelihood_of_change`). δ_i ~ Normal(μ, τ²), μ ~ Normal(0, 1), τ ~ half-Normal(0.5).
μ on −2..2 by .05, τ on 0..1.5 by .05; the inner sum over δ uses normalised weights, at τ = 0 the
value at μ. A new player's δ is the mixture of Normal(μ, τ²) over the posterior. In rates: at a
level p, expit(logit p + δ) − p.

Assumptions: players changed for like reasons; they chose themselves. With fewer than three there is
no pooled effect. Attempts are never pooled over players: the sign can turn.

Reference: scale of τ after On weakly informative prior distributions for the heterogeneity
parameter in Bayesian random-effects meta-analysis, Research Synthesis Methods 12 (2021) 448-474.

>>> from ledger.stats.before_after import Before, likelihood_of_change
>>> sides = [((28, 50), (82, 100)), ((40, 60), (75, 100)), ((33, 50), (60, 80))]
>>> pool = pooled(
...     [likelihood_of_change(Before(30 + k, 10 + n - k), *after) for (k, n), after in sides]
... )
>>> [round(x, 2) for x in (pool.mean, pool.low, pool.high, pool.chance, pool.tau)]
[0.44, -0.13, 0.99, 0.95, 0.3]
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaincinv, expit, logit

from ledger.stats.before_after import DELTA, Gain, summed, weighted_quantiles

Floats = NDArray[np.float64]

LEAST_PLAYERS = 3
MU: Floats = np.linspace(-2.0, 2.0, 81)
TAU: Floats = np.linspace(0.0, 1.5, 31)
_QUANTILES = 400


@dataclass(frozen=True, slots=True, eq=False)
class Pooled:
    """The effect on the logit scale over several players.

    Attributes:
        players: how many.
        mean, low, high: of μ.
        chance: P(μ > 0), half of the weight at 0.
        new_low, new_high: 95 % limits of a new player's δ.
        new_chance: P(δ > 0) of a new player.
        tau: posterior mean of τ.
        mu_weight: posterior of μ on `MU`, (81,).
        new_weight: a new player's δ on `DELTA`, (241,); both sum to 1.
    """

    players: int
    mean: float
    low: float
    high: float
    chance: float
    new_low: float
    new_high: float
    new_chance: float
    tau: float
    mu_weight: Floats
    new_weight: Floats

    def gain_at(self, rate: float) -> Gain:
        """The mean effect as a difference of rates at a level."""
        gain: Floats = expit(logit(rate) + MU) - rate
        return summed(gain, self.mu_weight, MU)


def pooled(likelihoods: Sequence[Floats]) -> Pooled:
    """Pool the likelihoods of several players' changes.

    Args:
        likelihoods: one a player, on `DELTA`, each (241,), known up to a factor.

    Raises:
        ValueError: for fewer than three players.
    """
    if len(likelihoods) < LEAST_PLAYERS:
        raise ValueError("fewer than 3 players have no pooled effect")
    mixture = _mixture()
    log_likelihood = np.zeros((len(MU), len(TAU)))
    for one in likelihoods:
        scaled = np.maximum(one / one.max(), 1e-300)
        log_likelihood += np.log(mixture @ scaled)
    log_prior = -0.5 * MU[:, None] ** 2 - 0.5 * (TAU[None, :] / 0.5) ** 2
    joint = np.exp(log_likelihood + log_prior - (log_likelihood + log_prior).max())
    joint /= joint.sum()
    mu_weight = joint.sum(axis=1)
    new_weight = np.tensordot(joint, mixture, axes=2)
    low, high = weighted_quantiles(MU, mu_weight, (0.025, 0.975))
    new_low, new_high = weighted_quantiles(DELTA, new_weight, (0.025, 0.975))
    return Pooled(
        players=len(likelihoods),
        mean=float(mu_weight @ MU),
        low=low,
        high=high,
        chance=summed(MU, mu_weight, MU).chance,
        new_low=new_low,
        new_high=new_high,
        new_chance=summed(DELTA, new_weight, DELTA).chance,
        tau=float(joint.sum(axis=0) @ TAU),
        mu_weight=mu_weight,
        new_weight=new_weight,
    )


@lru_cache(maxsize=1)
def _mixture() -> Floats:
    """Normalised weights of δ under each μ and τ, (81, 31, 241); at τ = 0 all at μ."""
    weights = np.empty((len(MU), len(TAU), len(DELTA)))
    weights[:, 0, :] = np.isclose(DELTA[None, :], MU[:, None])
    apart = (DELTA[None, None, :] - MU[:, None, None]) / TAU[None, 1:, None]
    weights[:, 1:, :] = np.exp(-0.5 * apart**2)
    result: Floats = weights / weights.sum(axis=2, keepdims=True)
    return result


@dataclass(frozen=True, slots=True)
class Prediction:
    """What a new player may gain, as a difference of rates.

    Attributes:
        mean: expected gain.
        low, high: 95 % limits.
        low_80, high_80: 80 % limits.
        chance: chance that he gains.
    """

    mean: float
    low: float
    high: float
    low_80: float
    high_80: float
    chance: float


def predicted(a: float, b: float, pool: Pooled) -> Prediction:
    """The gain of a player with rate Beta(a, b) who changes as those of the pool did.

    400 midpoint quantiles of his rate times the grid of a new player's δ, independent of it.

    Args:
        a: of the posterior of his own rate.
        b: of the same.
        pool: those who changed.
    """
    levels = (np.arange(_QUANTILES) + 0.5) / _QUANTILES
    rate = betaincinv(a, b, levels)[:, None]
    gain: Floats = expit(logit(rate) + DELTA[None, :]) - rate
    weight = np.broadcast_to(pool.new_weight / _QUANTILES, gain.shape)
    low, low_80, high_80, high = weighted_quantiles(gain, weight, (0.025, 0.1, 0.9, 0.975))
    mean = float((gain * weight).sum())
    return Prediction(mean, low, high, low_80, high_80, pool.new_chance)
