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

from ledger.stats.change_points import Counts, Floats, log_evidence, segment_evidence

SHUFFLES = 999
STOP = 60
LEAST_GAMES = 8
_PIECE = 100
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
    piece = max(1, _CELLS // max(1, int((t > 0).sum()) ** 2))
    while done < shuffles and reached < stop:
        many = min(_PIECE, shuffles - done)
        order = rng.permuted(np.tile(np.arange(len(t)), (many, 1)), axis=1)
        # The same sequence summed in another order must count as reaching itself.
        as_much = np.zeros(many, dtype=bool)
        may = np.nonzero(_most(f, t, order) >= observed - 1e-9)[0]
        for at in range(0, len(may), piece):
            part = may[at : at + piece]
            as_much[part] = _best(log_evidence(f, t, order[part])) >= observed - 1e-9
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


def _most(f: Counts, t: Counts, orders: Counts) -> Floats:
    """What the evidence of changes cannot exceed in each order; far cheaper than the evidence.

    A segment's evidence is at most its largest likelihood, so that all together exceed one share s
    by at most Σ T·KL(share, s). A segment's makes of the technique differ from T·s by at most the
    range R of their running difference; KL is largest in the shortest segment that can differ so,
    one of only this technique or only others; and differences of both signs cancel: with four
    segments Σ T·KL is at most 2R·(log(1/s)/(1 − s) + log(1/(1 − s))/s).
    """
    focus, tags = float(f.sum()), float(t.sum())
    share = focus / tags
    if share in (0.0, 1.0):
        return np.full(len(orders), np.inf)
    low, high = -np.log(share), -np.log1p(-share)
    running = np.cumsum((f - share * t)[orders], axis=1)
    reach = np.maximum(running.max(axis=1), 0) - np.minimum(running.min(axis=1), 0)
    whole = -(focus * low + (tags - focus) * high)
    prior = whole - float(segment_evidence(focus, tags))
    most: Floats = prior + 2 * reach * (low / (1 - share) + high / share)
    return most
