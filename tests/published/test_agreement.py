"""Agreement of people: Cohen's kappa and Krippendorff's alpha on published tables.

Sources
- Cohen 3x3 and the paradox table: tests of inter-rater agreement in statsmodels (Educational and
  Psychological Measurement 20 (1960), counts out of 200, kappa .492); the paradox counts from
  memory; abstractors 3x3: the data of R package irrCAC, kappa computed there.
- 14 people on 10 subjects, kappa .210: worked example reprinted with R package irr and in
  statsmodels' tests; 6 psychiatrists on 30 patients, kappa .430: R package irr, `diagnoses`.
  A kappa over all people k and alpha of a table without gaps hold (1 − alpha) = (1 − k)(N − 1)/N,
  N values in all.
- 4 people, 12 units, alpha .743: R package irr, `kripp.alpha`. 3 people, 15 units, alpha .691:
  sample of the PyPI package krippendorff, from memory.

Left out: AC1, Randolph's kappa, the standard error of one table, and alpha for orders, intervals
and ratios: none of them is a figure of ours (words of fields have no order that all share).
"""

from __future__ import annotations

import numpy as np
import pytest

from ledger.stats.counts import FloatArray
from ledger.stats.tag_agreement import MISSING, alpha, kappa
from tests.published.tables import columns

GAP = MISSING


@pytest.mark.parametrize(
    ("table", "expected", "tolerance"),
    [
        ([[88, 10, 2], [14, 40, 6], [18, 10, 12]], 0.491525424, 1e-8),
        ([[118, 5], [2, 0]], -0.0233918129, 1e-8),
        ([[13, 0, 0], [0, 20, 7], [0, 4, 56]], 0.796409, 1e-6),
    ],
)
def test_kappa_of_two_people_is_the_published_one(
    table: list[list[int]], expected: float, tolerance: float
) -> None:
    assert kappa(table) == pytest.approx(expected, abs=tolerance)


FOUR = [
    [1, 2, 3, 3, 2, 1, 4, 1, 2, GAP, GAP, GAP],
    [1, 2, 3, 3, 2, 2, 4, 1, 2, 5, GAP, GAP],
    [GAP, 3, 3, 3, 2, 3, 4, 2, 2, 5, 1, 3],
    [1, 2, 3, 3, 2, 4, 4, 1, 2, 5, 1, GAP],
]
THREE = [
    [GAP, GAP, GAP, GAP, GAP, 3, 4, 1, 2, 1, 1, 3, 3, GAP, 3],
    [1, GAP, 2, 1, 3, 3, 4, 3, GAP, GAP, GAP, GAP, GAP, GAP, GAP],
    [GAP, GAP, 2, 1, 3, 4, 4, GAP, 2, 1, 1, 3, 3, GAP, 4],
]


@pytest.mark.parametrize(
    ("told", "expected", "units"), [(FOUR, 0.743421053, 11), (THREE, 0.691358025, 12)]
)
def test_alpha_with_gaps_is_the_published_one(
    told: list[list[int]], expected: float, units: int
) -> None:
    values = np.array(told).T
    found = alpha(values, np.arange(len(values)), seed=1)

    assert found.alpha == pytest.approx(expected, abs=1e-8)
    assert found.units == units


def from_counts(counts: FloatArray) -> np.ndarray:
    """One row a unit with its categories written out, all units with as many values."""
    return np.array([np.repeat(np.arange(len(row)), row.astype(int)) for row in counts])


@pytest.mark.parametrize(
    ("name", "kappa_of_all"),
    [("fleiss_10x14raters.csv", 0.209930704), ("fleiss1971_30x5.csv", 0.43024452)],
)
def test_alpha_without_gaps_is_the_published_kappa_of_all(name: str, kappa_of_all: float) -> None:
    values = from_counts(np.stack(list(columns(name).values()), axis=1))
    number = values.size

    found = alpha(values, np.arange(len(values)), seed=1).alpha

    assert 1 - found == pytest.approx((1 - kappa_of_all) * (number - 1) / number, abs=1e-8)
