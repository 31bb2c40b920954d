from __future__ import annotations

import numpy as np
import pytest

from ledger.stats.worth import (
    RATE_POINTS,
    REBOUND_POINTS,
    TRIPS,
    Known,
    break_even,
    chance_below,
    points,
    worth,
)


@pytest.mark.parametrize("trip", TRIPS)
@pytest.mark.parametrize(("rate", "rebound"), [(0.0, 0.3), (0.62, 0.12), (1.0, 0.3)])
def test_points_are_those_of_played_trips(trip: str, rate: float, rebound: float) -> None:
    rng = np.random.default_rng(7)
    many = 200_000
    shots = (rng.random((many, 3)) < rate).astype(int)
    again = 1.3 * (rng.random(many) < rebound)
    if trip == "one_and_one":
        second = shots[:, 0] & shots[:, 1]
        played = shots[:, 0] + second + np.where(second == 1, 0, again)
    else:
        number = {"one": 1, "two": 2, "three": 3}[trip]
        played = shots[:, :number].sum(axis=1) + np.where(shots[:, number - 1] == 1, 0, again)

    assert points(trip, rate, rebound, 1.3) == pytest.approx(played.mean(), abs=0.01)


@pytest.mark.parametrize("trip", ["two", "three", "one_and_one"])
@pytest.mark.parametrize(("possession", "rebound"), [(0.9, 0.05), (1.1, 0.3), (1.25, 0.8)])
def test_at_the_break_even_rate_the_trip_is_worth_the_possession(
    trip: str, possession: float, rebound: float
) -> None:
    rate = break_even(trip, possession, rebound)

    assert points(trip, rate, rebound, possession) == pytest.approx(possession, abs=1e-12)
    assert points(trip, rate - 0.01, rebound, possession) < possession


def test_one_and_one_breaks_even_also_where_a_miss_brings_a_whole_point() -> None:
    rate = break_even("one_and_one", 1.25, 0.8)

    assert rate == pytest.approx(1.25 * 0.2)
    assert break_even("one_and_one", 1.25, 0.8 + 1e-9) == pytest.approx(rate, abs=1e-6)


def test_fouling_always_pays_where_no_rate_reaches_the_possession() -> None:
    assert break_even("one", 1.10, 0.12) > 1
    assert break_even("one", 1.25, 0.9) == float("inf")
    assert break_even("two", 3.0, 0.7) == float("inf")
    assert break_even("one_and_one", 3.0, 0.5) == float("inf")


def test_another_kind_of_trip_is_refused() -> None:
    with pytest.raises(ValueError, match="no trip 'four'"):
        points("four", 0.5, 0.1, 1.0)
    with pytest.raises(ValueError, match="no trip 'four'"):
        break_even("four", 1.0, 0.1)


def test_what_is_uncertain_of_rate_and_rebounds_is_that_of_random_draws() -> None:
    rng = np.random.default_rng(11)
    rate, rebound = rng.beta(55, 35, 400_000), rng.beta(8.5, 41.5, 400_000)
    drawn = points("one_and_one", rate, rebound, 1.1)
    limits = np.array([break_even("one_and_one", 1.1, r) for r in rebound[:20_000]])

    known = Known.beta(55, 35, RATE_POINTS), Known.beta(8.5, 41.5, REBOUND_POINTS)
    found = worth({"one_and_one": 1.0}, *known, 1.1)
    below = chance_below("one_and_one", *known, 1.1)

    assert found.mean == pytest.approx(drawn.mean(), abs=5e-4)
    low, high = np.quantile(drawn, [0.025, 0.975])
    assert (found.low, found.high) == pytest.approx((low, high), abs=2e-3)
    assert below == pytest.approx((rate[:20_000] < limits).mean(), abs=0.01)


def test_a_mix_is_weighted_by_its_trips() -> None:
    rate, rebound = Known.typed(0.6), Known.typed(0.12)

    mixed = worth({"two": 30.0, "three": 10.0}, rate, rebound, 1.1)

    assert mixed.mean == pytest.approx((3 * 1.2528 + 1.8528) / 4)
    assert (mixed.low, mixed.high) == (None, None)


@pytest.mark.parametrize("mix", [{}, {"two": 0.0}, {"two": 3.0, "three": -1.0}])
def test_a_mix_of_no_trips_is_refused(mix: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="weights"):
        worth(mix, Known.typed(0.5), Known.typed(0.1), 1.0)


def test_a_typed_rate_is_below_or_it_is_not() -> None:
    rebound = Known.typed(0.12)

    assert chance_below("two", Known.typed(0.518), rebound, 1.10) == 1.0
    assert chance_below("two", Known.typed(0.519), rebound, 1.10) == 0.0


def test_a_posterior_says_its_mean_and_limits_and_a_number_itself() -> None:
    known = Known.beta(3, 1, 4)

    # Beta(3, 1) has the distribution function x³.
    assert known.values == pytest.approx((np.array([1, 3, 5, 7]) / 8) ** (1 / 3))
    assert known.mean == 0.75
    assert known.limits == pytest.approx((0.025 ** (1 / 3), 0.975 ** (1 / 3)))
    assert known.below(np.array([-1.0, 0.5, 2.0])) == pytest.approx([0, 0.125, 1])
    assert Known.typed(0.6).limits is None
    assert Known.typed(0.6).mean == 0.6
