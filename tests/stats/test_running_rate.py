from __future__ import annotations

import numpy as np
import pytest
from statsmodels.stats.proportion import proportion_confint

from ledger.stats.running_rate import running


def test_the_window_is_the_last_fifty_and_its_limits_are_wilsons() -> None:
    lot = np.random.default_rng(5)
    made = lot.random(240) < 0.7
    game = np.repeat(np.arange(40), 6)

    points = running(made, game, [True] * 40)

    for at in (1, 8, 9, 25, 39):
        end = 6 * (at + 1)
        window = made[max(0, end - 50) : end]
        assert points.attempts[at] == len(window)
        assert points.rate[at] == pytest.approx(window.mean())
        low, high = proportion_confint(window.sum(), len(window), method="wilson")
        assert (points.low[at], points.high[at]) == pytest.approx((low, high))


def test_fewer_than_ten_attempts_give_none() -> None:
    points = running([1] * 10, [0] * 9 + [1], [True, True])

    assert np.isnan([points.rate[0], points.low[0], points.high[0]]).all()
    assert points.rate[1] == 1.0


def test_inside_a_game_of_unknown_order_the_window_takes_its_proportion() -> None:
    made = [1] * 10 + [0] * 10 + [1] * 45

    known = running(made, [0] * 20 + [1] * 45, [True, True])
    unknown = running(made, [0] * 20 + [1] * 45, [False, True])

    assert known.rate[1] == pytest.approx(45 / 50)
    assert unknown.rate[1] == pytest.approx(47.5 / 50)


def test_no_game_gives_no_point() -> None:
    assert running([], [], []).rate.size == 0
