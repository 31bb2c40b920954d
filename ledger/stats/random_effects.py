"""The usual pooling of differences between players, kept as the naive figure beside ours.

Log odds ratios y_i with variances v_i, ½ added to every cell of a player with an empty one.
τ² after Paule and Mandel: the value at which Q(τ²) = Σ w_i (y_i − ȳ)² = k − 1, w_i = 1/(v_i + τ²),
0 where Q(0) is below. The interval is that of Hartung and Knapp: t(k − 1) with
Σ w_i (y_i − ȳ)² / ((k − 1) Σ w_i). Q = Q(0), I² = max(0, (Q − k + 1)/Q).

Assumptions: the before sides are not selected. After bad starts they are: the figure is then
biased upwards and its interval far too sure. It is shown as naive and nowhere used.

References: Consensus values and weighting factors, Journal of Research of the National Bureau of
Standards 87 (1982) 377-385; A refined method for the meta-analysis of controlled clinical trials
with binary outcome, Statistics in Medicine 20 (2001) 3875-3889. Both from memory.

>>> y, v = log_odds_ratios([(8, 10, 5, 10), (30, 40, 20, 40), (9, 12, 8, 12)])
>>> naive = paule_mandel(y, v)
>>> round(naive.mean, 3), round(naive.i2, 3)
(1.011, 0.0)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq
from scipy.special import stdtrit

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Naive:
    """A pooled mean of independent estimates.

    Attributes:
        mean: weighted mean.
        low, high: 95 % limits.
        tau2: variance between them.
        q: heterogeneity statistic at τ² = 0.
        i2: share of the variation that is not chance, 0..1.
    """

    mean: float
    low: float
    high: float
    tau2: float
    q: float
    i2: float


def log_odds_ratios(tables: Sequence[tuple[int, int, int, int]]) -> tuple[Floats, Floats]:
    """Log odds ratios and their variances.

    Args:
        tables: makes and attempts after, makes and attempts before, one a player.

    Returns:
        (k,) and (k,).
    """
    cells = np.array([(a, n - a, b, m - b) for a, n, b, m in tables], dtype=np.float64)
    cells += 0.5 * (cells == 0).any(axis=1, keepdims=True)
    y = np.log(cells[:, 0] * cells[:, 3] / (cells[:, 1] * cells[:, 2]))
    return y, (1 / cells).sum(axis=1)


def paule_mandel(estimates: ArrayLike, variances: ArrayLike) -> Naive:
    """Pool estimates.

    Args:
        estimates: (k,), k at least 2.
        variances: (k,), above 0.

    Raises:
        ValueError: for fewer than two, or a variance that is not above 0.
    """
    y, v = np.asarray(estimates, dtype=np.float64), np.asarray(variances, dtype=np.float64)
    if len(y) < 2 or y.shape != v.shape or not (v > 0).all():
        raise ValueError("two estimates or more, each with a variance above 0")
    q, free = _q(y, v, 0.0), len(y) - 1
    tau2 = 0.0
    if q > free:
        highest = max(1.0, float(v.max()))
        while _q(y, v, highest) > free:
            highest *= 2
        tau2 = float(brentq(lambda t: _q(y, v, t) - free, 0.0, highest))
    weight = 1 / (v + tau2)
    mean = float(weight @ y / weight.sum())
    se = float(np.sqrt(_q(y, v, tau2) / (free * weight.sum())))
    half = float(stdtrit(free, 0.975)) * se
    i2 = max(0.0, (q - free) / q) if q > 0 else 0.0
    return Naive(mean, mean - half, mean + half, tau2, q, i2)


def _q(y: Floats, v: Floats, tau2: float) -> float:
    weight = 1 / (v + tau2)
    return float(weight @ (y - weight @ y / weight.sum()) ** 2)
