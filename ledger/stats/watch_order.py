"""Which games to watch next, so that most players are decided for the attempts watched.

For an undecided player with f of t tags, M is the number of further tags that would probably
settle his class and P(M) the chance that it does (`technique_class`). With r_i of his attempts
unwatched in a game, the game's score is

    Σ_i min(r_i, M_i) · P(M_i)/M_i  ÷  Σ_i r_i        over undecided players,

players decided per attempt watched. A player whose M is above 200 gives 0, and is watched all the
same. A player is left as he is once decided, or after 60 tags: he mixes.

Assumptions: his tags so far speak for the rest. Looking again and again until a class is called
makes the class a little too ready; see `technique_class` for the true rates.

Common practice, no source.

>>> float(round(score(np.array([4, 6]), needs([0, 1], [5, 10])), 5))
0.04287
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ledger.stats.technique_class import chance_decided, more_tags_needed

Floats = NDArray[np.float64]

MIXES = 60


@dataclass(frozen=True, slots=True, eq=False)
class Needs:
    """What undecided players need.

    Attributes:
        more: M, 0 where it is above 200; (players,).
        chance: P(M), 0 where M is above 200; (players,).
    """

    more: NDArray[np.int64]
    chance: Floats


def needs(focus: ArrayLike, tagged: ArrayLike) -> Needs:
    """M and P(M) of undecided players, from their tags with the technique and their tags."""
    f, t = np.asarray(focus, dtype=np.float64), np.asarray(tagged, dtype=np.float64)
    more = np.array([m or 0 for m in more_tags_needed(f, t)], dtype=np.int64)
    chance = np.zeros(len(more))
    some = more > 0
    if some.any():
        chance[some] = chance_decided(f[some], t[some], more[some])
    return Needs(more, chance)


def decided_by(unwatched: ArrayLike, players: Needs) -> Floats:
    """Players that watching would decide, in expectation: min(r, M)·P(M)/M of each."""
    r = np.asarray(unwatched, dtype=np.float64)
    per_tag = np.divide(players.chance, players.more, out=np.zeros(len(r)), where=players.more > 0)
    result: Floats = np.minimum(r, players.more) * per_tag
    return result


def score(unwatched: ArrayLike, players: Needs) -> float:
    """Players decided per attempt watched in one game; 0 without unwatched attempts.

    Args:
        unwatched: unwatched attempts of each undecided player in the game.
        players: what each of them needs.
    """
    r = np.asarray(unwatched, dtype=np.float64)
    return float(decided_by(r, players).sum() / r.sum()) if r.sum() else 0.0
