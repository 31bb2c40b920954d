"""Which ledgers this process holds open, so that none is ever opened twice at once.

A POSIX lock is lost as soon as the same process opens and closes the file once more: whoever wants
a file first makes an idle holder in this process let go, and never touches it while one is busy.
"""

from __future__ import annotations

import os
import threading
import weakref
from typing import Protocol


class Holding(Protocol):
    """Somebody who may hold a connection and can be asked to close it."""

    def release(self) -> bool:
        """Close an idle connection; False if it is in use."""
        ...


Key = tuple[int, int]

_guard = threading.Lock()
_holders: dict[Key, list[weakref.ref[Holding]]] = {}
_looked_over: dict[Key, tuple[int, int]] = {}


def key_of(path: str) -> Key:
    """What tells one file from another, whatever its names.

    Raises:
        OSError: if there is no such file.
    """
    found = os.stat(path)
    return (found.st_dev, found.st_ino)


def clear_the_way(key: Key, mine: Holding) -> bool:
    """Make every other holder of the file in this process let go.

    Returns:
        False if one of them is busy.
    """
    with _guard:
        others = [h for h in (r() for r in _holders.get(key, [])) if h is not None]
    return all(other.release() for other in others if other is not mine)


def add(key: Key, mine: Holding) -> None:
    """Enter a holder."""
    with _guard:
        _holders.setdefault(key, []).append(weakref.ref(mine))


def drop(key: Key, mine: Holding) -> None:
    """Strike a holder out."""
    with _guard:
        left = [r for r in _holders.get(key, []) if r() not in (None, mine)]
        if left:
            _holders[key] = left
        else:
            _holders.pop(key, None)


def seen_as(path: str) -> tuple[int, int]:
    """Size and time of change: the file as it was looked over."""
    found = os.stat(path)
    return (found.st_size, found.st_mtime_ns)


def looked_over(key: Key, path: str) -> bool:
    """Whether this process has looked the file over and nobody has written to it since."""
    return _looked_over.get(key) == seen_as(path)


def mark(key: Key, path: str) -> None:
    """Note the file as looked over, as it is now."""
    _looked_over[key] = seen_as(path)
