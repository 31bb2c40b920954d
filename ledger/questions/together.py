"""What several questions rest on, worked out once while they are asked together.

A story asks a dozen questions of one cohort: most of them start from the same player-seasons, and
two look for the same changes, which takes longer than all the rest. Nothing is kept once the asking
is over, so nothing can grow stale.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any, TypeVar

Found = TypeVar("Found")

_KEPT: ContextVar[dict[Hashable, Any] | None] = ContextVar("kept", default=None)


@contextmanager
def asked_together() -> Iterator[None]:
    """Questions asked inside share what `once` finds; inside another they share with that one."""
    before = _KEPT.set({} if _KEPT.get() is None else _KEPT.get())
    try:
        yield
    finally:
        _KEPT.reset(before)


def once(key: Hashable, find: Callable[[], Found]) -> Found:
    """What `find` gives; found once for a key while questions are asked together.

    Args:
        key: what is found, and everything that it depends on, the ledger and its last change too.
        find: finds it.
    """
    kept = _KEPT.get()
    if kept is None:
        return find()
    if key not in kept:
        kept[key] = find()
    found: Found = kept[key]
    return found
