"""Worth of a trip and break-even of a foul against computed check values.

Source: the rules of the game (free throws of one point each, rebound of the last one live); the
figures were computed by hand from them and are not published. V = 1.10 points per possession and
r = .12 offensive rebounds.
"""

from __future__ import annotations

import pytest

from ledger.stats.worth import break_even, points

POSSESSION, REBOUND = 1.10, 0.12


@pytest.mark.parametrize(
    ("trip", "rate"), [("two", 0.518201), ("three", 0.337517), ("one_and_one", 0.626887)]
)
def test_fouling_breaks_even_at_the_computed_rate(trip: str, rate: float) -> None:
    assert break_even(trip, POSSESSION, REBOUND) == pytest.approx(rate, abs=1e-6)


@pytest.mark.parametrize(
    ("rate", "trip", "per_100"),
    [
        (0.60, "two", 125.28),
        (0.60, "one_and_one", 104.448),
        (0.60, "three", 185.28),
        (0.75, "two", 153.30),
        (0.75, "one_and_one", 137.025),
        (0.75, "three", 228.30),
    ],
)
def test_a_hundred_trips_bring_the_computed_points(rate: float, trip: str, per_100: float) -> None:
    assert 100 * points(trip, rate, REBOUND, POSSESSION) == pytest.approx(per_100, abs=1e-9)
