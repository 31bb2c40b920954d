"""Whether a change of technique is more than mixing from game to game.

A player who shoots off the board in some games and straight in others, in no order, makes a
sequence in which changes are found too. His games are therefore shuffled: if their order matters
not, the largest evidence of a change in a shuffled sequence reaches the observed one often.

    p = (1 + number of shuffles that reach it) / (1 + number of shuffles)

Shuffling ends once `STOP` shuffles reached it: p is then far above .05 (sequential Monte Carlo
p-values, Biometrika 78 (1991) 301-304, from memory).

Assumptions: under the hypothesis games are exchangeable. Not a test of what happens within a game;
below `LEAST_GAMES` tagged games it cannot tell a change from mixing at all.

>>> shuffled([0] * 6 + [4] * 6, [4] * 12, seed=1).p < 0.01
True
>>> shuffled([0, 4] * 10, [4] * 20, seed=1).p > 0.05
True
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from ledger.stats.change_points import Floats, log_evidence

SHUFFLES = 999
STOP = 60
LEAST_GAMES = 8
_CELLS = 400_000


@dataclass(frozen=True, slots=True)
class Shuffled:
    """What shuffling a player's games came to.

    Attributes:
        p: how often shuffled games look as much like a change; 1 where there is nothing to reach.
        reached: shuffles that reached the observed evidence.
        shuffles: shuffles made.
        seed: of the shuffles.
    """

    p: float
    reached: int
    shuffles: int
    seed: int


def shuffled(
    focus: ArrayLike, tags: ArrayLike, *, seed: int, shuffles: int = SHUFFLES, stop: int = STOP
) -> Shuffled:
    """Shuffle the games of a player.

    Args:
        focus: tagged attempts with the technique by game, in order.
        tags: tagged attempts by game.
        seed: of the shuffles.
        shuffles: at most so many.
        stop: stop once so many reached the observed evidence.
    """
    f, t = np.asarray(focus, dtype=np.int64), np.asarray(tags, dtype=np.int64)
    observed = _best(log_evidence(f, t))[0]
    if not np.isfinite(observed):
        return Shuffled(1.0, 0, 0, seed)
    rng = np.random.default_rng(seed)
    reached = done = 0
    piece = max(1, min(100, _CELLS // max(1, int((t > 0).sum()) ** 2)))
    while done < shuffles and reached < stop:
        many = min(piece, shuffles - done)
        order = rng.permuted(np.tile(np.arange(len(t)), (many, 1)), axis=1)
        # The same sequence summed in another order must count as reaching itself.
        as_much = _best(log_evidence(f, t, order)) >= observed - 1e-9
        reached_at = np.cumsum(as_much) + reached
        enough = np.nonzero(reached_at >= stop)[0]
        many = int(enough[0]) + 1 if len(enough) else many
        reached, done = int(reached_at[many - 1]), done + many
    return Shuffled((1 + reached) / (1 + done), reached, done, seed)


def _best(evidence: Floats) -> Floats:
    # −inf less −inf, with no tags at all, stays −inf: nothing is evidence of a change.
    none = np.where(np.isfinite(evidence[:, 0]), evidence[:, 0], 0.0)
    best: Floats = evidence[:, 1:].max(axis=1) - none
    return best
