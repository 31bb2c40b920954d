"""Logistic growth of the focus technique's share over seasons.

Share y in season x with weight n_e: logit E(y) = β₀ + β₁x, fitted by iteratively reweighted least
squares as n_e·y of n_e; starting values from the logits of y held ½/n_e off 0 and 1. Covariance
times φ = max(1, Pearson/(S−2)), intervals with t(S−2). Odds ratio per season e^β₁. The year of a
share q is (logit q − β₀)/β₁ with Fieller limits, given only when the interval of β₁ excludes 0
(the limits are closed then) and the share rises. Forecast for the next season only: the curve
there, with its interval, refused when that is wider than 50 points.

Needs at least 5 seasons with an interval, 2 of them above 5 %. Assumes growth to 100 %: with a
ceiling of 40 % three seasons ahead are covered 0.82; the next season 0.94 at 8 seasons, and at 4
to 6 seasons intervals are 57 to 98 points wide. Not for shares of picked players, nor for a
technique that comes and goes.

References: Quasi-likelihood functions, generalized linear models, and the Gauss-Newton method.
Biometrika 61 (1974) 439-447 (from memory). Some problems in interval estimation. Journal of the
Royal Statistical Society B 16 (1954) 175-185 (from memory).

>>> growth = fit_growth(range(5), [.02, .05, .10, .22, .35], [12, 12, 14, 15, 16])
>>> round(growth.odds_ratio, 3), round(growth.low, 3), round(growth.high, 3)
(2.206, 0.793, 6.133)
>>> growth.forecast.why
'too uncertain to forecast'
>>> round(share_at(growth, 5).share, 3)
0.554
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy import special

from ledger.stats.counts import FloatArray, Vector, as_floats, same_length
from ledger.stats.intervals import Z
from ledger.stats.league_share import LeagueShare

MIN_SEASONS = 5
MIN_RISEN = 2
RISEN_SHARE = 0.05
TAKEOFF_SHARE = 0.1
MIDPOINT_SHARE = 0.5
WIDEST_FORECAST = 0.5

WHY_FEW = "fewer than 5 usable seasons: no curve"
WHY_FLAT = "fewer than 5 usable seasons: no curve (fewer than 2 seasons above 5 %)"
WHY_JUMP = "the shares jump from one season to the next: no curve can be fitted"
WHY_NO_SLOPE = "growth is not shown: no year is given"
WHY_FALLS = "the share falls: no year is given"
WHY_UNCERTAIN = "too uncertain to forecast"

_STEPS = 50
_STEEPEST = 25.0


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """The curve at one season, with the 95 % interval of the curve there."""

    x: float
    share: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Forecast:
    """The next season; share and limits are None where ``why`` says so."""

    x: float | None
    share: float | None
    low: float | None
    high: float | None
    why: str


@dataclass(frozen=True, slots=True)
class YearOf:
    """When the curve reaches a share; year and limits are None where ``why`` says so."""

    year: float | None
    low: float | None
    high: float | None
    why: str


@dataclass(frozen=True, slots=True)
class Growth:
    """The curve, or why there is none (then the figures are None and ``seasons`` the usable ones).

    ``odds_ratio`` per season with its interval; ``intercept`` and ``slope`` of the logit at x = 0;
    ``dispersion`` is φ; ``covariance`` that of (intercept at ``centre``, slope), φ included.
    """

    odds_ratio: float | None
    low: float | None
    high: float | None
    takeoff: YearOf
    midpoint: YearOf
    forecast: Forecast
    why: str
    seasons: int
    intercept: float | None
    slope: float | None
    dispersion: float | None
    centre: float
    covariance: tuple[tuple[float, float], tuple[float, float]] | None


def season_weight(season: LeagueShare) -> float | None:
    """Weight of a league-season in the curve, None where it has no interval.

    The effective size; where a picked part was joined, the size whose interval would be as wide,
    s(1−s)(2z/(high−low))², at most the attempts; the Kish size where the share is 0 or 1.

    >>> from ledger.stats.league_share import league_share
    >>> n, t, f = [100, 80, 60, 40, 120, 50], [20] * 6, [0, 20, 0, 1, 0, 0]
    >>> drawn = league_share([*n, 90], [*t, 0], [*f, 0], [True] * 6 + [False])
    >>> season_weight(drawn) == drawn.effective_size
    True
    """
    if season.share is None or season.low is None or season.high is None:
        return None
    if season.own_players == 0:
        return season.effective_size
    if season.share in (0.0, 1.0):
        return season.kish
    width = season.high - season.low
    if width <= 0.0:
        return float(season.attempts)
    size = season.share * (1.0 - season.share) * (2.0 * Z / width) ** 2
    return min(size, float(season.attempts))


def fit_growth(x: Vector | range, share: Vector, weight: Vector) -> Growth:
    """Fit the curve to one league's seasons.

    Args:
        x: start year of each season, 1-D, each once.
        share: share of the focus technique, 0 to 1; nan where there is none.
        weight: effective size (``season_weight``); nan or 0 where there is no interval. Such
            seasons are not used.

    Returns:
        The curve, or why there is none.

    Raises:
        ValueError: a share outside 0 to 1, a negative weight, a season twice, lengths that
            differ.
    """
    years, y, n = _usable(x, share, weight)
    if years.size < MIN_SEASONS:
        return _no_curve(years.size, WHY_FEW)
    if int((y > RISEN_SHARE).sum()) < MIN_RISEN:
        return _no_curve(years.size, WHY_FLAT)
    centre = float(years.mean())
    design = np.stack([np.ones(years.size), years - centre], axis=1)
    fitted = _reweighted(design, y, n)
    if fitted is None:
        return _no_curve(years.size, WHY_JUMP)
    beta, covariance, dispersion = fitted
    t = float(special.stdtrit(years.size - 2.0, 0.975))
    slope, reach = float(beta[1]), t * float(np.sqrt(covariance[1, 1]))
    why_no_year = WHY_NO_SLOPE if abs(slope) <= reach else WHY_FALLS if slope < 0.0 else ""
    ends = [_year_of(q, beta, covariance, t, centre, why_no_year) for q in _SHARES]
    (v00, v01), (_, v11) = covariance.tolist()
    growth = Growth(
        odds_ratio=_odds(slope),
        low=_odds(slope - reach),
        high=_odds(slope + reach),
        takeoff=ends[0],
        midpoint=ends[1],
        forecast=Forecast(None, None, None, None, ""),
        why="",
        seasons=int(years.size),
        intercept=float(beta[0]) - slope * centre,
        slope=slope,
        dispersion=dispersion,
        centre=centre,
        covariance=((v00, v01), (v01, v11)),
    )
    return replace(growth, forecast=_forecast(growth, float(years.max()) + 1.0))


def share_at(growth: Growth, x: float) -> CurvePoint:
    """The curve at a season, with its interval. For drawing within the seasons seen.

    Args:
        growth: a curve that was fitted.
        x: start year.

    Raises:
        ValueError: there is no curve.
    """
    if growth.covariance is None or growth.intercept is None or growth.slope is None:
        raise ValueError(f"there is no curve: {growth.why}")
    (v00, v01), (_, v11) = growth.covariance
    step = x - growth.centre
    middle = growth.intercept + growth.slope * x
    variance = v00 + 2.0 * step * v01 + step * step * v11
    t = float(special.stdtrit(growth.seasons - 2.0, 0.975))
    reach = t * float(np.sqrt(variance))
    low, share, high = (float(special.expit(middle + r)) for r in (-reach, 0.0, reach))
    return CurvePoint(x, share, low, high)


_SHARES = (TAKEOFF_SHARE, MIDPOINT_SHARE)


def _usable(
    x: Vector | range, share: Vector, weight: Vector
) -> tuple[FloatArray, FloatArray, FloatArray]:
    years = np.atleast_1d(as_floats(np.asarray(x, dtype=np.float64), "x"))
    y = np.atleast_1d(as_floats(share, "share"))
    n = np.atleast_1d(as_floats(weight, "weight"))
    same_length(x=years, share=y, weight=n)
    if np.unique(years).size < years.size:
        raise ValueError("a season is there twice")
    if (y < 0.0).any() or (y > 1.0).any() or (n < 0.0).any():
        raise ValueError("a share is outside 0 to 1 or a weight below 0")
    there = np.isfinite(years) & np.isfinite(y) & np.isfinite(n) & (n > 0.0)
    return years[there], y[there], n[there]


def _reweighted(
    design: FloatArray, y: FloatArray, n: FloatArray
) -> tuple[FloatArray, FloatArray, float] | None:
    """Coefficients, covariance with φ, and φ; None where the fit runs away."""
    edge = np.minimum(0.5 / n, 0.5)
    eta = special.logit(np.clip(y, edge, 1.0 - edge))
    beta = np.linalg.lstsq(design * np.sqrt(n)[:, None], eta * np.sqrt(n), rcond=None)[0]
    for _ in range(_STEPS):
        eta = design @ beta
        mu = special.expit(eta)
        w = n * mu * (1.0 - mu)
        information = design.T @ (design * w[:, None])
        if np.abs(beta).max() > _STEEPEST or np.linalg.cond(information) > 1e12:
            return None
        step = np.linalg.solve(information, design.T @ (n * (y - mu)))
        # Half steps keep a far start from overshooting into the flat part.
        beta = beta + step * min(1.0, 5.0 / max(float(np.abs(step).max()), 1e-300))
        if np.abs(step).max() < 1e-10:
            break
    else:
        return None
    pearson = float((n * (y - mu) ** 2 / (mu * (1.0 - mu))).sum())
    dispersion = max(1.0, pearson / (y.size - 2.0))
    return beta, np.linalg.inv(information) * dispersion, dispersion


def _year_of(
    q: float, beta: FloatArray, covariance: FloatArray, t: float, centre: float, why: str
) -> YearOf:
    """Fieller's limits: the x with (β₀ + β₁x − logit q)² ≤ t²·Var(β₀ + β₁x)."""
    if why:
        return YearOf(None, None, None, why)
    away = float(beta[0]) - float(special.logit(q))
    slope = float(beta[1])
    (v00, v01), (_, v11) = covariance.tolist()
    square = slope * slope - t * t * v11
    half = away * slope - t * t * v01
    rest = away * away - t * t * v00
    root = float(np.sqrt(max(half * half - square * rest, 0.0)))
    low, high = (-half - root) / square, (-half + root) / square
    return YearOf(centre - away / slope, centre + low, centre + high, "")


def _forecast(growth: Growth, x: float) -> Forecast:
    point = share_at(growth, x)
    if point.high - point.low > WIDEST_FORECAST:
        return Forecast(x, None, None, None, WHY_UNCERTAIN)
    return Forecast(x, point.share, point.low, point.high, "")


def _no_curve(seasons: int, why: str) -> Growth:
    no_year = YearOf(None, None, None, why)
    nothing = Forecast(None, None, None, None, why)
    return Growth(
        odds_ratio=None,
        low=None,
        high=None,
        takeoff=no_year,
        midpoint=no_year,
        forecast=nothing,
        why=why,
        seasons=seasons,
        intercept=None,
        slope=None,
        dispersion=None,
        centre=0.0,
        covariance=None,
    )


def _odds(log_odds: float) -> float:
    """Odds ratio, held where a float ends: a very wide interval is no error."""
    return float(np.exp(np.clip(log_odds, -700.0, 700.0)))
