"""Trials planted with a known effect, and how often they are called better or worse."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ledger.stats.session_trial import result

SESSIONS, EACH_WAY, LEVEL = 12, 50, 0.58


@dataclass(frozen=True, slots=True)
class Called:
    """Shares of trials, 0 to 1.

    Attributes:
        better: called better by the plan.
        worse: called worse by the plan.
        peeking: called better by somebody who looks after each session for p below .05.
    """

    better: float
    worse: float
    peeking: float


def called(effect: float, runs: int, *, form: float = 0.2, seed: int = 1) -> Called:
    """Plan many trials whose true effect is known.

    Args:
        effect: true difference of the rates, tried minus usual.
        runs: how many.
        form: standard deviation of the day's form on the logit scale.
        seed: of the draws.
    """
    lot = np.random.default_rng(seed)
    day = form * lot.standard_normal((runs, SESSIONS))
    usual, tried = (1 / (1 + np.exp(-(np.log(p / (1 - p)) + day))) for p in (LEVEL, LEVEL + effect))
    d = (lot.binomial(EACH_WAY, tried) - lot.binomial(EACH_WAY, usual)) / EACH_WAY
    verdicts = [result(list(row), SESSIONS).verdict for row in d]
    peeks = 0
    for row in d:
        looks = (result(list(row[:many]), 2 * SESSIONS) for many in range(2, SESSIONS + 1))
        peeks += any(look.p < 0.05 and look.mean > 0 for look in looks)
    return Called(verdicts.count("better") / runs, verdicts.count("worse") / runs, peeks / runs)
