"""What a trip to the line is worth in points, and below which rate a deliberate foul pays.

p is the make rate, shots of a trip independent; r the chance that the offence rebounds a live miss
(the trip's last shot), W the points of the continued possession:

    one shot     p + (1−p) r W          two   2p + (1−p) r W          three   3p + (1−p) r W
    one-and-one  p + p² + (1−p²) r W

With V points per possession and W = V, fouling pays below the rate at which the trip is worth V:
two shots V(1−r)/(2−rV), three V(1−r)/(3−rV), one shot V(1−r)/(1−rV), one-and-one
[−1 + √(1 + 4(1−rV)V(1−r))] / (2(1−rV)), here in the form 2V(1−r) / (1 + √(1 + 4(1−rV)V(1−r))),
which holds at rV = 1 too. Above 1 it always pays, on these numbers.

p and r enter as what is known of them: `Known` holds a number, or a Beta posterior by its midpoint
quantiles (400 for p, 100 for r, independent of each other); no random draw is made.

Left out: the clock, foul trouble, points after the rebound of the other side, fatigue.

Common practice, no source: the identity of points and possessions; computed from the rules of the
game.

>>> round(break_even("two", 1.10, 0.12), 6), round(break_even("one_and_one", 1.10, 0.12), 6)
(0.518201, 0.626887)
>>> round(float(100 * points("two", 0.60, 0.12, 1.10)), 2)
125.28
>>> two = worth({"two": 1.0}, Known.beta(55, 35, RATE_POINTS), Known.typed(0.12), 1.10)
>>> round(two.mean, 3), two.low < two.mean < two.high
(1.274, True)
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Self, overload

import numpy as np
from numpy.typing import NDArray
from scipy.special import betainc, betaincinv

from ledger.stats.before_after import weighted_quantiles

Floats = NDArray[np.float64]

TRIPS = ("one", "two", "three", "one_and_one")
RATE_POINTS = 400
REBOUND_POINTS = 100
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
    """The make rate below which a deliberate foul pays; above 1 (or infinite) it always does.

    Args:
        trip: one of `TRIPS`.
        possession: points per possession, above 0.
        rebound: chance that the offence rebounds a live miss, 0..1.

    Raises:
        ValueError: for another kind of trip.
    """
    again = rebound * possession
    needed = possession * (1 - rebound)
    if trip == "one_and_one":
        inside = 1 + 4 * (1 - again) * needed
        return float(2 * needed / (1 + np.sqrt(inside))) if inside >= 0 else float("inf")
    room = _shots(trip) - again
    # Without room a make adds nothing to what a miss brings, and no rate reaches the possession.
    return float(needed / room) if room > 0 else float("inf")


@dataclass(frozen=True, slots=True, eq=False)
class Known:
    """What is known of a chance: one number, or its posterior.

    Attributes:
        values: the number, or midpoint quantiles of the posterior, each as likely.
        shape: (a, b) of a Beta posterior, None for a number.
    """

    values: Floats
    shape: tuple[float, float] | None

    @classmethod
    def typed(cls, value: float) -> Self:
        """A number somebody gave."""
        return cls(np.array([value]), None)

    @classmethod
    def beta(cls, a: float, b: float, number: int) -> Self:
        """The posterior Beta(a, b), by `number` midpoint quantiles."""
        return cls(betaincinv(a, b, (np.arange(number) + 0.5) / number), (a, b))

    @property
    def mean(self) -> float:
        """The number, or the mean of the posterior."""
        if self.shape is None:
            return float(self.values[0])
        a, b = self.shape
        return a / (a + b)

    @property
    def limits(self) -> tuple[float, float] | None:
        """Equal-tailed 95 % limits; None for a number."""
        if self.shape is None:
            return None
        low, high = betaincinv(*self.shape, np.array([0.025, 0.975]))
        return float(low), float(high)

    def below(self, limits: Floats) -> Floats:
        """The chance to be below each of some limits."""
        if self.shape is None:
            result: Floats = (self.values[0] < limits).astype(np.float64)
        else:
            result = betainc(*self.shape, np.clip(limits, 0.0, 1.0))
        return result


@dataclass(frozen=True, slots=True)
class Worth:
    """Points of a trip: mean and 95 % limits; limits None where nothing is uncertain."""

    mean: float
    low: float | None
    high: float | None


def worth(mix: Mapping[str, float], rate: Known, rebound: Known, possession: float) -> Worth:
    """Points of a trip, or of a mix of trips.

    Args:
        mix: kinds of trip, each with its weight: how many trips of it there were.
        rate: what is known of the make rate.
        rebound: what is known of the chance of an offensive rebound.
        possession: points of the possession that then goes on.

    Raises:
        ValueError: for an unknown kind, or weights that are negative or all 0.
    """
    total = sum(mix.values())
    if total <= 0 or min(mix.values()) < 0:
        raise ValueError("weights are numbers of trips, one of them at least above 0")
    p, r = rate.values[:, None], rebound.values[None, :]
    spread: Floats = np.zeros((len(rate.values), len(rebound.values)))
    for trip, weight in mix.items():
        spread += weight / total * points(trip, p, r, possession)
    mean = float(spread.mean())
    if spread.size == 1:
        return Worth(mean, None, None)
    low, high = weighted_quantiles(spread, np.ones_like(spread), (0.025, 0.975))
    return Worth(mean, low, high)


def chance_below(trip: str, rate: Known, rebound: Known, possession: float) -> float:
    """The chance that the rate is below the rate at which a deliberate foul breaks even."""
    limits = np.array([break_even(trip, possession, float(r)) for r in rebound.values])
    return float(rate.below(limits).mean())


def _shots(trip: str) -> int:
    if trip not in _SHOTS:
        raise ValueError(f"no trip {trip!r}: one of {', '.join(TRIPS)}")
    return _SHOTS[trip]
