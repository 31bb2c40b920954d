"""Expected ranks and chances of the top places.

Sources: eight shooters under Beta(30, 10), own data, computed by quadrature; 18 batting averages,
data of JASA 70:311-319 (1975) as in R package pscl, ranks computed under the plain fit.
"""

from __future__ import annotations

import pytest

from ledger.stats.rank_chance import chance_of_top, expected_rank
from tests.published.tables import columns

TABLES = ["ranks_synthetic8_prior30_10.csv", "ranks_batting18_bbmle.csv"]


@pytest.mark.parametrize("table", TABLES)
def test_expected_ranks_are_the_known_ones(table: str) -> None:
    rows = columns(table)
    ranks = expected_rank(rows["post_alpha"], rows["post_beta"])
    assert ranks == pytest.approx(rows["expected_rank_1_is_highest"], abs=1e-4)


@pytest.mark.parametrize("table", TABLES)
@pytest.mark.parametrize(("n", "column"), [(1, "p_highest"), (3, "p_top3"), (5, "p_top5")])
def test_chances_of_the_top_places_are_the_known_ones(table: str, n: int, column: str) -> None:
    rows = columns(table)
    top = chance_of_top(rows["post_alpha"], rows["post_beta"], n, seed=1)
    assert top.chance == pytest.approx(rows[column], abs=1e-5)


def test_eight_shooters_by_hand() -> None:
    a = [118, 170, 75, 91, 42, 233, 60, 35]
    b = [22, 50, 25, 39, 12, 67, 30, 10]
    top = chance_of_top(a, b, 3, seed=1).chance
    known_top = [0.96676407, 0.3753477, 0.21933759, 0.01806025]
    known_top += [0.49371177, 0.42038361, 0.00720872, 0.4991863]
    known_rank = [1.46180118, 4.01964845, 4.94024151, 6.71107065]
    known_rank += [3.81892325, 3.83334374, 7.39289495, 3.82207626]
    assert top == pytest.approx(known_top, abs=1e-4)
    assert expected_rank(a, b) == pytest.approx(known_rank, abs=1e-4)
