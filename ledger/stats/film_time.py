r"""Where on the film of a period a moment of its clock is, about.

Formula: the straight line through two known moments \((c, v)\), clock left and seconds of film:
the nearest on either side, else the two nearest. Assumes that the clock stands still equally often
between them; a time-out bends it, so the result is "about" and no measurement. Not to be used
across periods. It needs two moments with different clocks whose film runs on while the clock runs
down. Common practice, no source.

>>> about(500.0, [(600.0, 100.0), (300.0, 700.0)])
300.0
"""

from __future__ import annotations

from collections.abc import Sequence


def about(clock_s: float, known: Sequence[tuple[float, float]]) -> float | None:
    """Seconds of film at which the clock of a period may show a value.

    Args:
        clock_s: seconds left in the period.
        known: seconds left and seconds of film of moments that were found; of several at one clock
            the last counts.

    Returns:
        None where fewer than two moments are known, or they contradict each other.
    """
    moments = dict(known)
    if clock_s in moments:
        return moments[clock_s]
    near = sorted(moments, key=lambda clock: (abs(clock - clock_s), clock))
    if len(near) < 2:
        return None
    first = near[0]
    beyond = [clock for clock in near if (clock > clock_s) != (first > clock_s)]
    second = beyond[0] if beyond else near[1]
    slope = (moments[second] - moments[first]) / (second - first)
    if slope >= 0:
        return None
    return max(0.0, moments[first] + slope * (clock_s - first))
