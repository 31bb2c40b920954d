"""The difference of two techniques within players, on published strata, through the whole answer.

Source: Modern Epidemiology, 3rd ed., as in the tests of R package metafor (tolbutamide strata: 8 of
106 against 5 of 120, 22 of 98 against 16 of 85; risk difference .0349, 90 %: -.0176 to .0874); the
error .0319026859 computed with metafor. Two players stand for the two strata, offensive rebounds of
live misses for the outcome.

Coverage of the interval in small strata is simulated here, not published.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from scipy.stats import hypergeom

from ledger.stats.mantel_haenszel import rate_difference
from tests.questions.ground import Ground
from tests.questions.watching import watched

STRATA = {"Tarn": ((8, 106), (5, 120)), "Oselo": ((22, 98), (16, 85))}
DIFFERENCE, ERROR, Z = 0.0349002693, 0.0319026859, 1.959963985


@pytest.fixture
def ground() -> Iterator[Ground]:
    made = Ground()
    yield made
    made.close()


def test_offensive_rebounds_within_players_are_the_published_difference(ground: Ground) -> None:
    for player, counts in STRATA.items():
        for technique, (taken, of) in zip(("board", "straight"), counts, strict=True):
            for rebound, number in (("offensive", taken), ("defensive", of - taken)):
                watched(ground, player, technique, number, attempt={"rebound_by": rebound})

    rows = ground.ask("misses").part("tests").rows()

    (row,) = (r for r in rows if r["what"].startswith("offensive rebounds"))
    assert row["what"] == "offensive rebounds, board-assisted minus straight, within players"
    assert row["difference"] == pytest.approx(DIFFERENCE, abs=1e-9)
    assert row["low"] == pytest.approx(DIFFERENCE - Z * ERROR, abs=1e-9)
    assert row["high"] == pytest.approx(DIFFERENCE + Z * ERROR, abs=1e-9)
    # By dealt labels: exact by the hypergeometric numbers of both strata, within 4 standard errors
    # of 9 999 draws.
    exact = _dealt(list(STRATA.values()))
    assert row["p"] == pytest.approx(exact, abs=4 * (exact * (1 - exact) / 9_999) ** 0.5)
    assert (row["focus_misses"], row["other_misses"], row["players"]) == (204, 205, 2)


def test_the_tail_of_the_difference_is_that_of_a_table_of_the_normal() -> None:
    taken, of = zip(*(counts[0] for counts in STRATA.values()), strict=True)
    other, other_of = zip(*(counts[1] for counts in STRATA.values()), strict=True)

    found = rate_difference(list(taken), list(of), list(other), list(other_of))

    # Two-sided normal tail of .0349002693/.0319026859 = 1.09396 (a table of the normal: .2740).
    assert found.p == pytest.approx(0.2740, abs=5e-5)


def _dealt(strata: list[tuple[tuple[int, int], tuple[int, int]]]) -> float:
    """How often labels dealt anew within strata are as far from their mean as those seen."""
    chances, mean, seen = np.ones(1), 0.0, 0
    for (taken, of), (other, other_of) in strata:
        total, yes = of + other_of, taken + other
        chances = np.convolve(chances, hypergeom.pmf(np.arange(of + 1), total, yes, of))
        mean, seen = mean + of * yes / total, seen + taken
    apart = np.abs(np.arange(len(chances)) - mean)
    return float(chances[apart >= abs(seen - mean) - 1e-9].sum())


def test_the_interval_covers_about_as_often_as_it_says_with_few_misses_a_player() -> None:
    rng = np.random.default_rng(3)
    held, runs = 0, 1500
    for _ in range(runs):
        sizes = rng.integers(4, 13, (2, 8))
        base = rng.uniform(0.1, 0.3, 8)
        found = rate_difference(
            rng.binomial(sizes[0], base + 0.1), sizes[0], rng.binomial(sizes[1], base), sizes[1]
        )
        held += found.low <= 0.1 <= found.high
    # Standard error of 1 500 runs: .6 points.
    assert 0.92 <= held / runs <= 0.97


def test_a_difference_without_error_has_no_p() -> None:
    assert np.isnan(rate_difference([0], [10], [0], [12]).p)
    assert np.isnan(rate_difference([0], [0], [0], [0]).p)
    assert rate_difference([6], [10], [6], [10]).p == pytest.approx(1.0)
