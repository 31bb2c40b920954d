"""What was typed and is not stored yet: it goes to the ledger in its order, and none of it is lost.

The screen puts in, the thread of the ledger takes out. Where the ledger is held by somebody else
everything waits in its order; what the ledger refuses comes back as it was typed.
"""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ledger.errors import LedgerBusy, OffglassError
from tui.jobs import fault_words

if TYPE_CHECKING:
    from tui.session import BookLike


@dataclass(frozen=True, slots=True, eq=False)
class Typed:
    """One thing that was typed.

    Attributes:
        text: as it was typed; empty where it is no line that can be typed again.
        store: stores it.
        words: what it is, where it has no text.
    """

    text: str
    store: Callable[[BookLike], Any]
    words: str = ""


@dataclass(frozen=True, slots=True)
class Came:
    """What came of it.

    Attributes:
        typed: what was typed.
        result: what the ledger says of it; none where it was refused.
        refused: why, in one line, or nothing.
    """

    typed: Typed
    result: Any = None
    refused: str = ""


class Outbox:
    """Things typed, in their order, until the ledger has them."""

    def __init__(self) -> None:
        self._waiting: deque[Typed] = deque()
        self._lock = threading.Lock()
        self._at_work = False

    def __len__(self) -> int:
        return len(self._waiting)

    def put(self, typed: Typed) -> None:
        """One more."""
        with self._lock:
            self._waiting.append(typed)

    def take_last(self) -> Typed | None:
        """The last one out again, where it is not being stored."""
        with self._lock:
            return self._waiting.pop() if len(self._waiting) > self._at_work else None

    def untyped(self) -> list[str]:
        """What still waits and cannot be typed again, in words."""
        with self._lock:
            return [typed.words for typed in self._waiting if not typed.text]

    def texts(self) -> list[str]:
        """What still waits, as it was typed."""
        with self._lock:
            return [typed.text for typed in self._waiting]

    def store(self, book: BookLike, over: Callable[[], None] = lambda: None) -> list[Came]:
        """Store all that waits, the first first; in the thread of the ledger.

        Args:
            book: the ledger.
            over: is told each time that one waits no longer.

        Raises:
            LedgerBusy: if somebody else holds it and nothing was stored; everything still waits.
        """
        done: list[Came] = []
        while (first := self._first()) is not None:
            try:
                came = Came(first, first.store(book))
            except LedgerBusy:
                with self._lock:
                    self._at_work = False
                if not done:
                    raise
                return done
            except OffglassError as error:
                came = Came(first, refused=error.message)
            except Exception as error:
                # A fault must not be met again and again: what it met comes back to the screen.
                came = Came(first, refused=fault_words(error))
            self._over()
            over()
            done.append(came)
        return done

    def _first(self) -> Typed | None:
        with self._lock:
            self._at_work = bool(self._waiting)
            return self._waiting[0] if self._waiting else None

    def _over(self) -> None:
        with self._lock:
            self._waiting.popleft()
            self._at_work = False
