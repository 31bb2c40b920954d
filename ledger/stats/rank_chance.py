"""Chance of being among the top N, expected rank, and shared ranks.

Rows have true rates p ~ Beta(a, b), independent given their posteriors.
Chance of top N of row i = P(fewer than N other rows have a larger rate). Up to ``MOST_EXACT`` rows
it is an integral: ∫ P(fewer than N others above x) dF_i(x), the inner chance by the recursion for
a sum of unequal yes/no trials, the integral by the trapezoid rule in F_i on a grid that follows
the rows' quantiles. Above that it is counted in joint draws, error √(p(1−p)/draws), only for rows
whose 99.99 % upper limit reaches the N-th largest lower limit; the others have chance 0.
Expected rank = 1 + Σ_{j≠i} P(p_j > p_i), on a grid of 200 points (up to 1 000 where the rows are
few and it costs nothing).

Assumptions: one posterior per row and independent rows, so not for rows that share attempts (a
player's seasons pooled beside the player), and not for raw rates: ranks of raw rates put short
records first and last. A table with these chances names nobody the best.

Reference: League tables and their limitations: statistical issues in comparisons of
institutional performance. Journal of the Royal Statistical Society A 159 (1996) 385-443 (from
memory).

>>> top = chance_of_top([118, 170, 75], [22, 50, 25], 1, seed=1)
>>> [round(float(c), 3) for c in top.chance], top.method
([0.925, 0.043, 0.033], 'quadrature')
>>> [round(float(r), 2) for r in expected_rank([118, 170, 75], [22, 50, 25])]
[1.09, 2.29, 2.63]
>>> shared_ranks([0.8, 0.7, 0.7, 0.6])
array([1, 2, 2, 4])
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy import special

from ledger.stats.counts import FloatArray, IntArray, Vector, as_floats, same_length

MOST_EXACT = 50
"""Rows up to which the chance is an integral."""

DRAWS = 10_000
_SURE = 0.9999
_RANK_POINTS = 200
_MOST_RANK_POINTS = 1_000
_CHANCE_POINTS = 1_200
_MOST_CHANCE_POINTS = 4_000
_CHANCE_CELLS = 48_000
_CELLS_AT_ONCE = 2_000_000


@dataclass(frozen=True, slots=True, eq=False)
class TopChance:
    """Chance of each row to be among the top N.

    ``error`` is the standard error from drawing, 0 for an integral; ``draws`` is 0 and ``seed``
    None where nothing was drawn.
    """

    chance: FloatArray
    error: FloatArray
    method: Literal["quadrature", "draws"]
    draws: int
    seed: int | None


def chance_of_top(a: Vector, b: Vector, n: int, *, seed: int, draws: int = DRAWS) -> TopChance:
    """Chance of each row to be among the n largest true rates. The chances sum to n.

    Args:
        a: first Beta parameter of each row, 1-D.
        b: second Beta parameter.
        n: how many places, at least 1 and fewer than the rows.
        seed: of the draws; the same rows in the same order give the same chances.
        draws: joint draws, used above ``MOST_EXACT`` rows.

    Raises:
        ValueError: n below 1 or not below the number of rows, lengths that differ, or a
            parameter that is not above 0.
    """
    first, second = _parameters(a, b)
    rows = first.size
    if not 1 <= n < rows:
        raise ValueError(f"top {n} of {rows} rows: N must be 1 to {max(rows - 1, 1)}")
    if rows <= MOST_EXACT:
        chance = _integrated(first, second, n)
        return TopChance(chance, np.zeros(rows), "quadrature", 0, None)
    chance = _drawn(first, second, n, seed, draws)
    error = np.sqrt(chance * (1.0 - chance) / draws)
    return TopChance(chance, error, "draws", draws, seed)


def expected_rank(a: Vector, b: Vector) -> FloatArray:
    """Expected rank of each row, 1 for the largest true rate.

    Args:
        a: first Beta parameter of each row, 1-D.
        b: second Beta parameter.

    Returns:
        1 to rows; the ranks sum to rows (rows + 1) / 2.

    Raises:
        ValueError: lengths that differ, or a parameter that is not above 0.
    """
    first, second = _parameters(a, b)
    if first.size == 0:
        return np.zeros(0)
    points = int(np.clip(200_000 // first.size, _RANK_POINTS, _MOST_RANK_POINTS))
    below = _below(first, second, _grid(first, second, points))
    above_me = (1.0 - below).sum(axis=0)
    # The trapezoid gives exactly one half for a row against itself.
    return np.asarray(0.5 + _stieltjes(above_me[None, :], below))


def shared_ranks(values: Vector) -> IntArray:
    """Ranks from the largest value down; equal values share one (1, 2, 2, 4).

    Args:
        values: one value a row, 1-D; equal means exactly equal, and missing ones (nan) share the
            last rank.

    Returns:
        Ranks from 1, in the order of the rows.
    """
    column = np.atleast_1d(as_floats(values, "values"))
    order = np.sort(-column)
    return np.searchsorted(order, -column, side="left").astype(np.int64) + 1


def _parameters(a: Vector, b: Vector) -> tuple[FloatArray, FloatArray]:
    first, second = np.atleast_1d(as_floats(a, "a")), np.atleast_1d(as_floats(b, "b"))
    same_length(a=first, b=second)
    if not ((first > 0).all() and (second > 0).all()):
        raise ValueError("a Beta parameter is missing or not above 0")
    return first, second


def _grid(a: FloatArray, b: FloatArray, points: int) -> FloatArray:
    """Points from 0 to 1, dense where the rows' rates lie: pooled from mean ± z·sd of each row."""
    per_row = max(25, points // a.size)
    z = special.ndtri((np.arange(per_row) + 0.5) / per_row)
    mean = a / (a + b)
    sd = np.sqrt(mean * (1.0 - mean) / (a + b + 1.0))
    pooled = np.sort(np.clip(mean[:, None] + sd[:, None] * z[None, :], 0.0, 1.0).ravel())
    chosen = pooled[np.linspace(0, pooled.size - 1, min(points, pooled.size)).astype(np.int64)]
    return np.unique(np.concatenate([[0.0], chosen, [1.0]]))


def _below(a: FloatArray, b: FloatArray, grid: FloatArray) -> FloatArray:
    """P(p ≤ x), rows by grid points."""
    return np.asarray(special.betainc(a[:, None], b[:, None], grid[None, :]))


def _stieltjes(values: FloatArray, below: FloatArray) -> FloatArray:
    """∫ values dF for each row, by the trapezoid rule in F."""
    middle = (values[:, 1:] + values[:, :-1]) / 2.0
    return np.asarray((middle * np.diff(below, axis=1)).sum(axis=1))


def _integrated(a: FloatArray, b: FloatArray, n: int) -> FloatArray:
    rows = a.size
    if n > rows - n:
        # Being among the last rows - n is as being among the top ones with makes and misses turned.
        return 1.0 - _integrated(b, a, rows - n)
    # Few rows leave wide gaps between their rates: they get more points, many rows need fewer each.
    points = int(np.clip(_CHANCE_CELLS // rows, _CHANCE_POINTS, _MOST_CHANCE_POINTS))
    below = _below(a, b, _grid(a, b, points))
    fewer = np.empty_like(below)
    step = max(1, _CELLS_AT_ONCE // (rows * n))
    for start in range(0, below.shape[1], step):
        part = slice(start, start + step)
        fewer[:, part] = _fewer_above(1.0 - below[:, part], n)
    chance = np.clip(_stieltjes(fewer, below), 0.0, 1.0)
    # Exactly n rows are among the top n, whatever the grid has rounded.
    return np.asarray(np.minimum(chance * (n / chance.sum()), 1.0))


def _fewer_above(above: FloatArray, n: int) -> FloatArray:
    """P(fewer than n of the other rows lie above), rows by grid points.

    Counts of the rows before i and of the rows behind i are built once and joined, so that no
    row is taken out of a finished sum again (which would lose digits).
    """
    rows, points = above.shape
    before = np.zeros((rows, n, points))
    before[0, 0] = 1.0
    for i in range(1, rows):
        before[i] = _with_one_more(before[i - 1], above[i - 1])
    fewer = np.empty_like(above)
    behind = np.zeros((n, points))
    behind[0] = 1.0
    for i in range(rows - 1, -1, -1):
        at_most = np.cumsum(behind, axis=0)
        fewer[i] = (before[i] * at_most[::-1]).sum(axis=0)
        behind = _with_one_more(behind, above[i])
    return fewer


def _with_one_more(counts: FloatArray, chance: FloatArray) -> FloatArray:
    grown = counts * (1.0 - chance)
    grown[1:] += counts[:-1] * chance
    return grown


def _drawn(a: FloatArray, b: FloatArray, n: int, seed: int, draws: int) -> FloatArray:
    lowest = np.asarray(special.betaincinv(a, b, 1.0 - _SURE))
    highest = np.asarray(special.betaincinv(a, b, _SURE))
    reachable = np.flatnonzero(highest >= np.partition(lowest, -n)[-n])
    rng = np.random.default_rng(seed)
    hits = np.zeros(a.size)
    at_once = max(1, _CELLS_AT_ONCE // reachable.size)
    for start in range(0, draws, at_once):
        size = (min(at_once, draws - start), reachable.size)
        rates = rng.beta(a[reachable], b[reachable], size=size)
        if n < reachable.size:
            first_n = np.argpartition(rates, -n, axis=1)[:, -n:]
        else:
            first_n = np.broadcast_to(np.arange(reachable.size), size)
        hits[reachable] += np.bincount(first_n.ravel(), minlength=reachable.size)
    return hits / draws
