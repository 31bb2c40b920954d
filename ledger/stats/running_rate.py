"""The running rate: made of the last 50 attempts up to and with a game, one point a game.

With the results in order, the point of a game is the share made of the 50 attempts that end with
it, and its Wilson interval; fewer than 10 attempts give none. Within a game whose order is not
known every attempt stands for the game's own rate, so that a window that begins inside it takes its
proportion. A description only: neighbouring points share most of their attempts, so that no change
may be read off the curve. A window of 50: common practice, no source.

>>> points = running([1, 1, 0, 1] * 3, [0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2], [True, True, True])
>>> points.attempts, points.rate
(array([ 4,  8, 12]), array([ nan,  nan, 0.75]))
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ledger.stats.counts import FloatArray, IntArray, Vector
from ledger.stats.intervals import wilson

WINDOW = 50
LEAST = 10


@dataclass(frozen=True, slots=True, eq=False)
class Points:
    """One point a game.

    Attributes:
        attempts: attempts in its window.
        rate: share made of them; nan where they are fewer than 10, as are the limits.
        low, high: limits of the Wilson interval, 95 %.
    """

    attempts: IntArray
    rate: FloatArray
    low: FloatArray
    high: FloatArray


def running(made: Vector, game: NDArray[Any] | list[int], ordered: Vector) -> Points:
    """The running rate after each game.

    Args:
        made: 1 or 0 for each attempt, in order of games and of attempts within.
        game: for each attempt the place of its game: 0, 1, 2, ..., none without an attempt.
        ordered: for each game whether the order of its attempts is known.
    """
    results = np.asarray(made, dtype=np.float64)
    of = np.asarray(game, dtype=np.int64)
    known = np.asarray(ordered, dtype=np.bool_)
    in_game = np.bincount(of, minlength=len(known))
    mean = np.bincount(of, weights=results, minlength=len(known)) / np.maximum(in_game, 1)
    results = np.where(known[of], results, mean[of])
    so_far = np.concatenate([[0.0], np.cumsum(results)])
    end = np.cumsum(in_game)
    start = np.maximum(end - WINDOW, 0)
    attempts = end - start
    # Shares of unordered games add up with rounding errors; no count lies outside 0..n.
    sums = np.clip(np.round(so_far[end] - so_far[start], 9), 0, attempts)
    enough = attempts >= LEAST
    nothing = np.full(len(known), np.nan)
    rate = np.divide(sums, attempts, out=nothing.copy(), where=enough)
    limits = wilson(sums, attempts)
    return Points(
        attempts.astype(np.int64),
        rate,
        np.where(enough, limits.low, np.nan),
        np.where(enough, limits.high, np.nan),
    )
