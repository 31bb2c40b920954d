"""Were the tagged attempts picked by their result?

If a miss is likelier to be watched than a make, every rate by technique is wrong (board share .50,
makes 75 % against 60 %, only misses watched: the share appears as .38). Per player-season with at
least 10 tagged and 10 untagged attempts: Fisher's exact test that the tagged share of makes equals
the tagged share of misses, flagged below .01. Over players: the Mantel-Haenszel test with players
as strata, flagged below .01, where at least 10 attempts are tagged and 10 are not in all. The
pooled test takes every player, since two picked tags from each of fifty show only there.

Assumptions: attempts independent given the player. It finds picking by result only, not picking by
player (``league_share``) or by game. Among many clean player-seasons one in a hundred is flagged.
The limits 10 and .01 are common practice, no source.

Reference: as in ``hypergeometric`` and ``mantel_haenszel``.

>>> found = picked_by_result([9, 20], [100, 40], [25, 10], [41, 20])
>>> [bool(flag) for flag in found.flagged]
[True, False]
>>> found.pooled.flagged, round(found.pooled.share_of_misses_watched, 2)
(True, 0.57)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ledger.stats.counts import BoolArray, FloatArray, Vector, as_counts, same_length
from ledger.stats.hypergeometric import fisher_two_sided
from ledger.stats.mantel_haenszel import association

LIMIT = 0.01
MIN_TAGGED = 10
MIN_UNTAGGED = 10


@dataclass(frozen=True, slots=True)
class PooledPicking:
    """The test over players; ``p`` is nan where it is not applied or nothing can vary.

    The shares are sums over players, 0 to 1, nan where there is no make or no miss.
    """

    p: float
    share_of_makes_watched: float
    share_of_misses_watched: float
    flagged: bool
    players: int


@dataclass(frozen=True, slots=True, eq=False)
class PickedByResult:
    """The test of each player-season, arrays of their length, and over all of them.

    ``p`` is nan where the rule of 10 and 10 leaves the player out (``applied`` False).
    """

    p: FloatArray
    share_of_makes_watched: FloatArray
    share_of_misses_watched: FloatArray
    applied: BoolArray
    flagged: BoolArray
    pooled: PooledPicking


def picked_by_result(
    made_tagged: Vector, made: Vector, missed_tagged: Vector, missed: Vector
) -> PickedByResult:
    """Compare how often makes and misses were watched.

    Args:
        made_tagged: tagged makes of each player-season, 1-D whole numbers.
        made: all his makes.
        missed_tagged: tagged misses.
        missed: all his misses.

    Raises:
        ValueError: tagged above all, negative or broken counts, lengths that differ.
    """
    a, makes = (np.atleast_1d(column) for column in as_counts(made_tagged, made))
    c, misses = (np.atleast_1d(column) for column in as_counts(missed_tagged, missed))
    same_length(made=makes, missed=misses)
    b, d = makes - a, misses - c
    applied = (a + c >= MIN_TAGGED) & (b + d >= MIN_UNTAGGED)
    p = np.full(a.size, np.nan)
    p[applied] = fisher_two_sided(a[applied], b[applied], c[applied], d[applied])
    with np.errstate(invalid="ignore"):
        of_makes, of_misses = a / makes, c / misses
    # A comparison with nan is False: whoever is left out is not flagged.
    flagged = p < LIMIT
    return PickedByResult(p, of_makes, of_misses, applied, flagged, _pooled(a, b, c, d))


def _pooled(a: FloatArray, b: FloatArray, c: FloatArray, d: FloatArray) -> PooledPicking:
    makes, misses = float((a + b).sum()), float((c + d).sum())
    of_makes = float(a.sum()) / makes if makes else float("nan")
    of_misses = float(c.sum()) / misses if misses else float("nan")
    enough = (a + c).sum() >= MIN_TAGGED and (b + d).sum() >= MIN_UNTAGGED
    test = association(a, b, c, d)
    p = test.p if enough else float("nan")
    return PooledPicking(p, of_makes, of_misses, p < LIMIT, test.strata)
