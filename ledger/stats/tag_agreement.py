"""How far people who watched the same attempts say the same.

Raw agreement of two taggers: the share of attempts both called alike. Cohen's kappa takes out the
agreement that their own shares would give by chance, (p_o − p_e)/(1 − p_e). Krippendorff's alpha
(nominal) takes any number of taggers and gaps: 1 − D_o/D_e, from the coincidences of values within
units of two values or more. Intervals by resampling games (the attempts of one game are watched
together), percentiles of 2 000 draws with a seed.

Assumptions: taggers watched apart; the attempts were drawn, not the easy ones. Where all tags
agree on one category kappa and alpha are undefined. Agreement is not truth: two people can be
wrong alike.

References: A coefficient of agreement for nominal scales, Educational and Psychological Measurement
20 (1960) 37-46, doi 10.1177/001316446002000104; Answering the call for a standard reliability
measure for coding data, Communication Methods and Measures 1 (2007) 77-89, doi
10.1080/19312450709336664.

>>> square = [[44, 5, 1], [7, 20, 3], [9, 5, 6]]
>>> round(kappa(np.array(square)), 4)
0.4915
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAST_UNITS = 20
RESAMPLES = 2_000
MISSING = -1


@dataclass(frozen=True, slots=True)
class Agreement:
    """Two taggers on the attempts both called.

    Attributes:
        units: attempts both called.
        alike: of them called alike.
        kappa: Cohen's kappa, nan where it is undefined.
        low, high: its 95 % limits, nan where it is undefined.
        seed: of the resampling.
    """

    units: int
    alike: int
    kappa: float
    low: float
    high: float
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
    if len(a) < LEAST_UNITS or np.isnan(whole):
        return Agreement(len(a), alike, nan, nan, nan, seed)
    _, game = np.unique(np.asarray(games), return_inverse=True)
    cells = np.zeros((int(game.max()) + 1, table.size))
    np.add.at(cells, (game, a * len(table) + b), 1)
    drawn = _draws(len(cells), resamples, seed) @ cells
    values = _kappas(drawn.reshape(resamples, *table.shape))
    low, high = _limits(values)
    return Agreement(len(a), alike, whole, low, high, seed)


@dataclass(frozen=True, slots=True)
class Alpha:
    """Krippendorff's alpha of one field.

    Attributes:
        alpha: nominal alpha, nan where it is undefined.
        low, high: 95 % limits, nan where it is undefined.
        units: attempts with two values or more.
        taggers: people with a value on one of them.
    """

    alpha: float
    low: float
    high: float
    units: int
    taggers: int


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
        return Alpha(nan, nan, nan, 0, 0)
    counts = (v[:, :, None] == np.arange(int(v.max()) + 1)).sum(axis=1).astype(np.float64)
    many = counts.sum(axis=1, keepdims=True)
    pairs = ((counts * (counts - 1)).sum(axis=1, keepdims=True)) / (many - 1)
    rows = np.hstack([counts, many - pairs])
    whole = float(_alphas(rows.sum(axis=0)[None])[0])
    if units < LEAST_UNITS or np.isnan(whole):
        return Alpha(whole, nan, nan, units, taggers)
    _, game = np.unique(where, return_inverse=True)
    by_game = np.zeros((int(game.max()) + 1, rows.shape[1]))
    np.add.at(by_game, game, rows)
    low, high = _limits(_alphas(_draws(len(by_game), resamples, seed) @ by_game))
    return Alpha(whole, low, high, units, taggers)


def _alphas(rows: Floats) -> Floats:
    """From value counts and, last, the disagreeing coincidences of each row."""
    counts, apart = rows[:, :-1], rows[:, -1]
    total = counts.sum(axis=1)
    with np.errstate(invalid="ignore", divide="ignore"):
        observed = apart / total
        by_chance = (total**2 - (counts**2).sum(axis=1)) / (total * (total - 1))
        result: Floats = np.where(by_chance > 0, 1 - observed / by_chance, np.nan)
    return result


def _draws(games: int, resamples: int, seed: int) -> Floats:
    """How often each game is drawn in each resample."""
    rng = np.random.default_rng(seed)
    return rng.multinomial(games, np.full(games, 1 / games), size=resamples).astype(np.float64)


def _limits(values: Floats) -> tuple[float, float]:
    """Percentiles; a resample of one category only has no value and is left out."""
    kept = values[np.isfinite(values)]
    if not len(kept):
        return float("nan"), float("nan")
    low, high = np.quantile(kept, [0.025, 0.975])
    return float(low), float(high)
