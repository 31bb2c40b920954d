"""What a trip to the line is worth in points, and below which rate a deliberate foul pays.

p is the make rate, shots of a trip independent; r the chance that the offence rebounds a live miss
(the trip's last shot), W the points of the continued possession:

    one shot     p + (1−p) r W          two   2p + (1−p) r W          three   3p + (1−p) r W
    one-and-one  p + p² + (1−p²) r W

With V points per possession and W = V, fouling pays below the rate at which the trip is worth V:
two shots V(1−r)/(2−rV), three V(1−r)/(3−rV), one shot V(1−r)/(1−rV), one-and-one
[−1 + √(1 + 4(1−rV)V(1−r))] / (2(1−rV)). Above 1 it always pays, on these numbers.

Left out: the clock, foul trouble, points after the rebound of the other side, fatigue.

Common practice, no source: the identity of points and possessions; computed from the rules of the
game.

>>> round(break_even("two", 1.10, 0.12), 6), round(break_even("one_and_one", 1.10, 0.12), 6)
(0.518201, 0.626887)
>>> round(float(100 * points("two", 0.60, 0.12, 1.10)), 2)
125.28
"""

from __future__ import annotations

from typing import overload

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

TRIPS = ("one", "two", "three", "one_and_one")
_SHOTS = {"one": 1, "two": 2, "three": 3}


@overload
def points(trip: str, rate: float, rebound: float, possession: float) -> float: ...
@overload
def points(trip: str, rate: Floats, rebound: Floats | float, possession: float) -> Floats: ...
def points(
    trip: str, rate: Floats | float, rebound: Floats | float, possession: float
) -> Floats | float:
    """Expected points of one trip.

    Args:
        trip: one of `TRIPS`.
        rate: make rate, 0..1, a number or an array.
        rebound: chance that the offence rebounds a live miss, 0..1.
        possession: points of the possession that then goes on.

    Raises:
        ValueError: for another kind of trip.
    """
    again = rebound * possession
    if trip == "one_and_one":
        return rate + rate**2 + (1 - rate**2) * again
    return _shots(trip) * rate + (1 - rate) * again


def break_even(trip: str, possession: float, rebound: float) -> float:
    """The make rate below which a deliberate foul pays; above 1 it always does.

    Args:
        trip: one of `TRIPS`.
        possession: points per possession, above 0.
        rebound: chance that the offence rebounds a live miss, 0..1.

    Raises:
        ValueError: for another kind of trip, or r·V of 1 or more: no rate breaks even then.
    """
    again = rebound * possession
    if again >= 1:
        raise ValueError("rebounds give more back than a shot is worth: no rate breaks even")
    needed = possession * (1 - rebound)
    if trip == "one_and_one":
        root = np.sqrt(1 + 4 * (1 - again) * needed)
        return float((root - 1) / (2 * (1 - again)))
    return float(needed / (_shots(trip) - again))


def _shots(trip: str) -> int:
    if trip not in _SHOTS:
        raise ValueError(f"no trip {trip!r}: one of {', '.join(TRIPS)}")
    return _SHOTS[trip]
