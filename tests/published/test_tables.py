"""Two-by-two tables: hypergeometric tails, Fisher's test, tables over strata, Holm.

Sources
- tea tasting table, from memory (two .4857, one .2429); a published tool manual's example
  (3 of 300 against 40 of 30 000; .008, from memory); the other tails: closed form.
- Statistical Analysis of Contingency Tables (CRC, 2017), through the tests of its R package
  contingencytables: Fisher .06287 for 0/16 v 15/72; smoking tables 4.5239 and 24.920.
- scipy documentation examples (fisher_exact, barnard_exact, boschloo_exact): less .0640, greater
  .0483.
- Modern Epidemiology, 3rd ed., as in the tests of R package metafor: tolbutamide strata, risk
  difference .0349 (90 %: -.0176 to .0874), log odds ratio .3387; errors computed with metafor.
- Simpson's paradox and the hot hand in basketball. The American Statistician 49(1):24-28 (1995),
  counts as reprinted; Fisher, odds ratio and test computed.
- JRSS B 57:289-300 (1995), doi 10.1111/j.2517-6161.1995.tb02031.x, 15 p values from memory: 3
  rejections by Holm at .05.
"""

from __future__ import annotations

import pytest

from ledger.stats.hypergeometric import fisher_two_sided, upper_tail
from ledger.stats.mantel_haenszel import association, odds_ratio, rate_difference
from ledger.stats.picked_by_result import picked_by_result
from ledger.stats.rank_test import holm, top_tail

TWO_SIDED = [
    ((3, 1, 1, 3), 0.4857142857),
    ((0, 16, 15, 57), 0.06286666463),
    ((7, 12, 8, 3), 0.128135932),
    ((74, 31, 43, 32), 0.08179467495),
    ((9, 4, 4, 10), 0.05698264559),
    ((251, 34, 48, 5), 0.8149126756),
    ((54, 37, 49, 31), 0.8758774372),
    ((305, 71, 97, 36), 0.06270047041),
]


@pytest.mark.parametrize(("table", "p"), TWO_SIDED)
def test_two_sided_fisher_is_the_known_one(table: tuple[int, int, int, int], p: float) -> None:
    a, b, c, d = table
    assert fisher_two_sided([a], [b], [c], [d])[0] == pytest.approx(p, abs=1e-9)


def test_two_sided_fisher_of_all_tables_at_once_is_the_same() -> None:
    a, b, c, d = zip(*(table for table, _ in TWO_SIDED), strict=True)
    assert fisher_two_sided(a, b, c, d) == pytest.approx([p for _, p in TWO_SIDED], abs=1e-9)


def test_picking_by_result_is_judged_by_the_known_fisher_p() -> None:
    # Makes: 251 of 285 watched; misses: 48 of 53.
    found = picked_by_result([251], [285], [48], [53])
    assert found.p[0] == pytest.approx(0.8149126756, abs=1e-9)
    assert not found.flagged[0]


@pytest.mark.parametrize(
    ("table", "greater", "less"),
    [
        ((3, 1, 1, 3), 0.2428571429, 0.9857142857),
        ((0, 16, 15, 57), 1.0, 0.03641394686),
        ((7, 12, 8, 3), 0.9895302349, 0.06406796602),
        ((74, 31, 43, 32), 0.04831221009, 0.9759961282),
        ((9, 4, 4, 10), 0.04123480056, 0.9944469372),
    ],
)
def test_one_sided_tails_are_the_known_ones(
    table: tuple[int, int, int, int], greater: float, less: float
) -> None:
    a, b, c, d = table
    total = a + b + c + d
    assert upper_tail(a, a + b, a + c, total) == pytest.approx(greater, abs=1e-9)
    assert upper_tail(b, a + b, b + d, total) == pytest.approx(less, abs=1e-9)


@pytest.mark.parametrize(
    ("k", "adopters", "n", "rows", "chance", "tolerance"),
    [
        (3, 4, 4, 8, 0.2428571429, 1e-9),
        (3, 40, 300, 30_000, 0.007442533082, 1e-9),
        (6, 15, 10, 60, 0.01118963305, 1e-10),
        (7, 25, 20, 200, 0.005280765812, 1e-11),
        (0, 3, 5, 40, 1.0, 0.0),
        (5, 5, 5, 30, 7.017248397e-06, 1e-14),
        (3, 43, 300, 30_300, 0.008852825204, 1e-10),  # Fisher, greater, of 3, 297, 40, 29960
    ],
)
def test_chance_of_so_many_in_the_top_is_the_known_one(
    k: int, adopters: int, n: int, rows: int, chance: float, tolerance: float
) -> None:
    tail = top_tail(k, n, adopters, rows)
    assert tail.chance == pytest.approx(chance, abs=tolerance)
    assert tail.base_rate == pytest.approx(adopters / rows)
    assert tail.expected == pytest.approx(n * adopters / rows)


def test_tolbutamide_strata() -> None:
    difference = rate_difference([8, 22], [106, 98], [5, 16], [120, 85], level=0.90)
    assert difference.difference == pytest.approx(0.0349002693, abs=1e-9)
    assert difference.error == pytest.approx(0.0319026859, abs=1e-9)
    assert difference.low == pytest.approx(-0.0175749793, abs=1e-9)
    assert difference.high == pytest.approx(0.0873755179, abs=1e-9)
    pooled = odds_ratio([8, 22], [98, 76], [5, 16], [115, 69])
    assert pooled.log_odds_ratio == pytest.approx(0.338718671, abs=1e-8)
    assert pooled.error == pytest.approx(0.311154467, abs=1e-8)


def test_smoking_strata() -> None:
    tables = ([647, 41], [622, 28], [2, 19], [27, 32])
    assert odds_ratio(*tables).odds_ratio == pytest.approx(4.52391476, abs=1e-7)
    assert association(*tables).chi2 == pytest.approx(24.9200245, abs=1e-6)


def test_hot_hand_strata() -> None:
    tables = ([251, 54], [34, 37], [48, 49], [5, 31])
    assert odds_ratio(*tables).odds_ratio == pytest.approx(0.8750384026, abs=1e-9)
    test = association(*tables)
    assert (test.chi2, test.p) == pytest.approx((0.2506774571, 0.6165984626), abs=1e-9)


def test_holm_rejects_three_of_the_fifteen() -> None:
    p = [0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344]
    p += [0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.0]
    assert (holm(p) <= 0.05).sum() == 3
    assert holm(p)[:4] == pytest.approx([0.0015, 0.0056, 0.0247, 0.114])
