"""Spread, survival and their estimators against values from outside.

Left out: the normal areas of adopter categories, logistic growth of a chick's weight, log-rank,
Cox and discrete hazard rows of the same collection: the ledger has no such figures.
"""

from __future__ import annotations

import numpy as np
import pytest

from ledger.stats.diffusion import (
    by_cumulated_share,
    by_least_squares,
    by_regression,
    maximum_likelihood,
    peak,
    share_by,
)
from ledger.stats.not_yet import not_yet

# Management Science 15:215-227 (1969), worked fits of a public R notebook; sales of video recorders
# in thousands (the data from memory; they give the published fits to every digit).
RECORDERS = [840, 1470, 2110, 4000, 7590, 10950, 10530, 9470, 7790, 5890]
# R package netdiffuseR, medInnovations: 125 physicians over 17 months, 16 never.
PHYSICIANS = [11, 9, 9, 11, 11, 11, 13, 7, 4, 1, 5, 3, 3, 4, 4, 2, 1]
NEVER = [17] * 16
# R package MASS, gehan, arm 6-MP: weeks of remission, and whether it ended.
REMISSION = [
    (10, True), (7, True), (32, False), (23, True), (22, True), (6, True), (16, True), (34, False),
    (32, False), (25, False), (11, False), (20, False), (19, False), (6, True), (17, False),
    (35, False), (6, True), (13, True), (9, False), (6, False), (10, False),
]  # fmt: skip


def test_regression_on_sales_of_video_recorders() -> None:
    found = by_regression(RECORDERS)

    assert found.ceiling == pytest.approx(62665.4469, abs=0.01)
    assert found.p == pytest.approx(0.0216467828, abs=1e-8)
    assert found.q == pytest.approx(0.680525043, abs=1e-7)


def test_least_squares_on_sales_of_video_recorders() -> None:
    found = by_least_squares(RECORDERS)

    assert found.ceiling == pytest.approx(67660.0248, abs=1)
    assert found.p == pytest.approx(0.00878896257, abs=1e-6)
    assert found.q == pytest.approx(0.642158904, abs=1e-5)


def test_regression_on_five_years_of_published_course_notes() -> None:
    found = by_regression([0.517, 1.169, 1.604, 2.044, 2.286])

    assert found.ceiling == pytest.approx(10.5036768, abs=5e-8)
    assert found.p == pytest.approx(0.0626032, abs=5e-8)
    assert found.q == pytest.approx(0.73766359, abs=5e-9)


@pytest.mark.parametrize(
    ("t", "share"), [(1, 0.03575816426), (5, 0.3311986425), (10, 0.8128032212)]
)
def test_the_curve_in_closed_form(t: int, share: float) -> None:
    assert share_by(t, 0.03, 0.38) == pytest.approx(share, abs=1e-9)


def test_the_peak_in_closed_form() -> None:
    assert peak(0.03, 0.38) == pytest.approx(6.192619198, abs=1e-9)


def test_least_squares_on_the_cumulated_share_of_physicians() -> None:
    found = by_cumulated_share(np.cumsum(PHYSICIANS) / 125)

    # Computed with the packaged data.
    assert found.p == pytest.approx(0.0956696491, abs=5e-5)
    assert found.q == pytest.approx(0.0620220525, abs=5e-5)


@pytest.mark.parametrize(
    ("ceiling", "p", "q", "c"),
    [(1.0, 0.096194667, 0.0539968616, 1.0), (None, 0.0884333894, 0.140452077, 0.919056277)],
)
def test_maximum_likelihood_on_physicians(
    ceiling: float | None, p: float, q: float, c: float
) -> None:
    found = maximum_likelihood(PHYSICIANS, NEVER, ceiling=ceiling)

    # Computed with the packaged data.
    assert found.p == pytest.approx(p, abs=5e-5)
    assert found.q == pytest.approx(q, abs=5e-5)
    assert found.ceiling == pytest.approx(c, abs=5e-5)


def test_kaplan_and_meier_on_remission_of_leukaemia() -> None:
    weeks, ended = zip(*REMISSION, strict=True)

    curve = not_yet([0] * len(weeks), weeks, ended)

    # Computed with lifelines on the packaged data; three digits as printed, from memory.
    assert dict(zip(curve.times.tolist(), curve.share.tolist(), strict=True)) == pytest.approx(
        {
            6: 0.857142857, 7: 0.806722689, 10: 0.752941176, 13: 0.690196078, 16: 0.62745098,
            22: 0.537815126, 23: 0.448179272,
        },
        abs=1e-8,
    )  # fmt: skip
