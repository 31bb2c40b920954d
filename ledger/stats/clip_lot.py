"""A cut list by lot: attempts on film drawn so that makes and misses come in their true mix.

Of N clips round(N·k/n) are makes, with k of n made over *all* attempts, on film or not: what was
filmed may have been chosen by its result. Within makes and within misses the clips are a simple
random sample of those on film. Where one of the two runs out, the other is cut as well: the mix is
kept, the list is shorter. Not for a rate: the mix is put in, it does not come out.

Reference: On the two different aspects of the representative method, Journal of the Royal
Statistical Society 97 (1934) 558-625 (from memory).

>>> on_film = [True] * 30 + [False] * 40
>>> lot = draw(on_film, made=75, attempts=100, clips=20, seed=1)
>>> lot.makes, lot.misses, lot.asked
(15, 5, 20)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ledger.stats.counts import IntArray, Vector


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """The clips of a list.

    Attributes:
        places: their places among the attempts on film, in order.
        makes, misses: how many of each.
        asked: how many were asked for.
    """

    places: IntArray
    makes: int
    misses: int
    asked: int


def draw(on_film: Vector, made: int, attempts: int, clips: int, seed: int) -> Drawn:
    """Draw a list of clips.

    Args:
        on_film: whether each attempt on film was made.
        made: makes of all attempts, on film or not.
        attempts: all attempts.
        clips: how many are wanted.
        seed: of the lot.

    Raises:
        ValueError: for counts that cannot be.
    """
    if not 0 <= made <= attempts or clips < 0:
        raise ValueError(f"{made} made of {attempts}, {clips} clips")
    results = np.asarray(on_film, dtype=np.bool_)
    there = (int(results.sum()), int((~results).sum()))
    wanted = min(clips, attempts)
    while wanted and any(w > t for w, t in zip(_mix(wanted, made, attempts), there, strict=True)):
        wanted -= 1
    makes, misses = _mix(wanted, made, attempts)
    lot = np.random.default_rng(seed)
    chosen = [
        lot.permutation(np.flatnonzero(results == kind))[:many]
        for kind, many in ((True, makes), (False, misses))
    ]
    return Drawn(np.sort(np.concatenate(chosen)), makes, misses, clips)


def _mix(clips: int, made: int, attempts: int) -> tuple[int, int]:
    """Makes and misses among so many clips; a half is rounded up to a make."""
    if not attempts:
        return 0, 0
    makes = (2 * clips * made + attempts) // (2 * attempts)
    return makes, clips - makes
