"""How far a long answer is: a line on stderr, on a terminal only."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

_CLEAR = "\r\x1b[K"


@contextmanager
def shown(*, quiet: bool) -> Iterator[Callable[[float], None] | None]:
    """A line that says how many percent are done and goes away at the end.

    Args:
        quiet: show nothing; nor is anything shown where stderr is no terminal.

    Yields:
        What is told the part that is done, 0..1; None where nothing is shown.
    """
    if quiet or not sys.stderr.isatty():
        yield None
        return
    last = -1

    def progress(part: float) -> None:
        nonlocal last
        percent = int(100 * part)
        if percent != last:
            last = percent
            sys.stderr.write(f"{_CLEAR}{percent} %")
            sys.stderr.flush()

    try:
        yield progress
    finally:
        if last >= 0:
            sys.stderr.write(_CLEAR)
            sys.stderr.flush()
