"""How much practice a trial of two techniques needs to show a difference.

The trial is judged by the t test of its sessions' differences (`session_trial`). In a session each
technique is shot n times; its rate is binomial around a form of the day that varies by s on the
logit scale, for each technique by itself. With p and q = p + d the difference of a session has

    variance = [p(1−p) + q(1−q)]/n + s²[(p(1−p))² + (q(1−q))²]

and the chance that J sessions show it is that of the noncentral t of J − 1 at d √J / √variance,
two-sided at the limit of the last look, .048. Needed is the smallest J for which it is 80 %.

Assumptions: sessions are alike; what the early look adds (its limit is .0052) is left out. s = .2
is common practice, no source; with s = 0 and .3, twelve sessions of 50 each way at 58 % show a true
+8 per 100 in 73 and 44 % of trials, +13 in 99 and 85 %. Not for games, where nobody chooses how
often.

Reference: Applications of the non-central t-distribution, Biometrika 31 (1940) 362-389 (from
memory).

>>> round(chance_shown(0.58, 0.08, 12, spread=0.0), 2), sessions_needed(0.58, 0.13)
(0.73, 9)
"""

from __future__ import annotations

from math import sqrt

import numpy as np
from scipy.special import gammaincinv, ndtr, stdtrit

from ledger.stats.session_trial import LAST_LIMIT

PER_SESSION = 50
SPREAD = 0.2
POWER = 0.8
LEAST_SESSIONS = 4
MOST_SESSIONS = 60
_LEVELS = (np.arange(2000) + 0.5) / 2000


def chance_shown(
    rate: float,
    difference: float,
    sessions: int,
    per_session: int = PER_SESSION,
    spread: float = SPREAD,
) -> float:
    """The chance that a trial shows a true difference of rates, in either direction.

    Args:
        rate: make rate of the usual technique, 0..1.
        difference: of the other one, so that their sum stays within 0..1.
        sessions: counted sessions, 2 or more.
        per_session: attempts with each technique in a session.
        spread: standard deviation of a technique's form of the day, logit scale.

    Raises:
        ValueError: for rates outside 0..1, or fewer than two sessions.
    """
    other = rate + difference
    if not (0 <= rate <= 1 and 0 <= other <= 1) or sessions < 2:
        raise ValueError("rates lie between 0 and 1, and a trial has two sessions or more")
    usual_room, other_room = rate * (1 - rate), other * (1 - other)
    variance = (usual_room + other_room) / per_session
    variance += spread**2 * (usual_room**2 + other_room**2)
    if variance == 0:
        return 1.0 if difference else 0.0
    away = abs(difference) * sqrt(sessions / variance)
    freedom = sessions - 1
    limit = float(stdtrit(freedom, 1 - LAST_LIMIT / 2))
    # By quantiles of the standard deviation: scipy's noncentral t gives nan far out in its tails.
    within = limit * np.sqrt(2 * gammaincinv(freedom / 2, _LEVELS) / freedom)
    return float((ndtr(away - within) + ndtr(-away - within)).mean())


def sessions_needed(
    rate: float,
    difference: float,
    per_session: int = PER_SESSION,
    spread: float = SPREAD,
) -> int | None:
    """The fewest sessions, from 4, that show a difference in 80 % of trials; None above 60.

    Raises:
        ValueError: for rates outside 0..1.
    """

    def shown(many: int) -> float:
        return chance_shown(rate, difference, many, per_session, spread)

    if shown(MOST_SESSIONS) < POWER:
        return None
    low, high = LEAST_SESSIONS, MOST_SESSIONS
    while low < high:
        middle = (low + high) // 2
        if shown(middle) >= POWER:
            high = middle
        else:
            low = middle + 1
    return low
