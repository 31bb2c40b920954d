"""Where in a player's games the share of one technique changed.

Game g has f_g of t_g tagged attempts with the technique. Within a segment of games the share is
constant, with a Beta(½, ½) prior, so a segment with F of T speaks by its evidence

    m = betaln(½ + F, ½ + T − F) − betaln(½, ½).

E_J is the log of the mean of exp Σ m over all admissible placements of J changes, J = 0..3: changes
lie between games, and every segment holds at least 10 tags. A change is found where the best of
E_1..E_3 is ten times as likely as E_0; their number is the smallest J that no larger one beats ten
to one; their places are those of the largest Σ m. Switches between shares that differ by less than
½ are dropped again, the smallest first.

Assumptions: attempts of one segment are independent, the games are in order. Not for a share that
drifts (see `drift_evidence`) nor for one that jumps from game to game (see
`ledger.stats.mixing`). With less than 10 tags on a side nothing is judged.

Reference: Exact and efficient Bayesian inference for multiple changepoint problems, Statistics and
Computing 16 (2006) 203-213, doi 10.1007/s11222-006-8450-8 (the recursion; DOI from memory).

>>> found = find([0] * 5 + [4] * 5 + [0] * 5, [4] * 15)
>>> [round(e - found.log_evidence[0], 3) for e in found.log_evidence[1:]]
[7.066, 30.907, 23.878]
>>> found.places
(5, 10)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import betaln, logsumexp

Counts = NDArray[np.int64]
Floats = NDArray[np.float64]

MOST_CHANGES = 3
LEAST_TAGS = 10
TEN_TO_ONE = float(np.log(10.0))
LEAST_STEP = 0.5
JEFFREYS = (0.5, 0.5)
# Evidences down to here, times the placements, are ordinary doubles (10^-308 is −709).
_SMALLEST = -640.0
_LARGEST_TABLE = 2_000_000


@dataclass(frozen=True, slots=True)
class Found:
    """The changes of one player's games.

    Attributes:
        log_evidence: E_0..E_3, −inf where no placement is admissible.
        places: how many games lie before each change; empty where none is found.
    """

    log_evidence: tuple[float, ...]
    places: tuple[int, ...]

    @property
    def log_ratio(self) -> float:
        """The best of E_1..E_3 over E_0, in logs; −inf where there is no admissible change."""
        best = max(self.log_evidence[1:])
        return best - self.log_evidence[0] if np.isfinite(best) else -np.inf


@dataclass(frozen=True, slots=True)
class Range:
    """Where a change may lie.

    Attributes:
        place: games before the likeliest place; of places between games that nobody watched, which
            are equally likely, the last.
        first, last: least and most games before it in the shortest set that holds `held`.
        held: posterior chance of that set.
    """

    place: int
    first: int
    last: int
    held: float


def segment_evidence(
    focus: ArrayLike, tags: ArrayLike, prior: tuple[float, float] = JEFFREYS
) -> Floats:
    """Evidence m of segments with `focus` of `tags`; an array of their common shape."""
    f, t = np.asarray(focus, dtype=np.float64), np.asarray(tags, dtype=np.float64)
    a, b = prior
    result: Floats = np.asarray(betaln(a + f, b + t - f) - betaln(a, b))
    return result


def log_evidence(focus: ArrayLike, tags: ArrayLike, orders: ArrayLike | None = None) -> Floats:
    """E_0..E_3 of a player's games, in one order or in many.

    Args:
        focus: tagged attempts with the technique by game, (games,).
        tags: tagged attempts by game, (games,).
        orders: orders of the games, (orders, games); as they stand unless given.

    Returns:
        (orders, 4), −inf where no placement is admissible.
    """
    f, t = np.asarray(focus, dtype=np.int64), np.asarray(tags, dtype=np.int64)
    order = np.arange(len(t))[None] if orders is None else np.asarray(orders, dtype=np.int64)
    found = np.full((len(order), MOST_CHANGES + 1), -np.inf)
    if t.sum() < LEAST_TAGS:
        return found
    found[:, 0] = segment_evidence(f.sum(), t.sum())
    # A change before an untagged game and one after it give the same segments: such games are taken
    # out, and the number of places that a gap between two tagged games holds is kept as its weight.
    seen = np.nonzero(t[order] > 0)[1].reshape(len(order), -1)
    tagged = np.take_along_axis(order, seen, 1)
    places = np.diff(seen, axis=1).astype(np.float64)
    means = _linear if _fits(int(f.sum()), int(t.sum())) else _logarithmic
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = means(f[tagged], t[tagged], places)
    # The mean over no placement at all is no number.
    found[:, 1:] = np.where(np.isnan(mean), -np.inf, mean)
    return found


def _fits(focus: int, tags: int) -> bool:
    """Whether evidences are no smaller than a double holds, and their table is small.

    No segment and no product of segments is much less likely than all games together.
    """
    whole = float(segment_evidence(focus, tags))
    return whole > _SMALLEST and (focus + 1) * (tags + 1) <= _LARGEST_TABLE


def _linear(f: Counts, t: Counts, places: Floats) -> Floats:
    """Log means over all placements of 1..3 changes, by sums of the evidences themselves.

    Args:
        f: tagged attempts with the technique by tagged game, (orders, games).
        t: tagged attempts, the same.
        places: places for a change after each game but the last, (orders, games - 1).
    """
    evidence, enough = _table(int(f[0].sum()), int(t[0].sum()))
    # One number stands for both counts of a segment, so that one difference finds its evidence.
    one = f * (int(t[0].sum()) + 1) + t
    total = np.cumsum(one, axis=1)
    # Below 0 for j before i: cut to 0, which stands for no tags and is worth nothing.
    segment = total[:, None, :] - (total - one)[:, :, None]
    sums = _placements(evidence.take(segment, mode="clip"), places)
    return np.log(sums / _placements(enough.take(segment, mode="clip"), places))


@lru_cache(maxsize=8)
def _table(focus: int, tags: int) -> tuple[Floats, Floats]:
    """Evidence exp m of F of T at F·(tags + 1) + T, and 1 where T is enough; else 0."""
    f, t = np.divmod(np.arange((focus + 1) * (tags + 1)), tags + 1)
    enough = (t >= LEAST_TAGS) & (f <= t)
    evidence = np.zeros(enough.size)
    evidence[enough] = np.exp(segment_evidence(f[enough], t[enough]))
    return evidence, enough.astype(np.float64)


def _placements(segment: Floats, places: Floats) -> Floats:
    """Sums over all placements of 1..3 changes of the product over their segments, (orders, 3).

    Args:
        segment: value of the segment from game i to game j, (orders, i, j); 0 for j before i.
        places: as in `_linear`.
    """
    last = segment[:, 1:, -1]
    middle = segment[:, 1:, :-1]
    sums = segment[:, 0, :-1] * places
    out = []
    for _ in range(MOST_CHANGES):
        out.append((sums * last).sum(axis=1))
        sums = np.matmul(sums[:, None, :], middle)[:, 0, :] * places
    return np.stack(out, axis=1)


def _logarithmic(f: Counts, t: Counts, places: Floats) -> Floats:
    """The same as `_linear` in logs, for so many tags that their evidence is no double."""
    tags = _between(t)
    admissible = np.where(tags >= LEAST_TAGS, 0.0, -np.inf)
    segment = _all_segments(f, t) + admissible
    return _log_placements(segment, places) - _log_placements(admissible, places)


def _log_placements(segment: Floats, places: Floats) -> Floats:
    sums, weight, out = segment[:, 0, :], np.log(places), []
    for _ in range(MOST_CHANGES):
        sums = _step(sums, segment, weight)
        out.append(sums[:, -1])
    return np.stack(out, axis=1)


def _all_segments(f: Counts, t: Counts) -> Floats:
    """Evidence m of every segment from game i to game j, (orders, i, j); −inf for j before i."""
    focus, tags = _between(f), _between(t)
    later = tags >= 0
    result: Floats = np.full(tags.shape, -np.inf)
    result[later] = segment_evidence(focus[later], tags[later])
    return result


def _between(x: Counts) -> Counts:
    """Sums over games i..j, (orders, i, j); −1 for j before i."""
    total = np.cumsum(x, axis=1)
    sums = total[:, None, :] - (total - x)[:, :, None]
    result: Counts = np.where(np.tri(x.shape[1], dtype=bool).T, sums, -1)
    return result


def _step(sums: Floats, segment: Floats, weight: Floats) -> Floats:
    """One more change: log Σ_i exp(sums up to game i + places in the gap + segment i+1..j)."""
    before = sums[:, :-1] + weight
    terms = before[:, :, None] + segment[:, 1:, :]
    top = terms.max(axis=1, keepdims=True)
    safe = np.where(np.isfinite(top), top, 0.0)
    with np.errstate(divide="ignore"):
        result: Floats = np.log(np.exp(terms - safe).sum(axis=1)) + safe[:, 0, :]
    return result


def find(focus: Sequence[int] | Counts, tags: Sequence[int] | Counts) -> Found:
    """The changes in one player's games.

    Args:
        focus: tagged attempts with the technique by game, in order.
        tags: tagged attempts by game.

    Raises:
        ValueError: if the two are not of one length, or a game has more of the technique than tags.
    """
    f, t = np.asarray(focus, dtype=np.int64), np.asarray(tags, dtype=np.int64)
    if f.shape != t.shape or f.ndim != 1 or (f > t).any() or (f < 0).any():
        raise ValueError("focus and tags are counts by game, focus at most tags")
    evidence = tuple(float(e) for e in log_evidence(f, t)[0])
    found = Found(evidence, ())
    if not len(t) or found.log_ratio < TEN_TO_ONE:
        return found
    return Found(evidence, _kept(f, t, _best_places(f, t, _number(evidence))))


def _number(evidence: Sequence[float]) -> int:
    """The smallest number of changes that no larger one beats ten to one."""
    for number in range(1, MOST_CHANGES):
        larger = max(evidence[number + 1 :])
        if np.isfinite(evidence[number]) and larger - evidence[number] < TEN_TO_ONE:
            return number
    return max(n for n in range(1, MOST_CHANGES + 1) if np.isfinite(evidence[n]))


def _best_places(f: Counts, t: Counts, number: int) -> tuple[int, ...]:
    """The admissible placement of `number` changes with the largest Σ m."""
    evidence = _all_segments(f[None], t[None])[0]
    segment = np.where(_between(t[None])[0] >= LEAST_TAGS, evidence, -np.inf)
    sums, trace = segment[0], []
    for _ in range(number):
        terms = sums[:-1, None] + segment[1:, :]
        trace.append(terms.argmax(axis=0))
        sums = terms.max(axis=0)
    places: list[int] = []
    end = len(t) - 1
    for best in reversed(trace):
        end = int(best[end])
        places.insert(0, end + 1)
    return tuple(places)


def _kept(f: Counts, t: Counts, places: Sequence[int]) -> tuple[int, ...]:
    """The places whose shares before and after differ by half or more; the smallest goes first."""
    kept = list(places)
    while kept:
        ends = [0, *kept, len(t)]
        shares = [(f[a:b].sum() + 0.5) / (t[a:b].sum() + 1) for a, b in pairwise(ends)]
        steps = [abs(b - a) for a, b in pairwise(shares)]
        least = int(np.argmin(steps))
        if steps[least] >= LEAST_STEP:
            break
        del kept[least]
    return tuple(kept)


def ranges(
    focus: ArrayLike, tags: ArrayLike, places: Sequence[int], level: float = 0.9
) -> tuple[Range, ...]:
    """Where each of the changes found may lie: the posterior of one change between its neighbours.

    Args:
        focus: tagged attempts with the technique by game, in order.
        tags: tagged attempts by game.
        places: from `find`.
        level: chance that the set must hold.

    Returns:
        One range a place.
    """
    f, t = np.asarray(focus, dtype=np.int64), np.asarray(tags, dtype=np.int64)
    ends = [0, *places, len(t)]
    return tuple(_range(f, t, ends[at], ends[at + 2], level) for at in range(len(places)))


def one_change(
    focus: ArrayLike,
    tags: ArrayLike,
    *,
    prior: tuple[float, float] = JEFFREYS,
    least: int = LEAST_TAGS,
) -> Floats:
    """Log evidence of each place of a single change, over that of no change.

    Args:
        focus: tagged attempts with the technique by game, in order.
        tags: tagged attempts by game.
        prior: of the share of a segment; the product's is Beta(½, ½).
        least: tags that each side must hold.

    Returns:
        (games - 1,), for a change after the first game to one before the last; −inf where a side
        holds too few tags.
    """
    f, t = np.asarray(focus, dtype=np.int64), np.asarray(tags, dtype=np.int64)
    f_before, t_before = np.cumsum(f)[:-1], np.cumsum(t)[:-1]
    f_after, t_after = f.sum() - f_before, t.sum() - t_before
    both = segment_evidence(f_before, t_before, prior) + segment_evidence(f_after, t_after, prior)
    enough = (t_before >= least) & (t_after >= least)
    return np.where(enough, both - segment_evidence(f.sum(), t.sum(), prior), -np.inf)


def _range(f: Counts, t: Counts, start: int, stop: int, level: float) -> Range:
    evidence = one_change(f[start:stop], t[start:stop])
    chance = np.exp(evidence - logsumexp(evidence))
    order = np.argsort(-chance, kind="stable")
    needed = int(np.searchsorted(np.cumsum(chance[order]), level - 1e-12)) + 1
    # Places between games that nobody watched are equally likely: they come in together.
    chosen = _as_likely(chance, order[needed - 1])
    return Range(
        start + 1 + int(_as_likely(chance, order[0])[-1]),
        start + 1 + int(chosen[0]),
        start + 1 + int(chosen[-1]),
        float(chance[chosen].sum()),
    )


def _as_likely(chance: Floats, place: int) -> Counts:
    """The places that are at least as likely as one of them, but for rounding."""
    found: Counts = np.nonzero(chance >= chance[place] * (1 - 1e-9))[0]
    return found


_GRID = np.linspace(0.005, 0.995, 40)


def drift_evidence(focus: ArrayLike, tags: ArrayLike) -> float:
    """The log evidence of a share that drifts straight from u to v over the tags.

    The share of a game is u + (v − u)·(tags before it + half its own)/T; u and v have Beta(½, ½)
    priors, on 40 points each from .005 to .995.

    >>> round(-5.7624 - drift_evidence([0] * 5 + [4] * 5, [4] * 10), 2)
    9.98
    """
    f, t = np.asarray(focus, dtype=np.float64), np.asarray(tags, dtype=np.float64)
    f, t = f[t > 0], t[t > 0]
    if not len(t):
        return 0.0
    along = (np.cumsum(t) - t / 2) / t.sum()
    share = _GRID[:, None, None] + (_GRID[None, :, None] - _GRID[:, None, None]) * along
    likelihood = np.log(share) @ f + np.log1p(-share) @ (t - f)
    prior = -0.5 * np.log(_GRID * (1 - _GRID))
    weight = prior[:, None] + prior[None, :]
    return float(logsumexp(likelihood + weight) - logsumexp(weight))
