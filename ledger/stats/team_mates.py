"""Do players with an adopter among their team-mates take it up more often than the others?

Per season, of players who could adopt in it: with an adopter among last season's team-mates or
without, and adopted or not. Pooled over seasons by the Mantel-Haenszel odds ratio with its RBG
interval (`mantel_haenszel`), no p.

Assumptions: players of a season are independent given their exposure. Seasons as strata keep a
trend of the whole league out: without them a trend alone gives 94 % false findings, with them 2 %.
They do not keep out what players of one team share: differing teams alone (coach, staff) give 84 %.
So this compares, and is no proof of copying. Refused with fewer than 5 adopters who were exposed,
or none who was not.

References: see `mantel_haenszel`.

>>> round(compare([3, 4], [20, 10], [1, 2], [60, 30]).low, 3)
1.678
>>> compare([3], [20], [1], [60]).why
'too few adoptions to compare'
"""

from __future__ import annotations

from dataclasses import dataclass

from ledger.stats.counts import Vector
from ledger.stats.mantel_haenszel import odds_ratio

MIN_EXPOSED = 5
WHY_FEW = "too few adoptions to compare"


@dataclass(frozen=True, slots=True)
class Compared:
    """Odds of adopting with an adopter team-mate over those without; None where ``why`` says why.

    Attributes:
        odds_ratio, low, high: pooled over seasons, with 95 % limits.
        seasons: those that carry something.
        why: why there is none, or empty.
    """

    odds_ratio: float | None
    low: float | None
    high: float | None
    seasons: int
    why: str


def compare(
    exposed_adopted: Vector, exposed_not: Vector, others_adopted: Vector, others_not: Vector
) -> Compared:
    """The comparison over seasons.

    Args:
        exposed_adopted: per season, players with an adopter team-mate who adopted.
        exposed_not: those with one who did not.
        others_adopted: those without one who adopted.
        others_not: those without one who did not.

    Raises:
        ValueError: a negative count, or lengths that differ.
    """
    pooled = odds_ratio(exposed_adopted, exposed_not, others_adopted, others_not)
    few = sum(exposed_adopted) < MIN_EXPOSED or not sum(others_adopted)
    if few or not 0 < pooled.odds_ratio < float("inf"):
        return Compared(None, None, None, pooled.strata, WHY_FEW)
    return Compared(pooled.odds_ratio, pooled.low, pooled.high, pooled.strata, "")
