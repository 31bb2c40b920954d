"""Wilson and Newcombe intervals against published examples.

Sources
- two-sided confidence intervals for the single proportion: comparison of seven methods.
  Statistics in Medicine 17:857-872 (1998), doi 10.1002/(SICI)1097-0258(19980430)17:8<857::
  AID-SIM777>3.0.CO;2-E (printed figures from memory): 81/263, 15/148, 0/20, 1/29.
- Statistical Analysis of Contingency Tables (CRC, 2017), through the tests of its R package
  contingencytables: 13/16; 7/34 v 1/34; 0/16 v 15/72 (last one: data only, computed).
- Interval estimation for the difference between independent proportions: comparison of eleven
  methods. Statistics in Medicine 17:873-890 (1998), also R package ratesci, published-example
  tests: 56/70 v 48/80 and 9/10 v 3/10; the others printed there, from memory.
- Simpson's paradox and the hot hand in basketball. The American Statistician 49(1):24-28 (1995),
  counts as reprinted, limits computed.

Not here, because no figure of the product rests on them: the other intervals of one rate
(Jeffreys, exact, mid-P, adjusted) and of a difference (score methods), paired and unconditional
tests, James-Stein estimates, moment and fully Bayesian fits of the rat data. Not here, because
they belong to answers of their own: change points, meta-analysis of effects, diffusion and
survival, agreement of taggers, sample sizes and sequential plans.
"""

from __future__ import annotations

import pytest

from ledger.stats.intervals import newcombe, wilson


@pytest.mark.parametrize(
    ("made", "attempts", "low", "high"),
    [
        (81, 263, 0.2552885199, 0.366209577),
        (15, 148, 0.06238639953, 0.1604872417),
        (0, 20, 0.0, 0.1611251581),
        (1, 29, 0.006113214293, 0.1717552188),
        (13, 16, 0.5699111904, 0.9340840093),
    ],
)
def test_the_interval_of_a_rate_is_the_published_wilson_interval(
    made: int, attempts: int, low: float, high: float
) -> None:
    interval = wilson(made, attempts)
    assert (interval.low, interval.high) == pytest.approx((low, high), abs=1e-8)


@pytest.mark.parametrize(
    ("first", "second", "low", "high"),
    [
        ((56, 70), (48, 80), 0.0524314724, 0.333872654),
        ((9, 10), (3, 10), 0.1705227239, 0.8090179735),
        ((7, 34), (1, 34), 0.01892144389, 0.340368687),
        ((0, 16), (15, 72), -0.3156926342, 0.0003261098746),
        ((6, 7), (2, 7), 0.05822792748, 0.8062496375),
        ((0, 10), (0, 20), -0.1611251581, 0.2775327999),
        ((10, 10), (0, 20), 0.6790860371, 1.0),
        ((251, 285), (48, 53), -0.0933590988, 0.08806061155),
        ((54, 91), (49, 80), -0.1619262758, 0.1260162781),
        ((305, 376), (97, 133), 0.001348330546, 0.1707688232),
    ],
)
def test_the_interval_of_a_difference_is_the_published_hybrid_score_interval(
    first: tuple[int, int], second: tuple[int, int], low: float, high: float
) -> None:
    interval = newcombe(*first, *second)
    assert (interval.low, interval.high) == pytest.approx((low, high), abs=1e-8)


def test_before_and_after_of_the_method_note() -> None:
    # Computed: 28 of 50, then 82 of 100.
    interval = newcombe(82, 100, 28, 50)
    assert (interval.low, interval.high) == pytest.approx((0.10510, 0.41074), abs=5e-6)
