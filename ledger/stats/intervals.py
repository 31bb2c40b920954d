"""Intervals of one rate and of a difference of two.

Wilson score interval of k of n, with p = k/n and z = 1.959964:
``(p + z²/2n ± z·√(p(1−p)/n + z²/4n²)) / (1 + z²/n)``. It needs independent attempts at one rate.
It holds for any n, also for 0 of n; for attempts pooled over several players it is far too
narrow (coverage 0.33 to 0.73): use ``league_share`` there.

Newcombe's hybrid score interval of a difference takes the two Wilson intervals (l, u):
``d − √((p₁−l₁)² + (u₂−p₂)²)`` to ``d + √((u₁−p₁)² + (p₂−l₂)²)``. It needs two independent groups:
it knows nothing of luck in how the groups were chosen (a bad start, a noticed player).

References: Probable inference, the law of succession, and statistical inference. Journal of the
American Statistical Association 22 (1927) 209-212 (from memory). Interval estimation for the
difference between independent proportions: comparison of eleven methods. Statistics in Medicine
17 (1998) 873-890.

>>> interval = wilson(13, 16)
>>> round(interval.low, 4), round(interval.high, 4)
(0.5699, 0.9341)
>>> interval = newcombe(56, 70, 48, 80)
>>> round(interval.low, 4), round(interval.high, 4)
(0.0524, 0.3339)
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import overload

import numpy as np
from scipy import special

from ledger.stats.counts import FloatArray, Scalar, Values, Vector, as_counts, as_floats

Z = 1.959963984540054
"""The 0.975 quantile of the standard normal distribution."""


@dataclass(frozen=True, slots=True)
class Interval:
    """One interval. Both ends are nan where there is nothing to count."""

    low: float
    high: float


@dataclass(frozen=True, slots=True, eq=False)
class Intervals:
    """Intervals of many rows, two arrays of one length."""

    low: FloatArray
    high: FloatArray


@overload
def wilson(made: Scalar, attempts: Scalar) -> Interval: ...
@overload
def wilson(made: Vector, attempts: Values) -> Intervals: ...
@overload
def wilson(made: Scalar, attempts: Vector) -> Intervals: ...
def wilson(made: Values, attempts: Values) -> Interval | Intervals:
    """95 % Wilson score interval of made of attempts.

    Args:
        made: counts, one number or a 1-D array; fractions are allowed.
        attempts: counts of the same shape; 0 gives nan, nan.

    Returns:
        An Interval for two numbers, Intervals for arrays.

    Raises:
        ValueError: a count below 0, made above attempts, or lengths that differ.
    """
    k, n = as_counts(made, attempts)
    low, high = _wilson(k, n)
    return _packed(low, high)


@overload
def newcombe(
    made_a: Scalar, attempts_a: Scalar, made_b: Scalar, attempts_b: Scalar
) -> Interval: ...
@overload
def newcombe(
    made_a: Vector, attempts_a: Vector, made_b: Vector, attempts_b: Vector
) -> Intervals: ...
def newcombe(
    made_a: Values, attempts_a: Values, made_b: Values, attempts_b: Values
) -> Interval | Intervals:
    """95 % Newcombe hybrid score interval of rate a minus rate b.

    Args:
        made_a: counts of group a, one number or a 1-D array.
        attempts_a: its attempts.
        made_b: counts of group b.
        attempts_b: its attempts.

    Returns:
        An Interval for numbers, Intervals for arrays; nan where a group has no attempts.

    Raises:
        ValueError: counts that cannot be, as in ``wilson``.
    """
    k_a, n_a = as_counts(made_a, attempts_a)
    k_b, n_b = as_counts(made_b, attempts_b)
    low_a, high_a = _wilson(k_a, n_a)
    low_b, high_b = _wilson(k_b, n_b)
    with np.errstate(invalid="ignore"):
        rate_a, rate_b = k_a / n_a, k_b / n_b
    difference = rate_a - rate_b
    low = difference - np.hypot(rate_a - low_a, high_b - rate_b)
    high = difference + np.hypot(high_a - rate_a, rate_b - low_b)
    return _packed(np.clip(low, -1.0, 1.0), np.clip(high, -1.0, 1.0))


@overload
def beta_interval(a: Scalar, b: Scalar, level: float = ...) -> Interval: ...
@overload
def beta_interval(a: Vector, b: Vector, level: float = ...) -> Intervals: ...
def beta_interval(a: Values, b: Values, level: float = 0.95) -> Interval | Intervals:
    """Equal-tailed interval of a Beta(a, b) distribution.

    Args:
        a: first parameter, above 0, one number or a 1-D array.
        b: second parameter.
        level: probability inside.

    Returns:
        An Interval for numbers, Intervals for arrays; nan where a parameter is nan.

    Raises:
        ValueError: level not between 0 and 1.

    >>> interval = beta_interval(6.5, 2.5)
    >>> round(interval.low, 4), round(interval.high, 4)
    (0.4084, 0.944)
    """
    if not 0.0 < level < 1.0:
        raise ValueError(f"level {level} is not between 0 and 1")
    first, second = as_floats(a, "a"), as_floats(b, "b")
    tail = (1.0 - level) / 2.0
    low = np.asarray(special.betaincinv(first, second, tail))
    high = np.asarray(special.betainccinv(first, second, tail))
    return _packed(low, high)


def _wilson(k: FloatArray, n: FloatArray) -> tuple[FloatArray, FloatArray]:
    with np.errstate(invalid="ignore", divide="ignore"):
        rate = k / n
        centre = rate + Z * Z / (2.0 * n)
        half = Z * np.sqrt(rate * (1.0 - rate) / n + Z * Z / (4.0 * n * n))
        scale = 1.0 + Z * Z / n
        low, high = (centre - half) / scale, (centre + half) / scale
    # The ends are exact: rounding must not leave 1e-17 instead of none, or drop the rate itself.
    low = np.where(k == 0, np.where(n == 0, np.nan, 0.0), np.minimum(low, rate))
    high = np.where(k == n, np.where(n == 0, np.nan, 1.0), np.maximum(high, rate))
    return np.clip(low, 0.0, 1.0), np.clip(high, 0.0, 1.0)


def _packed(low: FloatArray, high: FloatArray) -> Interval | Intervals:
    if low.ndim == 0:
        return Interval(float(low), float(high))
    return Intervals(low, high)
