"""How far people who watched the same attempts say the same.

Raw agreement of two taggers: the share of attempts both called alike. Cohen's kappa takes out the
agreement that their own shares would give by chance, (p_o − p_e)/(1 − p_e). Krippendorff's alpha
(nominal) takes any number of taggers and gaps: 1 − D_o/D_e, from the coincidences of values within
units of two values or more. Intervals by resampling games (the attempts of one game are watched
together), percentiles of 2 000 draws with a seed; games that count alike are drawn together, which
changes no distribution and keeps thousands of games cheap.

Assumptions: taggers watched apart; the attempts were drawn, not the easy ones. Where all tags
agree on one category kappa and alpha are undefined. Agreement is not truth: two people can be
wrong alike. Not for the choice which of two people is right, and of one game there is no interval.

References: A coefficient of agreement for nominal scales, Educational and Psychological Measurement
20 (1960) 37-46, doi 10.1177/001316446002000104; Answering the call for a standard reliability
measure for coding data, Communication Methods and Measures 1 (2007) 77-89, doi
10.1080/19312450709336664.

>>> square = [[44, 5, 1], [7, 20, 3], [9, 5, 6]]
>>> round(kappa(np.array(square)), 4)
0.4915
>>> alpha([[0, 0], [0, 0], [1, 1], [0, 1]], games=[1, 1, 2, 2], seed=1).alpha
0.5333333333333333
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAST_UNITS = 20
LEAST_GAMES = 2
RESAMPLES = 2_000
MISSING = -1


@dataclass(frozen=True, slots=True)
class Agreement:
    """Two taggers on the attempts both called.

    Attributes:
        units: attempts both called.
        alike: of them called alike.
        kappa: Cohen's kappa, nan where it is undefined or there are too few attempts.
        low, high: its 95 % limits, nan without kappa, where all attempts are of one game, and where
            all are alike: draws of nothing but agreement cannot say how much else there may be.
        one_category: whether all calls of both are the same, which leaves kappa undefined.
        seed: of the resampling.
    """

    units: int
    alike: int
    kappa: float
    low: float
    high: float
    one_category: bool
    seed: int


def square(first: ArrayLike, second: ArrayLike) -> Ints:
    """Counts of (first, second), categories 0.. up to the highest of both."""
    a, b = np.asarray(first, dtype=np.int64), np.asarray(second, dtype=np.int64)
    size = int(max(a.max(initial=-1), b.max(initial=-1))) + 1
    counts: Ints = np.bincount(a * size + b, minlength=size * size).reshape(size, size)
    return counts


def kappa(table: ArrayLike) -> float:
    """Cohen's kappa of a square table of counts; nan where chance agreement is complete."""
    return float(_kappas(np.asarray(table, dtype=np.float64)[None])[0])


def _kappas(tables: Floats) -> Floats:
    total = tables.sum(axis=(1, 2))
    with np.errstate(invalid="ignore", divide="ignore"):
        observed = np.trace(tables, axis1=1, axis2=2) / total
        chance = (tables.sum(axis=2) * tables.sum(axis=1)).sum(axis=1) / total**2
        result: Floats = np.where(chance < 1 - 1e-12, (observed - chance) / (1 - chance), np.nan)
    return result


def agreement(
    first: ArrayLike, second: ArrayLike, games: ArrayLike, *, seed: int, resamples: int = RESAMPLES
) -> Agreement:
    """How far two taggers agree.

    Args:
        first: the first tagger's category of each attempt both called, (n,), numbers from 0.
        second: the second's.
        games: which game each attempt is of, (n,).
        seed: of the resampling.
        resamples: how many draws of games.

    Returns:
        Counts, and kappa with its interval where there are 20 attempts and two categories.
    """
    a, b = np.asarray(first, dtype=np.int64), np.asarray(second, dtype=np.int64)
    alike, nan = int((a == b).sum()), float("nan")
    table = square(a, b)
    whole = kappa(table) if len(a) else nan
    one = bool(len(a)) and bool(np.isnan(whole))
    if len(a) < LEAST_UNITS or one:
        return Agreement(len(a), alike, nan, nan, nan, one, seed)
    if alike == len(a):
        return Agreement(len(a), alike, whole, nan, nan, False, seed)
    cells = np.zeros((len(a), table.size))
    cells[np.arange(len(a)), a * len(table) + b] = 1.0

    def kappas(sums: Floats) -> Floats:
        return _kappas(sums.reshape(-1, *table.shape))

    low, high = _limits(_resampled(cells, games, kappas, seed, resamples))
    return Agreement(len(a), alike, whole, low, high, False, seed)


@dataclass(frozen=True, slots=True)
class Alpha:
    """Krippendorff's alpha of one field.

    Attributes:
        alpha: nominal alpha, nan where all values are one category or there are no units.
        low, high: 95 % limits, nan without alpha, below 20 units, where all are of one game and
            where all are alike.
        units: attempts with two values or more.
        alike: of them those with one value only.
        taggers: people with a value on one of them.
        one_category: whether all values are the same, which leaves alpha undefined.
    """

    alpha: float
    low: float
    high: float
    units: int
    alike: int
    taggers: int
    one_category: bool


def alpha(values: ArrayLike, games: ArrayLike, *, seed: int, resamples: int = RESAMPLES) -> Alpha:
    """Krippendorff's nominal alpha.

    Args:
        values: categories by attempt and tagger, (attempts, taggers), `MISSING` where not called.
        games: which game each attempt is of, (attempts,).
        seed: of the resampling.
        resamples: how many draws of games.
    """
    v = np.asarray(values, dtype=np.int64)
    nan = float("nan")
    usable = (v != MISSING).sum(axis=1) >= 2
    v, where = v[usable], np.asarray(games)[usable]
    units, taggers = len(v), int((v != MISSING).any(axis=0).sum())
    if not units:
        return Alpha(nan, nan, nan, 0, 0, 0, False)
    counts = np.stack(
        [(v == category).sum(axis=1) for category in range(int(v.max()) + 1)], axis=1
    ).astype(np.float64)
    alike = int(((counts > 0).sum(axis=1) == 1).sum())
    many = counts.sum(axis=1, keepdims=True)
    pairs = ((counts * (counts - 1)).sum(axis=1, keepdims=True)) / (many - 1)
    rows = np.hstack([counts, many - pairs])
    whole = float(_alphas(rows.sum(axis=0)[None])[0])
    one = bool(np.isnan(whole))
    if units < LEAST_UNITS or one or alike == units:
        return Alpha(whole, nan, nan, units, alike, taggers, one)
    low, high = _limits(_resampled(rows, where, _alphas, seed, resamples))
    return Alpha(whole, low, high, units, alike, taggers, one)


def _alphas(rows: Floats) -> Floats:
    """From value counts and, last, the disagreeing coincidences of each row."""
    counts, apart = rows[:, :-1], rows[:, -1]
    total = counts.sum(axis=1)
    with np.errstate(invalid="ignore", divide="ignore"):
        observed = apart / total
        by_chance = (total**2 - (counts**2).sum(axis=1)) / (total * (total - 1))
        result: Floats = np.where(by_chance > 0, 1 - observed / by_chance, np.nan)
    return result


def _resampled(
    rows: Floats,
    games: ArrayLike,
    figure: Callable[[Floats], Floats],
    seed: int,
    resamples: int,
) -> Floats:
    """A figure of summed rows over draws of games with replacement; none where there is one."""
    _, game = np.unique(np.asarray(games), return_inverse=True)
    number = int(game.max()) + 1
    if number < LEAST_GAMES:
        return np.zeros(0)
    sums = np.zeros((number, rows.shape[1]))
    np.add.at(sums, game, rows)
    kinds, how_many = np.unique(sums, axis=0, return_counts=True)
    rng = np.random.default_rng(seed)
    drawn = rng.multinomial(number, how_many / number, size=resamples)
    return figure(drawn.astype(np.float64) @ kinds)


def _limits(values: Floats) -> tuple[float, float]:
    """Percentiles; a resample of one category only has no value and is left out."""
    kept = values[np.isfinite(values)]
    if not len(kept):
        return float("nan"), float("nan")
    low, high = np.quantile(kept, [0.025, 0.975])
    return float(low), float(high)
