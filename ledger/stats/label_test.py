"""Whether two techniques miss differently, within players.

For each player a table: technique by cell (short or long, left or right, ...). Under the hypothesis
his labels of technique could stand on any of his misses: they are permuted within each player, so
that players who shoot differently anyway cannot make a finding. Statistic: Σ (O − E)²/E over
cells, O and E summed over players, E from each player's margins. p = (1 + #≥)/(1 + draws) with a
seed; where there are at most 20 000 arrangements all are counted, p = #≥/all.

Assumptions: within a player, misses are exchangeable. For those who changed, technique and time are
the same thing: a difference may be the season's. Players with one technique only carry nothing.
Not for a handful of misses (the question refuses below ten of either technique), and not a size:
it says how often labels dealt by lot differ as much, never by how much the techniques do.

Reference: permutation tests of stratified tables as in Permutation, Parametric, and Bootstrap Tests
of Hypotheses (Springer, 2005), from memory.

>>> test = permuted([[[3, 0], [0, 3]], [[3, 0], [0, 3]]], seed=1)
>>> test.p, test.exact, test.arrangements
(0.005, True, 400)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import comb, prod

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

DRAWS = 9_999
MOST_EXACT = 20_000


@dataclass(frozen=True, slots=True)
class LabelTest:
    """What permuting the labels came to.

    Attributes:
        p: as defined above.
        statistic: Σ (O − E)²/E of the table seen.
        players: players with both techniques.
        exact: all arrangements were counted.
        arrangements: arrangements counted, or drawn.
        seed: of the draws.
    """

    p: float
    statistic: float
    players: int
    exact: bool
    arrangements: int
    seed: int


def permuted(
    tables: Sequence[ArrayLike], *, seed: int, draws: int = DRAWS, most_exact: int = MOST_EXACT
) -> LabelTest | None:
    """Test two techniques over players.

    Args:
        tables: one a player, (2, cells): misses by technique and cell.
        seed: of the draws.
        draws: how many.
        most_exact: count all arrangements where there are at most so many.

    Returns:
        The test, or None where no player missed with both techniques or there is one cell only.
    """
    kept = [t for t in (np.asarray(t, dtype=np.int64) for t in tables) if t.sum(axis=1).all()]
    if not kept or sum((t.sum(axis=0) for t in kept), start=np.zeros(1)).astype(bool).sum() < 2:
        return None
    # A technique's cells given the margins say all: the other one's are what is left.
    expected = sum(t.sum(axis=1)[:, None] * t.sum(axis=0)[None, :] / t.sum() for t in kept)
    expected = np.asarray(expected, dtype=np.float64)
    observed = np.asarray(sum(kept), dtype=np.float64)
    seen = float(_statistic(observed[0][None], observed.sum(axis=0), expected)[0])
    ways = prod(comb(int(t.sum()), int(t[0].sum())) for t in kept)
    if ways <= most_exact:
        firsts = _every(kept)
    else:
        rng = np.random.default_rng(seed)
        firsts = np.zeros((draws, len(observed[0])))
        for table in kept:
            firsts += _drawn(table, rng, draws)
    as_much = int((_statistic(firsts, observed.sum(axis=0), expected) >= seen - 1e-9).sum())
    exact = ways <= most_exact
    p = as_much / ways if exact else (1 + as_much) / (1 + draws)
    return LabelTest(p, seen, len(kept), exact, ways if exact else draws, seed)


def _drawn(table: Ints, rng: np.random.Generator, draws: int) -> Ints:
    """The first technique's cells of one player when his labels are dealt anew, (draws, cells)."""
    total, of_first = table.sum(axis=0), int(table[0].sum())
    of_second = int(table[1].sum())
    # The technique he missed with less is dealt: the other one's misses are what is left.
    drawn: Ints = rng.multivariate_hypergeometric(
        total, min(of_first, of_second), size=draws, method="count"
    )
    return drawn if of_first <= of_second else total - drawn


def _statistic(first: Floats, total: Floats, expected: Floats) -> Floats:
    both = np.stack([first, total - first], axis=1)
    with np.errstate(invalid="ignore", divide="ignore"):
        parts = np.where(expected > 0, (both - expected) ** 2 / expected, 0.0)
    result: Floats = parts.sum(axis=(1, 2))
    return result


def _every(tables: Sequence[Ints]) -> Floats:
    """The first technique's cells, summed over players, in every arrangement of labels."""
    sums = np.zeros((1, tables[0].shape[1]))
    for table in tables:
        cell = np.repeat(np.arange(table.shape[1]), table.sum(axis=0))
        chosen = np.array(list(combinations(range(len(cell)), int(table[0].sum()))), dtype=np.int64)
        own = (cell[chosen][:, :, None] == np.arange(table.shape[1])).sum(axis=1)
        sums = (sums[:, None, :] + own[None, :, :]).reshape(-1, table.shape[1])
    return sums
