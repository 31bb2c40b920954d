"""How many have not adopted yet, season by season, when not everybody is seen all the time.

Kaplan and Meier's estimate of "not yet adopted" with left truncation: at each season s the risk set
holds who had entered before s, had not adopted and was not censored before it;
S(s) = Π (1 − d/r). Limits on the scale log(−log S) with Greenwood's variance Σ d/(r(r − d)).

Assumptions: leaving the ledger tells nothing of adopting. Who is an adopter in his first season
says nothing of when: he is left out by the caller, and counted. With a small risk set early on the
curve starts too low for everybody after it.

References: Nonparametric estimation from incomplete observations, Journal of the American
Statistical Association 53 (1958) 457-481, doi 10.1080/01621459.1958.10501452.

>>> curve = not_yet([0, 0, 0, 1], [2, 3, 3, 3], [True, False, True, False])
>>> [int(t) for t in curve.times], [round(float(s), 4) for s in curve.share]
([2, 3], [0.75, 0.5])
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ledger.stats.intervals import Z

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class NotYet:
    """The curve at each time somebody adopted; arrays of one length.

    Attributes:
        times: the times.
        share: not yet adopted after it.
        low, high: 95 % limits, nan where the share is 0 or nothing varies.
        at_risk: who could adopt at it.
        adopted: who did.
    """

    times: Ints
    share: Floats
    low: Floats
    high: Floats
    at_risk: Ints
    adopted: Ints


def not_yet(entry: ArrayLike, last: ArrayLike, adopted: ArrayLike) -> NotYet:
    """The curve.

    Args:
        entry: time of each player's first season; he can adopt after it.
        last: time he adopted, or was last seen as not having done so.
        adopted: whether he adopted at `last`.

    Raises:
        ValueError: if lengths differ, or somebody adopted no later than he entered.
    """
    begin, end = np.asarray(entry, dtype=np.int64), np.asarray(last, dtype=np.int64)
    did = np.asarray(adopted, dtype=np.bool_)
    if not begin.shape == end.shape == did.shape or (did & (end <= begin)).any():
        raise ValueError("entry, last and adopted are of one length; adopting comes after entry")
    times = np.unique(end[did])
    at = times[:, None]
    at_risk = ((begin[None, :] < at) & (end[None, :] >= at)).sum(axis=1)
    gone = ((end[None, :] == at) & did[None, :]).sum(axis=1)
    share = np.cumprod(1 - gone / at_risk) if len(times) else np.zeros(0)
    with np.errstate(divide="ignore", invalid="ignore"):
        greenwood = np.cumsum(gone / (at_risk * (at_risk - gone)))
        log = np.log(share)
        half = Z * np.sqrt(greenwood) / np.abs(log)
        limits = [np.where(share > 0, share ** np.exp(sign * half), np.nan) for sign in (1, -1)]
    return NotYet(times, share, limits[0], limits[1], at_risk, gone)
