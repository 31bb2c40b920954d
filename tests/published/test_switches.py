"""Changes of a share, pooling, and the return to the mean, against values from outside.

Sources
- coal-mining disasters, R package boot `coal`: years with one disaster or more (E) and with two or
  more (F); the posterior of one change computed from them in closed form. A to D: own data, closed
  form. The rows with Beta(½, ½) use the product's prior; those with Beta(1, 1) and Beta(25, 12) the
  same function with that prior, and every place allowed.
- R package metafor, tests that reproduce the BCG trials: Q 152.2330, I² 92.1173, tau² of Paule and
  Mandel .3181 (published); mean and limits after Hartung and Knapp computed with metafor.
- Tolbutamide strata, Modern Epidemiology, 3rd ed., as in the tests of metafor: log odds ratio
  .3387 (also in test_tables).
- International Journal of Epidemiology 34 (2005) 215-220, doi 10.1093/ije/dyh299: the formula of
  the return to the mean; the beta-binomial case is a closed form.

Left out, because the product has no such figure: likelihood ratios, the Kolmogorov-Smirnov form
and permutation p of one change, the series of 40 values with its rank test, posterior means of the
shares, pooling with DerSimonian-Laird or fixed effects, the 19 expectancy trials (their data are
not at hand).
"""

from __future__ import annotations

from math import exp

import numpy as np
import pytest
from scipy.special import logsumexp

from ledger.stats.before_after import Before, expected
from ledger.stats.change_points import one_change
from ledger.stats.random_effects import log_odds_ratios, paule_mandel
from tests.published.tables import DATA, columns

JEFFREYS, UNIFORM = (0.5, 0.5), (1.0, 1.0)
# Sequence, prior, likeliest place, its chance, mean place, evidence of a change over none.
ONE_CHANGE = [
    ("A", UNIFORM, 10, 0.1763763116, 10.28159349, 1.610839139),
    ("A", JEFFREYS, 10, 0.1836920769, 10.4803356, 1.377225458),
    ("B", UNIFORM, 6, 0.9970751448, 5.998569956, 888785.9512),
    ("B", (25.0, 12.0), 6, 0.99384154, 5.995528615, 585109.6193),
    ("C", UNIFORM, 5, 0.2338585119, 3.012070117, 0.1625655157),
    ("D", UNIFORM, 1, 0.9990250835, 1.001178087, 7286.868383),
    ("E_coal_ge1", UNIFORM, 46, 0.2857132628, 51.20116306, 343.4289406),
    ("F_coal_ge2", UNIFORM, 41, 0.5541411947, 40.79581863, 14071518.93),
]


def sequence(name: str) -> tuple[list[int], list[int]]:
    rows = (DATA / "changepoint_sequences.csv").read_text(encoding="utf-8").splitlines()[1:]
    mine = [row.split(",") for row in rows if row.startswith(f"{name},")]
    return [int(row[2]) for row in mine], [int(row[3]) for row in mine]


@pytest.mark.parametrize(
    ("name", "prior", "place", "chance", "mean", "ratio"),
    ONE_CHANGE,
    ids=[f"{row[0]}-{row[1][0]:g}" for row in ONE_CHANGE],
)
def test_the_posterior_of_one_change_is_the_known_one(
    name: str, prior: tuple[float, float], place: int, chance: float, mean: float, ratio: float
) -> None:
    evidence = one_change(*sequence(name), prior=prior, least=0)

    whole = float(logsumexp(evidence))
    posterior = np.exp(evidence - whole)
    assert 1 + int(posterior.argmax()) == place
    assert posterior.max() == pytest.approx(chance, abs=1e-7)
    assert posterior @ np.arange(1, len(evidence) + 1) == pytest.approx(mean, abs=1e-6)
    assert exp(whole) / len(evidence) == pytest.approx(ratio, rel=1e-6)


def test_the_trials_of_bcg_are_pooled_to_the_published_variance() -> None:
    data = columns("bcg13.csv")

    found = paule_mandel(data["yi"], data["vi"])

    assert found.q == pytest.approx(152.2330081, abs=1e-4)
    assert 100 * found.i2 == pytest.approx(92.11734685, abs=1e-4)
    assert found.tau2 == pytest.approx(0.3180684522, abs=1e-6)
    assert found.mean == pytest.approx(-0.7149681535, abs=1e-6)
    assert (found.low, found.high) == pytest.approx((-1.109098381, -0.3208379258), abs=1e-6)


def test_variances_of_log_odds_ratios_are_those_of_the_cells() -> None:
    # The same trials as odds ratios: no figure published, only that two counts agree with numpy.
    data = {k: v.astype(int) for k, v in columns("bcg13.csv").items() if k not in ("yi", "vi")}
    tables = [
        (int(a), int(a + b), int(c), int(c + d))
        for a, b, c, d in zip(data["tpos"], data["tneg"], data["cpos"], data["cneg"], strict=True)
    ]

    y, v = log_odds_ratios(tables)

    odds = np.log(data["tpos"] * data["cneg"] / (data["tneg"] * data["cpos"]))
    assert y == pytest.approx(odds)
    assert v == pytest.approx(sum(1 / data[k] for k in ("tpos", "tneg", "cpos", "cneg")))


def test_players_picked_for_a_good_start_return_to_the_mean_as_computed() -> None:
    # Beta(30, 10), 50 attempts, picked at 42 makes or more.
    prior, chance, above = Before(30, 10), {}, 0.0
    for made in range(50, 41, -1):
        # A surprise is what lies above it and half of the makes themselves.
        chance[made] = 2 * (expected(prior, made, 50).surprise - above)
        above += chance[made]

    observed = sum(c * k for k, c in chance.items()) / above / 50
    later = sum(c * Before(30 + k, 60 - k).rate for k, c in chance.items()) / above

    assert above == pytest.approx(0.1953018692, abs=1e-8)
    assert observed == pytest.approx(0.8710551796, abs=1e-8)
    assert later == pytest.approx(0.8172528776, abs=1e-8)
