"""Keys that come faster than anybody types: a text pasted into a terminal that does not say so."""

from __future__ import annotations

from collections.abc import Sequence

# More than this many keys in this time are no typing; common practice, no source.
MOST_KEYS = 8
WITHIN_S = 0.05


def is_burst(times: Sequence[float]) -> bool:
    """Whether some of the keys that came at these times (in order) are a burst.

    >>> is_burst([k * 0.01 for k in range(200)]), is_burst([k * 0.005 for k in range(9)])
    (False, True)
    """
    pairs = zip(times, times[MOST_KEYS:], strict=False)
    return any(0 <= last - first < WITHIN_S for first, last in pairs)


def was_typed(times: Sequence[float]) -> bool:
    """Whether keys that look like a burst came no faster than keys can be typed, taken together.

    A busy machine hands on at once what was typed one after another: then there was time enough.

    >>> was_typed([0.0] * 9), was_typed([*[0.0] * 9, *(0.01 * n for n in range(1, 40))])
    (False, True)
    """
    return len(times) > MOST_KEYS and (len(times) - 1) * WITHIN_S <= MOST_KEYS * (
        times[-1] - times[0]
    )


def run_length(times: Sequence[float]) -> int:
    """How many keys at the end came without a pause between them."""
    count = 1 if times else 0
    for before, after in zip(reversed(times[:-1]), reversed(times[1:]), strict=True):
        if not 0 <= after - before < WITHIN_S:
            break
        count += 1
    return count
