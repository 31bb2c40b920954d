"""Keys that come faster than anybody types: a text pasted into a terminal that does not say so."""

from __future__ import annotations

from collections.abc import Sequence

# More than this many keys in this time are no typing; common practice, no source.
MOST_KEYS = 8
WITHIN_S = 0.05
# So many keys tell a pace. No hand types so many a second, and no key that is held down repeats so
# fast: a program drives the keyboard. No machine is busy for longer. Common practice, no source.
_PACE_KEYS = 16
_BY_MACHINE = 60.0
_LONGEST_STALL_S = 1.0


def is_burst(times: Sequence[float]) -> bool:
    """Whether some of the keys that came at these times (in order) are a burst.

    >>> is_burst([k * 0.01 for k in range(200)]), is_burst([k * 0.005 for k in range(9)])
    (False, True)
    """
    pairs = zip(times, times[MOST_KEYS:], strict=False)
    return any(0 <= last - first < WITHIN_S for first, last in pairs)


def was_typed(run: Sequence[float], before: Sequence[float] = ()) -> bool:
    """Whether keys that look like a burst were typed one after another.

    A busy machine hands on at once what came while it was busy. It was typed where, all in all,
    there was time enough; or where the keys before came quickly but one by one, and as many could
    have come meanwhile.

    Args:
        run: when the keys of the burst came.
        before: when the last keys before them came.

    >>> was_typed([0.0] * 9), was_typed([*[0.0] * 9, *(0.01 * n for n in range(1, 40))])
    (False, True)
    >>> quick, slow = [0.01 * n for n in range(32)], [0.2 * n for n in range(32)]
    >>> was_typed([0.61] * 30, quick), was_typed([0.61] * 90, quick), was_typed([6.5] * 30, slow)
    (True, False, False)
    """
    if len(run) <= MOST_KEYS:
        return False
    if (len(run) - 1) * WITHIN_S <= MOST_KEYS * (run[-1] - run[0]):
        return True
    if len(before) < _PACE_KEYS or before[-1] <= before[0]:
        return False
    pace, gap = (len(before) - 1) / (before[-1] - before[0]), run[0] - before[-1]
    is_quick = _BY_MACHINE <= pace <= MOST_KEYS / WITHIN_S
    return is_quick and gap <= _LONGEST_STALL_S and len(run) <= MOST_KEYS + 1.5 * pace * gap


def run_length(times: Sequence[float]) -> int:
    """How many keys at the end came without a pause between them."""
    count = 1 if times else 0
    for before, after in zip(reversed(times[:-1]), reversed(times[1:]), strict=True):
        if not 0 <= after - before < WITHIN_S:
            break
        count += 1
    return count
