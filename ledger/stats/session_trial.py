"""A practice trial of two techniques, judged session by session.

In each session both techniques are shot; d_j is the difference of the two make rates in session j.
The mean of d_j has the interval of t(J − 1): sessions differ by the day's form, attempts of one
session are alike. Two looks are planned, after half of the sessions and after all: the trial ends
at the first when the two-sided p is at most .0052, at the last when it is at most .048, in both
directions alike. Between looks nothing is called.

Assumptions: the order of blocks was drawn by lot, the plan stood before the first attempt. Practice
is compared with practice only. Not for sessions chosen afterwards. Where every session has the same
difference its spread is not known, and nothing is called.

Reference: A multiple testing procedure for clinical trials, Biometrics 35 (1979) 549-556 (the two
limits; from memory).

>>> straight, board = [29, 31, 27, 30, 28, 32], [34, 33, 36, 31, 37, 35]
>>> so_far = result([b / 50 - s / 50 for s, b in zip(straight, board)], planned=12)
>>> round(so_far.mean, 5), round(so_far.low, 5), round(so_far.high, 5), round(so_far.p, 4)
(0.09667, 0.02346, 0.16988, 0.0194)
>>> so_far.limit, so_far.verdict
(0.0052, 'go_on')
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.special import stdtr, stdtrit

FIRST_LIMIT = 0.0052
LAST_LIMIT = 0.048
_NO_SPREAD = 1e-12

Verdict = Literal["go_on", "better", "worse", "undecided"]


@dataclass(frozen=True, slots=True)
class Result:
    """How a trial stands.

    Attributes:
        sessions: counted sessions so far.
        mean: mean difference of the rates, nan without sessions.
        low, high: 95 % limits, nan below two sessions and where all differences are the same.
        p: two-sided, nan where the limits are.
        limit: what p is held against at this session; nan where this is no look.
        verdict: `better` or `worse` when a look ended it, `undecided` after the last look, else
            `go_on`.
    """

    sessions: int
    mean: float
    low: float
    high: float
    p: float
    limit: float
    verdict: Verdict


def looks(planned: int) -> tuple[int, int]:
    """After which sessions a trial of `planned` sessions is looked at.

    Raises:
        ValueError: for fewer than four sessions.
    """
    if planned < 4:
        raise ValueError("a trial has four sessions or more")
    return planned // 2, planned


def result(differences: Sequence[float], planned: int) -> Result:
    """How a trial stands after its counted sessions; a look that ended it ends it for good.

    Args:
        differences: second technique's rate minus the first's, one a session, in order.
        planned: sessions of the plan.

    Raises:
        ValueError: for fewer than four planned sessions.
    """
    first, last = looks(planned)
    done = list(differences)[:last]
    for sessions, limit in ((first, FIRST_LIMIT), (last, LAST_LIMIT)):
        if len(done) >= sessions:
            mean, low, high, p = _t(done[:sessions])
            if p <= limit:
                verdict: Verdict = "better" if mean > 0 else "worse"
                return Result(sessions, mean, low, high, p, limit, verdict)
    mean, low, high, p = _t(done)
    if len(done) == last:
        return Result(last, mean, low, high, p, LAST_LIMIT, "undecided")
    limit = FIRST_LIMIT if len(done) == first else float("nan")
    return Result(len(done), mean, low, high, p, limit, "go_on")


def course(differences: Sequence[float], planned: int) -> list[Result]:
    """How it stood after each counted session.

    Args:
        differences: as in `result`; none behind a look that ended it.
        planned: sessions of the plan.

    >>> [round(stood.mean, 3) for stood in course([0.1, 0.08, 0.18], planned=12)]
    [0.1, 0.09, 0.12]
    """
    return [result(differences[: done + 1], planned) for done in range(len(differences))]


def stopping(differences: Sequence[float], limit: float) -> tuple[float, float]:
    """The limits at a look that must lie on one side of 0 for the trial to end there.

    They belong to a two-sided p of `limit`, so that both say the same; nan where there is no p.

    >>> low, high = stopping([0.1, 0.08, 0.18, 0.02, 0.18, 0.06], FIRST_LIMIT)
    >>> round(low, 3), round(high, 3)
    (-0.022, 0.229)
    """
    mean, _, _, p = _t(differences)
    if np.isnan(p):
        return float("nan"), float("nan")
    many = len(differences)
    half = float(stdtrit(many - 1, 1 - limit / 2)) * float(np.std(differences, ddof=1))
    return mean - half / many**0.5, mean + half / many**0.5


def _t(differences: Sequence[float]) -> tuple[float, float, float, float]:
    """Mean, limits and two-sided p of t(J − 1)."""
    d = np.asarray(differences, dtype=np.float64)
    many = len(d)
    nan = float("nan")
    if many < 2:
        return (float(d[0]) if many else nan), nan, nan, nan
    mean, se = float(d.mean()), float(d.std(ddof=1) / np.sqrt(many))
    # Counts are coarse: two sessions in which both gain 1 of 10 tell nothing of the day's form.
    if se < _NO_SPREAD:
        return mean, nan, nan, nan
    half = float(stdtrit(many - 1, 0.975)) * se
    p = 2 * float(stdtr(many - 1, -abs(mean) / se))
    return mean, mean - half, mean + half, p
