"""Drawing without putting back: the tail, and the test of a two-by-two table built on it.

X of a sample of n holds x of the K marked among N: P(X = x) = C(K, x) C(N−K, n−x) / C(N, n).
The two-sided p of Fisher's exact test sums the chances of all tables with the same margins that
are no likelier than the one seen (equal up to 1e-7, so that rounding does not split ties).

Assumption: both margins are given, every arrangement is as likely. Not for attempts pooled over
players: use ``mantel_haenszel`` with players as strata.

Reference: On the interpretation of χ² from contingency tables, and the calculation of P. Journal
of the Royal Statistical Society 85 (1922) 87-94 (from memory).

>>> round(float(upper_tail(3, 4, 4, 8)), 4)
0.2429
>>> [round(float(p), 4) for p in fisher_two_sided([3], [1], [1], [3])]
[0.4857]
"""

from __future__ import annotations

import numpy as np
from scipy import special

from ledger.stats.counts import FloatArray, IntArray, Vector, as_floats, same_length


def upper_tail(found: int, sample: int, marked: int, total: int) -> float:
    """P(X ≥ found) when a sample is drawn from total rows of which some are marked.

    Args:
        found: marked ones in the sample.
        sample: rows drawn.
        marked: marked rows in all.
        total: rows in all.

    Raises:
        ValueError: a sample or marked count outside 0 to total.
    """
    if not (0 <= sample <= total and 0 <= marked <= total):
        raise ValueError(f"sample {sample} or marked {marked} is not within 0 to {total}")
    least, most = max(0, sample + marked - total), min(sample, marked)
    if found <= least:
        return 1.0
    if found > most:
        return 0.0
    x = np.arange(found, most + 1)
    return float(min(1.0, np.exp(_log_chance(x, sample, marked, total)).sum()))


def fisher_two_sided(a: Vector, b: Vector, c: Vector, d: Vector) -> FloatArray:
    """Two-sided p of Fisher's exact test of each table [[a, b], [c, d]].

    Args:
        a: counts of the first row, first column, 1-D whole numbers.
        b: first row, second column.
        c: second row, first column.
        d: second row, second column.

    Returns:
        One p per table; 1 where a margin is empty.

    Raises:
        ValueError: a negative or broken count, or lengths that differ.
    """
    tables = [_whole(values, name) for values, name in zip((a, b, c, d), "abcd", strict=True)]
    same_length(a=tables[0], b=tables[1], c=tables[2], d=tables[3])
    seen, sample, marked = tables[0], tables[0] + tables[1], tables[0] + tables[2]
    total = sample + tables[2] + tables[3]
    least = np.maximum(0, sample + marked - total)
    sizes = np.minimum(sample, marked) - least + 1
    table = np.repeat(np.arange(seen.size), sizes)
    starts = np.cumsum(sizes) - sizes
    x = np.arange(table.size) - starts[table] + least[table]
    # One logarithm of a factorial per whole number, not one per arrangement.
    logs = np.asarray(special.gammaln(np.arange(int(total.max(initial=0)) + 2) + 1.0))
    chance = np.exp(
        _choose(logs, marked[table], x)
        + _choose(logs, (total - marked)[table], sample[table] - x)
        - _choose(logs, total, sample)[table]
    )
    observed = chance[starts + seen - least] if seen.size else np.zeros(0)
    counted = np.where(chance <= observed[table] * (1.0 + 1e-7), chance, 0.0)
    p = np.bincount(table, counted, minlength=seen.size)
    return np.asarray(np.minimum(1.0, p), dtype=np.float64)


def _whole(values: Vector, name: str) -> IntArray:
    column = np.atleast_1d(as_floats(values, name))
    if not np.isfinite(column).all() or (column < 0).any() or (column % 1 != 0).any():
        raise ValueError(f"a count in {name} is missing, negative or not whole")
    return column.astype(np.int64)


def _choose(logs: FloatArray, n: IntArray, k: IntArray) -> FloatArray:
    return np.asarray(logs[n] - logs[k] - logs[n - k])


def _log_chance(x: IntArray, sample: int, marked: int, total: int) -> FloatArray:
    logs = np.asarray(special.gammaln(np.arange(total + 1) + 1.0))
    of_sample = logs[total] - logs[sample] - logs[total - sample]
    rest = np.full_like(x, total - marked)
    ways = _choose(logs, np.full_like(x, marked), x) + _choose(logs, rest, sample - x)
    return np.asarray(ways - of_sample, dtype=np.float64)
