"""What a change of technique did for one player, with his bad start taken out.

Before the change he made k_b of n_b, after it k_a of n_a; (a, b) is the level of his league, fitted
without the after sides of those who changed, so that his rate before has the posterior
p ~ Beta(A, B) with A = a + k_b, B = b + n_b − k_b.

Had nothing changed: the makes after it are beta-binomial(n_a, A, B); `expected` gives their mean,
the range of 95 %, and how surprising the observed makes are, P(K > k_a) + ½ P(K = k_a).

Size: on the logit scale the change is δ ~ Normal(0, 0.7²), the makes after it are binomial with
expit(logit p + δ), and gain = expit(logit p + δ) − p; `size` sums over a grid of δ and logit p.
With a league drift d ~ Normal(d̂, se²), δ + d stands in the place of δ for the makes, not for the
gain.

Never two independent posteriors under one prior: their difference is biased upwards after a bad
start. Not for a change by design (a trial); not below 10 attempts on a side. If players change
because they are poor shooters, and not after a bad start, the gain is understated.

Reference: regression to the mean as in International Journal of Epidemiology 34 (2005) 215-220,
doi 10.1093/ije/dyh299; the beta-binomial predictive as in Bayesian Data Analysis (CRC, 2013).

>>> side = Before(58, 32)
>>> made = expected(side, 82, 100)
>>> round(made.mean, 2), made.low, made.high, round(made.surprise, 6)
(64.44, 51, 78, 0.003348)
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaln, digamma, expit, gammaln, polygamma

Floats = NDArray[np.float64]

LEAST_ATTEMPTS = 10
CLAIM = 0.975
PRIOR_SD = 0.7
# (z of 97.5 % + z of 80 %) squared: two-sided .05 with power .80.
_POWER = 7.848879
DELTA: Floats = np.linspace(-3.0, 3.0, 241)
_NODES = 9


@dataclass(frozen=True, slots=True)
class Before:
    """What is known of a player's rate before the change: Beta(a, b)."""

    a: float
    b: float

    @property
    def rate(self) -> float:
        """Mean of the rate."""
        return self.a / (self.a + self.b)

    def logits(self) -> tuple[Floats, Floats]:
        """Points of logit p and their weights, which sum to 1."""
        middle = float(digamma(self.a) - digamma(self.b))
        spread = 7 * float(np.sqrt(polygamma(1, self.a) + polygamma(1, self.b)))
        eta = np.linspace(middle - spread, middle + spread, 81)
        log_weight = -self.a * np.logaddexp(0, -eta) - self.b * np.logaddexp(0, eta)
        weight = np.exp(log_weight - log_weight.max())
        return eta, weight / weight.sum()


@dataclass(frozen=True, slots=True)
class Expected:
    """Makes after the change, had nothing changed.

    Attributes:
        mean: expected makes.
        low, high: equal-tailed range of 95 %, in makes.
        surprise: P(K > made) + ½ P(K = made).
    """

    mean: float
    low: int
    high: int
    surprise: float


@dataclass(frozen=True, slots=True)
class Gain:
    """A difference of rates: its posterior mean, 95 % limits, and the chance that it is above 0."""

    mean: float
    low: float
    high: float
    chance: float


@dataclass(frozen=True, slots=True)
class Drift:
    """How the league's rate moved meanwhile, on the logit scale."""

    mean: float
    se: float


def expected(before: Before, made: int, attempts: int) -> Expected:
    """Makes of `attempts` after the change had nothing changed, against those `made`.

    Raises:
        ValueError: if makes are not between 0 and the attempts.
    """
    if not 0 <= made <= attempts:
        raise ValueError("makes lie between 0 and the attempts")
    k = np.arange(attempts + 1)
    choose = gammaln(attempts + 1) - gammaln(k + 1) - gammaln(attempts - k + 1)
    both = betaln(before.a + k, before.b + attempts - k) - betaln(before.a, before.b)
    chance = np.exp(choose + both)
    below = np.cumsum(chance)
    low, high = (int(np.searchsorted(below, q - 1e-12)) for q in (0.025, 0.975))
    surprise = float(chance[made + 1 :].sum() + 0.5 * chance[made])
    return Expected(attempts * before.rate, low, min(high, attempts), surprise)


def bad_start(before: Before, made: int, attempts: int) -> float:
    """The part of the raw rise that the start explains: expected rate minus the rate before."""
    return before.rate - made / attempts


def size(before: Before, made: int, attempts: int, drift: Drift | None = None) -> Gain:
    """The gain of a player who made `made` of `attempts` after his change.

    Args:
        before: his rate before.
        made: makes after the change.
        attempts: attempts after the change.
        drift: how the league moved meanwhile; none unless given.

    >>> gain = size(Before(58, 32), 82, 100)
    >>> [round(x, 3) for x in (gain.mean, gain.low, gain.high, gain.chance)]
    [0.143, 0.031, 0.255, 0.994]
    """
    eta, weight = before.logits()
    likelihood = _likelihood(eta, made, attempts, drift)
    prior = np.exp(-0.5 * (DELTA / PRIOR_SD) ** 2)
    joint = weight[:, None] * prior[None, :] * likelihood
    gain = expit(eta[:, None] + DELTA[None, :]) - expit(eta)[:, None]
    return summed(gain, joint, DELTA[None, :])


def likelihood_of_change(before: Before, made: int, attempts: int) -> Floats:
    """How likely the makes are under each change of `DELTA`, the rate before integrated out.

    Known up to a factor; (241,).
    """
    eta, weight = before.logits()
    result: Floats = weight @ _likelihood(eta, made, attempts, None)
    return result


def _likelihood(eta: Floats, made: int, attempts: int, drift: Drift | None) -> Floats:
    if drift is None:
        shifts, weights = np.zeros(1), np.ones(1)
    else:
        nodes, weights = np.polynomial.hermite_e.hermegauss(_NODES)
        shifts, weights = drift.mean + drift.se * nodes, weights / weights.sum()
    logit = eta[:, None, None] + DELTA[None, :, None] + shifts
    log = -made * np.logaddexp(0, -logit) - (attempts - made) * np.logaddexp(0, logit)
    result: Floats = np.exp(log - log.max()) @ weights
    return result


def summed(gain: Floats, weight: Floats, delta: Floats) -> Gain:
    """Mean, limits and chance of weighted gains; half of the weight at δ = 0 counts as above 0."""
    weight = weight / weight.sum()
    mean = float((gain * weight).sum())
    zero = np.isclose(delta, 0.0)
    above = np.where(zero, 0.5, (delta > 0).astype(np.float64))
    low, high = weighted_quantiles(gain, weight, (0.025, 0.975))
    return Gain(mean, low, high, float((weight * above).sum()))


def weighted_quantiles(
    values: Floats, weights: Floats, levels: tuple[float, ...]
) -> tuple[float, ...]:
    """Quantiles of weighted values, between the middles of their weights."""
    order = np.argsort(values, axis=None, kind="stable")
    value, weight = values.ravel()[order], weights.ravel()[order]
    middle = (np.cumsum(weight) - weight / 2) / weight.sum()
    return tuple(float(np.interp(level, middle, value)) for level in levels)


def attempts_needed(before: Before, difference: float) -> int | None:
    """Attempts after a change that would show a difference of rates in 80 % of cases.

    With m the rate before and c = A + B: D = d²/7.848879 − m(1−m)/(c+1); n = ⌈m(1−m)c/((c+1)D)⌉.

    Returns:
        The number, or None where D ≤ 0: too few attempts before, no number would show it.

    >>> attempts_needed(Before(58, 32), 0.20), attempts_needed(Before(58, 32), 0.08)
    (88, None)
    """
    rate, size_ = before.rate, before.a + before.b
    room = difference**2 / _POWER - rate * (1 - rate) / (size_ + 1)
    if room <= 0:
        return None
    return ceil(rate * (1 - rate) * size_ / ((size_ + 1) * room))
