"""Two-by-two tables over strata: one odds ratio, one test, one difference of rates.

Each stratum (a player, a season) is a table: a yes and b no in the first group, c yes and d no in
the second, T = a+b+c+d. Pooled odds ratio OR = R/S with R = Σ ad/T, S = Σ bc/T. Variance of its
logarithm: Σ PR/2R² + Σ (PS+QR)/2RS + Σ QS/2S², P = (a+d)/T, Q = (b+c)/T, per stratum R = ad/T,
S = bc/T (good for few large and for many small strata). Test: (Σ a − Σ E)²/Σ V on one degree of
freedom, without continuity correction, E and V hypergeometric. Difference of rates: Σ w·(p₁−p₀)/Σ w
with w = n₁n₀/T, and a variance that holds for small strata too.

Assumptions: independent attempts within a stratum; one effect common to all strata (where effects
differ it is a weighted mean). Strata with one group only, or one result only, carry nothing. Not
for a before-and-after of players who were noticed for a bad start: the pooled odds ratio of
switchers is biased then, and shown as naive only.

References: Statistical aspects of the analysis of data from retrospective studies of disease.
Journal of the National Cancer Institute 22 (1959) 719-748 (from memory). Estimators of the
Mantel-Haenszel variance consistent in both sparse data and large-strata limiting models.
Biometrics 42 (1986) 311-323 (from memory). On the variance estimator for the Mantel-Haenszel risk
difference. Biometrics 45 (1989) 1323-1324 (from memory).

>>> pooled = odds_ratio([647, 41], [622, 28], [2, 19], [27, 32])
>>> round(pooled.odds_ratio, 4), pooled.strata
(4.5239, 2)
>>> round(association([647, 41], [622, 28], [2, 19], [27, 32]).chi2, 3)
24.92
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import special

from ledger.stats.counts import BoolArray, FloatArray, Vector, as_counts, as_floats, same_length

_NAN = float("nan")


@dataclass(frozen=True, slots=True)
class PooledOdds:
    """Pooled odds ratio, standard error of its logarithm, interval, strata that carry something.

    The ratio is inf where the second group never or the first always has a yes, and nan where no
    stratum carries anything; error and interval are nan in both cases and where it is 0.
    """

    odds_ratio: float
    log_odds_ratio: float
    error: float
    low: float
    high: float
    strata: int


@dataclass(frozen=True, slots=True)
class Association:
    """Test over strata: chi-squared on one degree of freedom; nan where nothing can vary."""

    chi2: float
    p: float
    strata: int


@dataclass(frozen=True, slots=True)
class RateDifference:
    """Pooled rate of the first group minus the second, its standard error and interval."""

    difference: float
    error: float
    low: float
    high: float
    strata: int

    @property
    def p(self) -> float:
        """How often luck alone differs as much either way; nan where the error is 0 or unknown."""
        if not self.error > 0:
            return _NAN
        return float(special.erfc(abs(self.difference) / self.error / np.sqrt(2.0)))


def odds_ratio(a: Vector, b: Vector, c: Vector, d: Vector, *, level: float = 0.95) -> PooledOdds:
    """Odds of yes in the first group over the second, pooled over strata.

    Args:
        a: yes of the first group in each stratum, 1-D.
        b: no of the first group.
        c: yes of the second group.
        d: no of the second group.
        level: probability the interval holds.

    Raises:
        ValueError: a negative or missing count, or lengths that differ.
    """
    a, b, c, d, total = _tables(a, b, c, d)
    r_each, s_each = a * d / total, b * c / total
    r, s = float(r_each.sum()), float(s_each.sum())
    strata = int(((r_each > 0) | (s_each > 0)).sum())
    if r == 0.0 or s == 0.0:
        ratio = _NAN if r == s else (0.0 if r == 0.0 else float("inf"))
        log_ratio = _NAN if r == s else (-float("inf") if r == 0.0 else float("inf"))
        return PooledOdds(ratio, log_ratio, _NAN, _NAN, _NAN, strata)
    p, q = (a + d) / total, (b + c) / total
    variance = (
        float(p @ r_each) / (2.0 * r * r)
        + float(p @ s_each + q @ r_each) / (2.0 * r * s)
        + float(q @ s_each) / (2.0 * s * s)
    )
    log_ratio, error = float(np.log(r / s)), float(np.sqrt(variance))
    reach = _normal_quantile(level) * error
    low, high = float(np.exp(log_ratio - reach)), float(np.exp(log_ratio + reach))
    return PooledOdds(r / s, log_ratio, error, low, high, strata)


def association(a: Vector, b: Vector, c: Vector, d: Vector) -> Association:
    """Test that yes is as frequent in both groups within every stratum.

    Args:
        a: yes of the first group in each stratum, 1-D.
        b: no of the first group.
        c: yes of the second group.
        d: no of the second group.

    Raises:
        ValueError: a negative or missing count, or lengths that differ.
    """
    a, b, c, d, total = _tables(a, b, c, d)
    first, yes = a + b, a + c
    second, no = total - first, total - yes
    varies = (first > 0) & (second > 0) & (yes > 0) & (no > 0)
    if not varies.any():
        return Association(_NAN, _NAN, 0)
    a, first, second = a[varies], first[varies], second[varies]
    yes, no, total = yes[varies], no[varies], total[varies]
    excess = float((a - first * yes / total).sum())
    variance = float((first * second * yes * no / (total * total * (total - 1.0))).sum())
    chi2 = excess * excess / variance
    return Association(chi2, float(special.chdtrc(1.0, chi2)), int(varies.sum()))


def rate_difference(
    made_a: Vector, attempts_a: Vector, made_b: Vector, attempts_b: Vector, *, level: float = 0.95
) -> RateDifference:
    """Rate of group a minus rate of group b, pooled over strata that hold both.

    Args:
        made_a: makes (or yes) of group a in each stratum, 1-D.
        attempts_a: its attempts.
        made_b: makes of group b.
        attempts_b: its attempts.
        level: probability the interval holds.

    Returns:
        The difference, -1 to 1; all nan where no stratum holds both groups.

    Raises:
        ValueError: counts that cannot be, or lengths that differ.

    >>> d = rate_difference([8, 22], [106, 98], [5, 16], [120, 85])
    >>> round(d.difference, 7), round(d.error, 7)
    (0.0349003, 0.0319027)
    """
    a, n_a = (np.atleast_1d(column) for column in as_counts(made_a, attempts_a))
    c, n_b = (np.atleast_1d(column) for column in as_counts(made_b, attempts_b))
    same_length(a=a, b=c)
    both: BoolArray = (n_a > 0) & (n_b > 0)
    if not both.any():
        return RateDifference(_NAN, _NAN, _NAN, _NAN, 0)
    a, n_a, c, n_b = a[both], n_a[both], c[both], n_b[both]
    total = n_a + n_b
    weight = float((n_a * n_b / total).sum())
    difference = float(((a * n_b - c * n_a) / total).sum()) / weight
    p = (n_a**2 * c - n_b**2 * a + n_a * n_b * (n_b - n_a) / 2.0) / total**2
    q = (a * (n_b - c) + c * (n_a - a)) / (2.0 * total)
    variance = (difference * float(p.sum()) + float(q.sum())) / weight**2
    error = float(np.sqrt(max(variance, 0.0)))
    reach = _normal_quantile(level) * error
    low, high = max(-1.0, difference - reach), min(1.0, difference + reach)
    return RateDifference(difference, error, low, high, int(both.sum()))


def _tables(
    a: Vector, b: Vector, c: Vector, d: Vector
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray]:
    columns = [
        np.atleast_1d(as_floats(values, name))
        for values, name in zip((a, b, c, d), "abcd", strict=True)
    ]
    same_length(a=columns[0], b=columns[1], c=columns[2], d=columns[3])
    stacked = np.stack(columns)
    if not np.isfinite(stacked).all() or (stacked < 0).any():
        raise ValueError("a count is missing or below 0")
    stacked = stacked[:, stacked.sum(axis=0) > 0]
    return stacked[0], stacked[1], stacked[2], stacked[3], stacked.sum(axis=0)


def _normal_quantile(level: float) -> float:
    if not 0.0 < level < 1.0:
        raise ValueError(f"level {level} is not between 0 and 1")
    return float(special.ndtri((1.0 + level) / 2.0))
