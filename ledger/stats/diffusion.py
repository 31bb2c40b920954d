"""Spread through a closed population: some take it up by themselves, more as more have done so.

Of those who will ever do it the share F(t) that has done so by time t, F(0) = 0, is

    F(t) = (1 − e^−(p+q)t) / (1 + (q/p)·e^−(p+q)t),

p the rate of taking it up unprompted, q that of taking it up from others; new adopters peak at
ln(q/p)/(p+q), if q > p. With a ceiling c (the share of the population that will ever do it) the
chance of adopting in season s is c(F(s) − F(s−1)), and of not having adopted by season e
1 − cF(e). `maximum_likelihood` maximises Π over adopters and those not seen to adopt; limits of
the ceiling by profile likelihood (χ², one degree of freedom).

Assumptions: one population, closed to entry; everybody meets everybody; nothing from outside
changes p and q; an adopter's season is known. Before the peak is passed the ceiling cannot be
known: at 6 to 8 seasons the fitted ceiling was .3 to 1.7 times the truth (5 to 95 %), at 14
.9 to 1.1. So `fit` gives nothing for fewer than 8 seasons, or unless new adopters have fallen for
two seasons after their peak. The estimators by least squares are for comparison with published
values: their errors are not independent, and no limits are given.

Reference: A new product growth for model consumer durables, Management Science 15 (1969) 215-227
(from memory).

>>> round(share_by(5, 0.03, 0.38), 6), round(peak(0.03, 0.38), 4)
(0.331199, 6.1926)
>>> round(by_regression([0.517, 1.169, 1.604, 2.044, 2.286]).q, 4)
0.7377
>>> fit([1, 2, 4, 3], [4] * 10).why
'fewer than 8 seasons: the ceiling cannot be known'
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import overload

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

Floats = NDArray[np.float64]

MIN_SEASONS = 8
FALLEN = 2
WHY_FEW = "fewer than 8 seasons: the ceiling cannot be known"
WHY_NOBODY = "nobody took it up after the first season: nothing spreads"
WHY_PEAK = "the peak is not passed: the ceiling cannot be known"
WHY_NO_FIT = "the spread has no such shape: no curve can be fitted"

# Of ln p and ln q: far outside anything that a spread over seasons has.
_LOG_P = np.linspace(-16.0, 1.5, 36)
_LOG_Q = np.linspace(-9.0, 2.5, 24)
_CEILINGS = np.geomspace(0.001, 1.0, 40)
_NOTHING = 1e-300


@dataclass(frozen=True, slots=True)
class Spread:
    """A curve of spread: p, q, and the ceiling, a share of the population or a number."""

    p: float
    q: float
    ceiling: float


@dataclass(frozen=True, slots=True)
class Fitted:
    """What `fit` found; figures are None where ``why`` says why.

    Attributes:
        p, q: rates of taking it up unprompted and from others.
        ceiling, low, high: share of the population that will ever do it, with 95 % limits.
        why: why there is no curve, or empty.
    """

    p: float | None
    q: float | None
    ceiling: float | None
    low: float | None
    high: float | None
    why: str


@overload
def share_by(t: float, p: float, q: float) -> float: ...
@overload
def share_by(t: Floats, p: float, q: float) -> Floats: ...
def share_by(t: float | Floats, p: float, q: float) -> float | Floats:
    """F(t), the share of those who will ever adopt that has adopted by time t."""
    fading = np.exp(-(p + q) * np.asarray(t, dtype=np.float64))
    # Both sides times p: it holds for p = 0 too, where nothing ever starts.
    found = p * (1.0 - fading) / (p + q * fading)
    return float(found) if found.ndim == 0 else found


def peak(p: float, q: float) -> float:
    """When most adopt, 0 where the number falls from the start."""
    return max(float(np.log(q / p)) / (p + q), 0.0)


def by_regression(adopters: ArrayLike) -> Spread:
    """The first estimator: new adopters on a square of those before, by ordinary least squares.

    n(t) = a + b·N(t−1) + c·N(t−1)²; the ceiling is the larger root of a + bN + cN² = 0.

    Args:
        adopters: new ones per season, 3 or more.

    Raises:
        ValueError: where the square has no such root.
    """
    new = np.asarray(adopters, dtype=np.float64)
    before = np.cumsum(new) - new
    design = np.stack([np.ones(len(new)), before, before**2], axis=1)
    a, b, c = (float(x) for x in np.linalg.lstsq(design, new, rcond=None)[0])
    inside = b * b - 4.0 * a * c
    if len(new) < 3 or c >= 0.0 or inside < 0.0:
        raise ValueError(WHY_NO_FIT)
    ceiling = (-b - inside**0.5) / (2.0 * c)
    return Spread(a / ceiling, -c * ceiling, ceiling)


def by_least_squares(adopters: ArrayLike) -> Spread:
    """Least squares on new adopters per season, M·(F(t) − F(t−1)); the ceiling is a number."""
    new = np.asarray(adopters, dtype=np.float64)
    total = float(new.sum())

    def off(x: Floats) -> Floats:
        p, q, m = np.exp(x)
        gap: Floats = m * np.diff(share_by(np.arange(len(new) + 1.0), p, q)) * total - new
        return gap

    p, q, m = np.exp(_least(off, np.log([0.02, 0.4, 1.1])))
    return Spread(float(p), float(q), float(m) * total)


def by_cumulated_share(shares: ArrayLike) -> Spread:
    """Least squares on the share of the population that has adopted by each season; ceiling 1."""
    seen = np.asarray(shares, dtype=np.float64)

    def off(x: Floats) -> Floats:
        gap: Floats = share_by(np.arange(1.0, len(seen) + 1.0), *np.exp(x)) - seen
        return gap

    p, q = np.exp(_least(off, np.log([0.02, 0.4])))
    return Spread(float(p), float(q), 1.0)


def maximum_likelihood(
    adopters: ArrayLike, censored: ArrayLike, *, ceiling: float | None = None
) -> Spread:
    """Maximum likelihood over the players of a closed population.

    Args:
        adopters: new ones in seasons 1, 2, ..
        censored: of each other player the last season he was seen not to have adopted by.
        ceiling: a known one; fitted unless given.

    Raises:
        ValueError: where there is no adopter, or a season is none of these.
    """
    new, last = _counted(adopters, censored)
    if not new.sum():
        raise ValueError("nobody has adopted")
    ceilings = _CEILINGS if ceiling is None else np.array([ceiling])
    return _spread(_lowest(new, last, ceilings))


def _spread(x: Floats) -> Spread:
    p, q = np.exp(x[:2])
    return Spread(float(p), float(q), float(x[2]))


def fit(adopters: ArrayLike, censored: ArrayLike) -> Fitted:
    """The curve with the limits of its ceiling, or why there is none.

    Args:
        adopters: new ones in each season of a closed population, from the first.
        censored: of each other player the last season (1, 2, ..) he was seen not to have adopted
            by.
    """
    new, last = _counted(adopters, censored)
    why = refusal(new)
    if why:
        return Fitted(None, None, None, None, None, why)
    x = _lowest(new, last, _CEILINGS)
    best, (low, high) = _spread(x), _limits(new, last, x)
    return Fitted(best.p, best.q, best.ceiling, low, high, "")


def refusal(adopters: ArrayLike) -> str:
    """Why so many new adopters per season tell no ceiling, empty where they do."""
    new = np.asarray(adopters, dtype=np.float64)
    if len(new) < MIN_SEASONS:
        return WHY_FEW
    if not new[1:].sum():
        return WHY_NOBODY
    top = len(new) - 1 - int(np.argmax(new[::-1]))
    after = new[top : top + FALLEN + 1]
    # None twice running is as far down as new adopters get.
    falls = (np.diff(after) < 0) | (after[1:] == 0)
    return "" if len(after) > FALLEN and falls.all() else WHY_PEAK


def _counted(adopters: ArrayLike, censored: ArrayLike) -> tuple[Floats, Floats]:
    """New adopters by season, and how many others were last seen in season 0, 1, .."""
    new, last = np.asarray(adopters, dtype=np.float64), np.asarray(censored, dtype=np.int64)
    if (new < 0).any():
        raise ValueError("adopters are counts per season")
    if len(last) and (last.min() < 0 or last.max() > len(new)):
        raise ValueError(f"a player is last seen in season 0 to {len(new)}")
    return new, np.bincount(last, minlength=len(new) + 1).astype(np.float64)


def _loss(new: Floats, last: Floats, x: Floats) -> Floats:
    """Minus the log likelihood at ln p, ln q and the ceiling; (..., 3) gives (...).

    `last` counts those last seen at season 0, 1, ..
    """
    p, q, ceiling = np.exp(x[..., :1]), np.exp(x[..., 1:2]), x[..., 2:]
    fading = np.exp(-(p + q) * np.arange(len(new) + 1.0))
    reached = ceiling * p * (1.0 - fading) / (p + q * fading)
    gained = np.log(np.maximum(np.diff(reached, axis=-1), _NOTHING))
    stayed = np.log(np.maximum(1.0 - reached, _NOTHING))
    found: Floats = -(gained @ new + stayed @ last)
    return found


def _lowest(new: Floats, last: Floats, ceilings: Floats) -> Floats:
    """The most likely curve as ln p, ln q and ceiling, which is one of those given or between.

    Looked for on a grid first: from a far start a descent may end on a flat part.
    """
    mesh = np.meshgrid(_LOG_P, _LOG_Q, ceilings, indexing="ij")
    grid = np.stack([axis.ravel() for axis in mesh], axis=-1)
    start: Floats = grid[int(np.argmin(_loss(new, last, grid)))]
    low = np.array([_LOG_P[0], _LOG_Q[0], ceilings[0]])
    high = np.array([_LOG_P[-1], _LOG_Q[-1], ceilings[-1]])
    free = 2 if len(ceilings) == 1 else 3
    from scipy import optimize

    def loss(y: Floats) -> float:
        x = np.append(y, start[free:])
        inside = np.clip(x, low, high)
        return float(_loss(new, last, inside)) + float(np.abs(x - inside).sum())

    options = {"xatol": 1e-9, "fatol": 1e-12, "maxiter": 1500, "maxfev": 3000}
    found = optimize.minimize(loss, start[:free], method="Nelder-Mead", options=options).x
    best: Floats = np.clip(np.append(found, start[free:]), low, high)
    return best


def _limits(new: Floats, last: Floats, best: Floats) -> tuple[float, float]:
    """Ceilings whose best curve is as likely as half a χ² quantile below the best of all."""
    from scipy import optimize

    worst = float(_loss(new, last, best)) + float(special.chdtri(1, 0.05)) / 2.0

    def over(ceiling: float) -> float:
        one = np.array([ceiling])
        return float(_loss(new, last, _lowest(new, last, one)) - worst)

    people, middle = float(new.sum() + last.sum()), float(best[2])
    # A hundredth of the share seen to have adopted is far below every likely ceiling.
    least, most = float(new.sum()) / people * 0.01, 1.0
    low = optimize.brentq(over, least, middle, xtol=1e-4) if over(least) > 0 else least
    high = optimize.brentq(over, middle, most, xtol=1e-4) if over(most) > 0 else most
    return float(low), float(high)


def _least(off: Callable[[Floats], Floats], start: Floats) -> Floats:
    from scipy import optimize

    found: Floats = np.asarray(
        optimize.least_squares(off, start, xtol=1e-14, ftol=1e-14, gtol=1e-14).x, dtype=np.float64
    )
    return found
