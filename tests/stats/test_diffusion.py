from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize

from ledger.stats import diffusion
from ledger.stats.diffusion import (
    WHY_FEW,
    WHY_NO_FIT,
    WHY_NOBODY,
    WHY_PEAK,
    by_least_squares,
    by_regression,
    fit,
    maximum_likelihood,
    peak,
    refusal,
    share_by,
)

RISEN_AND_FALLEN = [1, 3, 6, 9, 7, 3, 1, 0, 0]


def spread(rng: np.random.Generator, ceiling: float, people: int, seasons: int) -> list[int]:
    reached = ceiling * share_by(np.arange(seasons + 1.0), 0.02, 0.6)
    chances = np.append(np.diff(reached), 1.0 - reached[-1])
    return [int(n) for n in rng.multinomial(people, chances)[:-1]]


def test_the_curve_solves_its_own_equation() -> None:
    p, q, h = 0.03, 0.38, 1e-5
    for t in (0.0, 2.0, 9.0):
        slope = (share_by(t + h, p, q) - share_by(t - h, p, q)) / (2 * h)
        share = share_by(t, p, q)
        assert slope == pytest.approx((p + q * share) * (1 - share), rel=1e-6)
    assert share_by(0.0, p, q) == 0.0
    assert share_by(3.0, 0.0, 0.5) == 0.0


def test_most_adopt_at_the_peak() -> None:
    top = optimize.minimize_scalar(
        lambda t: share_by(t - 0.01, 0.03, 0.38) - share_by(t + 0.01, 0.03, 0.38),
        bounds=(0, 20), method="bounded",
    ).x  # fmt: skip
    assert top == pytest.approx(peak(0.03, 0.38), abs=1e-3)
    assert peak(0.4, 0.1) == 0.0


@pytest.mark.parametrize(
    ("adopters", "why"),
    [
        ([1, 2, 5, 9, 4, 2, 1], WHY_FEW),
        ([0] * 9, WHY_NOBODY),
        ([9, 0, 0, 0, 0, 0, 0, 0], WHY_NOBODY),
        ([1, 2, 3, 4, 5, 6, 7, 8], WHY_PEAK),
        ([1, 2, 3, 4, 5, 9, 8, 9], WHY_PEAK),
        ([1, 2, 3, 4, 5, 6, 9, 8], WHY_PEAK),
        ([1, 2, 3, 4, 5, 9, 8, 8], WHY_PEAK),
        ([1, 2, 3, 4, 5, 9, 9, 8], WHY_PEAK),
        ([9, 1, 0, 0, 0, 0, 3, 9], WHY_PEAK),
        ([1, 2, 3, 4, 5, 9, 8, 7], ""),
        ([0, 0, 0, 0, 0, 9, 0, 0], ""),
        (RISEN_AND_FALLEN, ""),
    ],
)
def test_a_ceiling_is_told_only_once_the_peak_is_passed(adopters: list[int], why: str) -> None:
    assert refusal(adopters) == why
    if why:
        found = fit(adopters, [len(adopters)] * 50)
        assert (found.ceiling, found.low, found.high, found.why) == (None, None, None, why)


def test_the_fit_is_the_most_likely_and_its_limits_hold_it() -> None:
    others = [9] * 70

    found = fit(RISEN_AND_FALLEN, others)

    assert found.p is not None
    assert found.q is not None
    assert found.ceiling is not None
    assert found.low is not None
    assert found.high is not None
    assert found.low < found.ceiling < found.high
    # Hardly anybody is left below it: the ceiling is near the 30 of 100 seen.
    assert found.ceiling == pytest.approx(0.30, abs=0.01)
    least = minus_log(RISEN_AND_FALLEN, 70, found.p, found.q, found.ceiling)
    for factor in (0.9, 1.1):
        assert minus_log(RISEN_AND_FALLEN, 70, found.p * factor, found.q, found.ceiling) > least
        assert minus_log(RISEN_AND_FALLEN, 70, found.p, found.q * factor, found.ceiling) > least
        assert minus_log(RISEN_AND_FALLEN, 70, found.p, found.q, found.ceiling * factor) > least
    # At a limit the best curve is half a χ² quantile less likely.
    for limit in (found.low, found.high):
        best = maximum_likelihood(RISEN_AND_FALLEN, others, ceiling=limit)
        off = minus_log(RISEN_AND_FALLEN, 70, best.p, best.q, limit) - least
        assert off == pytest.approx(3.841 / 2, abs=0.02)


def minus_log(adopters: list[int], never: int, p: float, q: float, ceiling: float) -> float:
    steps = np.diff(share_by(np.arange(len(adopters) + 1.0), p, q)) * ceiling
    told = sum(n * np.log(s) for n, s in zip(adopters, steps, strict=True) if n)
    return -float(told + never * np.log(1.0 - steps.sum()))


@pytest.mark.parametrize(
    "adopters",
    [
        [20, 1, 0, 0, 0, 0, 0, 0],
        [0, 0, 0, 0, 0, 9, 0, 0],
        [5, 0, 0, 0, 0, 2, 1, 0],
        [40, 3, 1] + [0] * 9,
    ],
)
def test_extreme_numbers_give_figures_and_no_warning(adopters: list[int]) -> None:
    found = fit(adopters, [len(adopters)] * 5)

    assert found.ceiling is not None
    assert found.low is not None
    assert found.high is not None
    assert 0 < found.low <= found.ceiling <= found.high <= 1


def test_a_player_seen_no_longer_counts_up_to_his_last_season() -> None:
    early = maximum_likelihood(RISEN_AND_FALLEN, [9] * 35 + [1] * 35)
    late = maximum_likelihood(RISEN_AND_FALLEN, [9] * 70)

    assert early.ceiling > late.ceiling + 0.1
    # One last seen before the first season tells nothing.
    nothing = maximum_likelihood(RISEN_AND_FALLEN, [9] * 70 + [0] * 20)
    assert nothing.ceiling == pytest.approx(late.ceiling, abs=1e-5)


def test_limits_of_the_ceiling_hold_the_truth_about_as_often_as_they_say() -> None:
    rng = np.random.default_rng(4)
    held = tried = 0
    while tried < 15:
        adopters = spread(rng, 0.4, 200, 14)
        if refusal(adopters):
            continue
        found = fit(adopters, [14] * (200 - sum(adopters)))
        tried += 1
        assert found.low is not None
        assert found.high is not None
        held += found.low <= 0.4 <= found.high

    # 95 %: fewer than 12 of 15 in one case of 180.
    assert held >= 12


def test_least_squares_find_the_curve_that_made_the_numbers() -> None:
    made = 500 * np.diff(share_by(np.arange(13.0), 0.02, 0.5))

    found = by_least_squares(made)

    assert (found.p, found.q) == pytest.approx((0.02, 0.5), rel=1e-5)
    assert found.ceiling == pytest.approx(500, rel=1e-6)


def test_numbers_of_another_shape_are_refused() -> None:
    with pytest.raises(ValueError, match=WHY_NO_FIT):
        by_regression([1, 4, 20, 100])
    with pytest.raises(ValueError, match="nobody has adopted"):
        maximum_likelihood([0, 0], [2])
    with pytest.raises(ValueError, match="season 0 to 2"):
        maximum_likelihood([1, 1], [3])
    assert diffusion.MIN_SEASONS == 8
