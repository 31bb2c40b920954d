"""What a player's tags say about his technique: adopter, occasional, not, or undecided.

With f focus tags among t, the share X is Beta(f+½, t−f+½). The class is ``adopter`` if
P(X ≥ .5) ≥ .9, ``not`` if P(X < .1) ≥ .9, ``occasional`` if P(.1 ≤ X < .5) ≥ .9, else
``undecided``; without a tag ``untagged``. There is no class before 8 tags from 2 games: 2 of 2
would otherwise pass, and watching until decided would call 16 % of players with share .35
adopters (with 8 tags 5 %).

How many more tags would settle it: the smallest M ≤ 200 for which the class after M more tags is
decided with chance ≥ ½, the tags to come being beta-binomial.

Assumptions: the tagged attempts are a random part of the player's attempts of one season, read
without error (one misread tag costs a straight shooter 17 more). Not for a player whose technique
changed inside the season (see the switches) nor for tags picked by result. A player who does it
half the time stays undecided, as he should. The limits .1, .5, .9 and the 8 tags are common
practice, no source; the ½ is Jeffreys' prior, An invariant form for the prior probability in
estimation problems, Proceedings of the Royal Society A 186 (1946) 453-461 (from memory).

>>> classify(6, 8, 3), classify(0, 12, 4), classify(0, 13, 4), classify(2, 2, 2)
('adopter', 'undecided', 'not', 'undecided')
>>> more_tags_needed(0, 5), round(chance_decided(0, 5, 8), 5)
(8, 0.69375)
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import overload

import numpy as np
from numpy.typing import NDArray
from scipy import special

from ledger.stats.counts import (
    BoolArray,
    FloatArray,
    IntArray,
    Scalar,
    Values,
    Vector,
    as_counts,
)
from ledger.stats.intervals import Interval, Intervals, beta_interval

STATES = ("adopter", "occasional", "not", "undecided", "untagged")
MIN_TAGS = 8
MIN_GAMES = 2
MOST_TAGS = 200
"""More tags than this are not counted out: the answer is "more than 200"."""

_SURE = 0.9
_HALF = 0.5
_TENTH = 0.1


@overload
def classify(focus: Scalar, tagged: Scalar, games: Scalar) -> str: ...
@overload
def classify(focus: Vector, tagged: Vector, games: Vector) -> NDArray[np.str_]: ...
def classify(focus: Values, tagged: Values, games: Values) -> str | NDArray[np.str_]:
    """Class of each player-season.

    Args:
        focus: tags with the focus technique, one number or a 1-D array.
        tagged: clear tags.
        games: games those tags come from.

    Returns:
        One of ``STATES``, or an array of them.

    Raises:
        ValueError: counts that cannot be, or lengths that differ.
    """
    f, t = as_counts(focus, tagged)
    seen = np.asarray(games, dtype=np.float64)
    if seen.shape != t.shape:
        raise ValueError(f"{t.size} counts of tags but {seen.size} counts of games")
    above_half, below_tenth = _tails(f, t)
    states = np.select(
        [
            t == 0,
            (t < MIN_TAGS) | (seen < MIN_GAMES),
            above_half >= _SURE,
            below_tenth >= _SURE,
            1.0 - above_half - below_tenth >= _SURE,
        ],
        ["untagged", "undecided", "adopter", "not", "occasional"],
        default="undecided",
    )
    return str(states) if states.ndim == 0 else states


@overload
def share_interval(focus: Scalar, tagged: Scalar) -> Interval: ...
@overload
def share_interval(focus: Vector, tagged: Vector) -> Intervals: ...
def share_interval(focus: Values, tagged: Values) -> Interval | Intervals:
    """95 % equal-tailed interval of Beta(f+½, t−f+½); nan where nothing is tagged.

    Args:
        focus: tags with the focus technique, one number or a 1-D array.
        tagged: clear tags.

    Raises:
        ValueError: counts that cannot be.

    >>> interval = share_interval(6, 8)
    >>> round(interval.low, 3), round(interval.high, 3)
    (0.408, 0.944)
    """
    f, t = as_counts(focus, tagged)
    blank = np.where(t == 0, np.nan, 0.0)
    a, b = f + 0.5 + blank, t - f + 0.5 + blank
    if t.ndim == 0:
        return beta_interval(float(a), float(b))
    return beta_interval(a, b)


@overload
def more_tags_needed(focus: Scalar, tagged: Scalar) -> int | None: ...
@overload
def more_tags_needed(focus: Vector, tagged: Vector) -> list[int | None]: ...
def more_tags_needed(focus: Values, tagged: Values) -> int | list[int | None] | None:
    """Smallest number of further tags that would probably settle the class.

    Meant for undecided players; for others it counts tags after which the class would still be
    decided. That the tags will come from two games is taken for granted.

    Args:
        focus: tags with the focus technique, one number or a 1-D array.
        tagged: clear tags.

    Returns:
        1 to 200, or None for more than 200; a list of them for arrays.

    Raises:
        ValueError: counts that cannot be.

    >>> more_tags_needed([1, 4, 60], [10, 6, 120])
    [37, 7, None]
    """
    f, t = as_counts(focus, tagged)
    pairs, back = np.unique(np.stack([f.ravel(), t.ravel()]), axis=1, return_inverse=True)
    needed = np.zeros(pairs.shape[1], dtype=np.int64)
    for step in _steps(pairs[0], pairs[1], MOST_TAGS):
        # A chance of exactly one half must not depend on the last bit.
        done = step.chance >= 0.5 - 1e-12
        needed[step.rows[done]] = step.more
        step.drop(done)
    answers = [int(m) or None for m in needed[back]]
    return answers[0] if f.ndim == 0 else answers


@overload
def chance_decided(focus: Scalar, tagged: Scalar, more: Scalar) -> float: ...
@overload
def chance_decided(focus: Vector, tagged: Vector, more: Vector) -> FloatArray: ...
def chance_decided(focus: Values, tagged: Values, more: Values) -> float | FloatArray:
    """Chance that the class is decided after ``more`` further tags.

    Args:
        focus: tags with the focus technique, one number or a 1-D array.
        tagged: clear tags.
        more: further tags, 1 to 200.

    Returns:
        A chance, or an array of them.

    Raises:
        ValueError: counts that cannot be, or ``more`` outside 1 to 200.
    """
    f, t = as_counts(focus, tagged)
    m = np.asarray(more, dtype=np.int64)
    if m.shape != t.shape:
        raise ValueError(f"{t.size} counts of tags but {m.size} of further tags")
    if m.size and (m.min() < 1 or m.max() > MOST_TAGS):
        raise ValueError(f"further tags must be 1 to {MOST_TAGS}")
    triples, back = np.unique(
        np.stack([f.ravel(), t.ravel(), m.ravel().astype(np.float64)]), axis=1, return_inverse=True
    )
    wanted = triples[2]
    chance = np.zeros(wanted.size)
    for step in _steps(triples[0], triples[1], int(m.max(initial=0))):
        now = wanted[step.rows] == step.more
        chance[step.rows[now]] = step.chance[now]
        step.drop(now)
    answers = chance[back]
    return float(answers[0]) if f.ndim == 0 else answers


def _tails(f: FloatArray, t: FloatArray) -> tuple[FloatArray, FloatArray]:
    """P(X ≥ .5) and P(X < .1)."""
    a, b = f + 0.5, t - f + 0.5
    return np.asarray(special.betaincc(a, b, _HALF)), np.asarray(special.betainc(a, b, _TENTH))


@dataclass(slots=True)
class _Step:
    """Players still followed after ``more`` further tags; drop() ends some of them."""

    more: int
    rows: IntArray
    chance: FloatArray
    dropped: BoolArray

    def drop(self, which: BoolArray) -> None:
        self.dropped = which


def _steps(f: FloatArray, t: FloatArray, most: int) -> Iterator[_Step]:
    """Chance of a decided class after 1, 2, .. more tags, by the urn recursion.

    One tag more turns the distribution of focus tags to come x among M into that among M + 1:
    the next is focus with chance (f + ½ + x) / (t + 1 + M).
    """
    rows = np.arange(f.size)
    limits = _limits(np.unique(np.add.outer(np.unique(t), np.arange(1, most + 1))))
    chances = np.ones((f.size, 1))
    for more in range(1, most + 1):
        if rows.size == 0:
            return
        so_far = np.arange(more, dtype=np.float64)
        focus_next = chances * ((f[:, None] + 0.5 + so_far) / (t[:, None] + more))
        grown = np.zeros((rows.size, more + 1))
        grown[:, :-1] = chances - focus_next
        grown[:, 1:] += focus_next
        chances = grown
        decided = limits.hold(f[:, None] + np.arange(more + 1.0), t + more)
        step = _Step(more, rows, (chances * decided).sum(axis=1), np.zeros(rows.size, np.bool_))
        yield step
        stay = ~step.dropped
        rows, f, t, chances = rows[stay], f[stay], t[stay], chances[stay]


@dataclass(frozen=True, slots=True, eq=False)
class _Limits:
    """Focus counts that decide the class, for sorted totals: up to, from, and between."""

    totals: FloatArray
    not_up_to: FloatArray
    adopter_from: FloatArray
    occasional_from: FloatArray
    occasional_up_to: FloatArray

    def hold(self, focus: FloatArray, totals: FloatArray) -> BoolArray:
        at = np.searchsorted(self.totals, totals)
        inside = (focus >= self.occasional_from[at, None]) & (
            focus <= self.occasional_up_to[at, None]
        )
        beyond = (focus <= self.not_up_to[at, None]) | (focus >= self.adopter_from[at, None])
        return np.asarray((inside | beyond) & (totals >= MIN_TAGS)[:, None])


def _limits(totals: FloatArray) -> _Limits:
    """Limits by bisection, since both tails are monotone in the focus count."""
    adopter_from = _first(totals, lambda f: _tails(f, totals)[0] >= _SURE)
    not_up_to = _first(totals, lambda f: _tails(f, totals)[1] < _SURE) - 1.0
    start = _first(totals, lambda f: _tails(f, totals)[1] <= 1.0 - _SURE)
    end = _first(totals, lambda f: _tails(f, totals)[0] > 1.0 - _SURE) - 1.0
    # Each tail alone is small enough between start and end; both together on a shorter stretch.
    for edge, way in ((start, 1.0), (end, -1.0)):
        while True:
            above, below = _tails(np.clip(edge, 0.0, totals), totals)
            short = (1.0 - above - below < _SURE) & (start <= end)
            if not short.any():
                break
            edge[short] += way
    return _Limits(totals, not_up_to, adopter_from, start, end)


def _first(totals: FloatArray, holds: Callable[[FloatArray], BoolArray]) -> FloatArray:
    """Smallest focus count for which it holds, total + 1 where it never does."""
    low, high = np.full(totals.size, -1.0), totals + 1.0
    while True:
        open_ = high - low > 1.0
        if not open_.any():
            return high
        middle = np.where(open_, np.floor((low + high) / 2.0), 0.0)
        yes = holds(middle)
        high = np.where(open_ & yes, middle, high)
        low = np.where(open_ & ~yes, middle, low)
