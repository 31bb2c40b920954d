"""What is kept of the tests of keys: one for every action of the registry, by its name."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from textual.pilot import Pilot

from tests.tui.fake_book import FakeBook
from tui.app import OffglassApp

Check = Callable[[OffglassApp, Pilot[int], FakeBook], Awaitable[None]]
CHECKS: dict[str, tuple[str, Check]] = {}


def on(room: str) -> Callable[[Check], Check]:
    """Keep a test of the action of its name, which is tried on that screen."""

    def keep(check: Check) -> Check:
        CHECKS[check.__name__] = (room, check)
        return check

    return keep


def asked(book: FakeBook) -> tuple[object, ...]:
    """The last question that was asked."""
    last: tuple[object, ...] = [what for name, what in book.calls if name == "ask"][-1]
    return last
