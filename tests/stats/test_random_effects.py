"""The naive pooling: cells, weights and limits by their definitions."""

from __future__ import annotations

from math import log

import numpy as np
import pytest
from scipy import stats

from ledger.stats.random_effects import log_odds_ratios, paule_mandel


def test_log_odds_ratios_are_those_of_the_four_cells() -> None:
    y, v = log_odds_ratios([(30, 40, 20, 40)])

    assert y[0] == pytest.approx(log(30 * 20 / (10 * 20)))
    assert v[0] == pytest.approx(1 / 30 + 1 / 10 + 1 / 20 + 1 / 20)


def test_a_half_is_added_only_where_a_cell_is_empty() -> None:
    y, v = log_odds_ratios([(10, 10, 5, 10), (30, 40, 20, 40)])

    assert y[0] == pytest.approx(log(10.5 * 5.5 / (0.5 * 5.5)))
    assert v[0] == pytest.approx(1 / 10.5 + 1 / 0.5 + 1 / 5.5 + 1 / 5.5)
    assert y[1] == pytest.approx(log(3))


def test_alike_estimates_have_no_variance_between_them() -> None:
    found = paule_mandel([0.4, 0.5, 0.6], [0.2, 0.2, 0.2])

    assert (found.tau2, found.i2) == (0.0, 0.0)
    assert found.mean == pytest.approx(0.5)
    assert found.q == pytest.approx(0.1)
    half = stats.t.ppf(0.975, 2) * (0.1 / (2 * 15)) ** 0.5
    assert (found.low, found.high) == pytest.approx((0.5 - half, 0.5 + half))


def test_the_variance_between_brings_q_to_its_degrees_of_freedom() -> None:
    y, v = np.array([-1.0, 0.2, 1.4, 0.9]), np.array([0.05, 0.2, 0.1, 0.02])

    found = paule_mandel(y, v)

    weight = 1 / (v + found.tau2)
    assert float(weight @ (y - found.mean) ** 2) == pytest.approx(3.0)
    assert found.mean == pytest.approx(float(weight @ y / weight.sum()))
    assert found.i2 == pytest.approx((found.q - 3) / found.q)
    assert found.high - found.mean == pytest.approx(
        stats.t.ppf(0.975, 3) * (1 / weight.sum()) ** 0.5
    )


def test_a_very_large_variance_between_is_found_too() -> None:
    found = paule_mandel([-50.0, 50.0], [0.1, 0.1])

    assert found.tau2 == pytest.approx(5000 - 0.1)


def test_estimates_that_are_all_one_have_no_spread() -> None:
    found = paule_mandel([0.3, 0.3], [0.1, 0.4])

    assert (found.q, found.i2, found.low, found.high) == (0.0, 0.0, *[pytest.approx(0.3)] * 2)


@pytest.mark.parametrize(
    ("estimates", "variances"), [([1.0], [0.1]), ([1.0, 2.0], [0.1]), ([1.0, 2.0], [0.1, 0.0])]
)
def test_what_cannot_be_pooled_is_refused(estimates: list[float], variances: list[float]) -> None:
    with pytest.raises(ValueError, match="two estimates or more"):
        paule_mandel(estimates, variances)
