from __future__ import annotations

import numpy as np
import pytest
from scipy import stats
from statsmodels.stats.multitest import multipletests

from ledger.stats.rank_test import holm, outranking, top_tail

OTHERS = [0.85, 0.78, 0.77, 0.76, 0.75, 0.74, 0.73, 0.72, 0.70, 0.68]


def test_without_ties_the_p_is_exact() -> None:
    rng = np.random.default_rng(1)
    adopters, others = rng.random(6) + 0.2, rng.random(25)
    result = outranking(adopters, others, seed=1)
    exact = stats.mannwhitneyu(adopters, others, alternative="greater", method="exact")
    assert result.p == pytest.approx(exact.pvalue)
    assert result.chance == pytest.approx(exact.statistic / 150)
    assert result.permutations == 0


def test_with_ties_the_p_comes_from_permutations_and_ties_count_half() -> None:
    adopters = [0.85, 0.84, 0.80, 0.78]
    result = outranking(adopters, OTHERS, seed=1)
    wins = sum((a > o) + 0.5 * (a == o) for a in adopters for o in OTHERS)
    assert result.chance == pytest.approx(wins / 40)
    assert result.permutations == 9_999
    assert result.p is not None
    # All 1001 arrangements, by the reference library.
    every = stats.permutation_test(
        (np.array(adopters), np.array(OTHERS)),
        lambda x, y: stats.rankdata(np.concatenate([x, y]))[: len(x)].sum(),
        alternative="greater",
        vectorized=False,
        n_resamples=np.inf,
    )
    assert result.p == pytest.approx(every.pvalue, abs=4 * np.sqrt(every.pvalue / 10_000))
    assert outranking(adopters, OTHERS, seed=1) == result
    assert (result.p * 10_000) == pytest.approx(round(result.p * 10_000))


def test_many_rows_are_permuted_too() -> None:
    rng = np.random.default_rng(2)
    adopters, others = rng.normal(0.3, 1, 60), rng.normal(0, 1, 500)
    result = outranking(adopters, others, seed=1)
    near = stats.mannwhitneyu(adopters, others, alternative="greater", method="asymptotic").pvalue
    assert result.permutations == 9_999
    assert result.p == pytest.approx(near, abs=4 * np.sqrt(near / 10_000))


def test_all_ahead_gives_an_interval_that_reaches_all() -> None:
    result = outranking([0.99, 0.98, 0.97], OTHERS, seed=1)
    assert (result.chance, result.high) == (1.0, 1.0)
    assert result.low is not None
    # The formula at A = 1 - 1/60, written down a second time.
    a = 1 - 0.5 / 30
    variance = (a * (1 - a) + 2 * (a / (2 - a) - a**2) + 9 * (2 * a**2 / (1 + a) - a**2)) / 30
    reach = 1.959964 * np.sqrt(variance) / (a * (1 - a))
    assert result.low == pytest.approx(1 / (1 + np.exp(reach - np.log(a / (1 - a)))), abs=1e-6)
    behind = outranking([0.01, 0.02, 0.03], OTHERS, seed=1)
    assert (behind.chance, behind.low) == (0.0, 0.0)
    assert behind.high is not None
    assert 0.5 / 30 < behind.high < 1.0


@pytest.mark.parametrize(
    ("adopters", "others", "why"),
    [
        ([0.9, 0.8], OTHERS, "fewer than 3 adopters: no test"),
        ([0.9, 0.8, 0.7], OTHERS[:9], "fewer than 10 others: no test"),
        ([], [], "fewer than 3 adopters: no test"),
    ],
)
def test_too_few_to_test_is_said(adopters: list[float], others: list[float], why: str) -> None:
    result = outranking(adopters, others, seed=1)
    assert result.why == why
    assert (result.chance, result.low, result.high, result.p) == (None, None, None, None)
    assert (result.adopters, result.others) == (len(adopters), len(others))


def test_the_interval_covers_the_chance_to_outrank() -> None:
    rng = np.random.default_rng(7)
    truth = float(stats.norm.cdf(1.0 / np.sqrt(2)))
    held = 0
    for _ in range(300):
        result = outranking(rng.normal(1, 1, 6), rng.normal(0, 1, 30), seed=1)
        assert result.low is not None
        assert result.high is not None
        held += result.low <= truth <= result.high
    assert 0.92 <= held / 300 <= 0.99


def test_a_missing_value_is_refused() -> None:
    with pytest.raises(ValueError, match="missing"):
        outranking([0.9, 0.8, np.nan], OTHERS, seed=1)


def test_top_tail_is_that_of_the_reference_distribution() -> None:
    for k in range(7):
        expected = stats.hypergeom.sf(k - 1, 80, 8, 10)
        assert top_tail(k, 10, 8, 80).chance == pytest.approx(expected, rel=1e-9)
    assert top_tail(9, 10, 8, 80).chance == 0.0
    # 10 of 12 places hold at least 6 of the 8 adopters whatever happens.
    assert top_tail(6, 10, 8, 12).chance == 1.0
    with pytest.raises(ValueError, match="not within 0 to 12"):
        top_tail(1, 13, 8, 12)


def test_holm_is_that_of_the_reference_library_and_leaves_gaps() -> None:
    p = [0.04, 0.01, 0.03, 0.9, 0.01]
    expected = multipletests(p, method="holm")[1]
    assert holm(p) == pytest.approx(expected)
    gapped = holm([0.04, np.nan, 0.01, 0.03, 0.9, 0.01])
    assert np.isnan(gapped[1])
    assert np.delete(gapped, 1) == pytest.approx(expected)
    assert holm([]).size == 0
    with pytest.raises(ValueError, match="outside 0 to 1"):
        holm([1.1])
