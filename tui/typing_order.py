"""Keys one after another: each is done with, windows opened and all, before the next is given.

Textual hands a key to whatever has the focus when it arrives. A quick typist's second key would
reach the screen below a window that the first one is only opening, and be lost or do harm.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Awaitable, Callable, Sequence
from itertools import dropwhile
from time import monotonic
from typing import TYPE_CHECKING, Any, Protocol, runtime_checkable

from textual import events
from textual.message_pump import MessagePump
from textual.screen import ModalScreen, Screen
from textual.widgets import Input

from tui.bursts import MOST_KEYS, is_burst, run_length, was_typed

if TYPE_CHECKING:
    from textual.app import App

Typed = events.Key | events.Paste
# A widget that never answers must not swallow the keyboard.
_PATIENCE_S = 0.5
# A pasted text is over when no key has come for so long.
_QUIET_S = 0.15
# So many of the last keys tell how fast somebody types, and so many are told from a burst.
_BEFORE_KEYS = 32
_KNOWN_KEYS = 256
# No line to type in takes more of a pasted line: no field of a file may be longer either.
_LONGEST = 10_000


@runtime_checkable
class AsksAboutBursts(Protocol):
    """A screen that wants to ask before keys are taken that nobody can have typed."""

    def ask_about_burst(self, given: Sequence[Typed], held: Sequence[Typed]) -> None:
        """Ask about keys that came at once.

        Args:
            given: the first of them, which were given before the burst showed.
            held: the others, none of which was given to anybody.
        """


class TypingOrder:
    """Holds keys back until the one before has run its way through widgets, screen and app.

    Args:
        app: the app the keys are for.
        deliver: hands one of them to the app.
    """

    def __init__(self, app: App[Any], deliver: Callable[[Typed], Awaitable[None]]) -> None:
        self._app = app
        self._deliver = deliver
        self._waiting: deque[Typed] = deque()
        self._turn = 0
        self._under_way = False
        # The last keys that were given, and to which screen; how many of those waiting were asked
        # about.
        self._given: deque[tuple[Typed, Screen[Any]]] = deque(maxlen=MOST_KEYS)
        self._trusted = 0
        self._held: list[Typed] | None = None
        self._last_came = 0.0
        # When the last keys came; while some are held back, their run and the keys before it.
        self._times: deque[float] = deque(maxlen=_KNOWN_KEYS)
        self._is_burst = False
        self._run: list[float] = []
        self._before: list[float] = []

    async def take(self, event: Typed) -> None:
        """Deliver a key, now or when its turn comes."""
        self._last_came = monotonic()
        if self._held is not None:
            self._held.append(event)
            self._times.append(event.time)
            self._run.append(event.time)
            if was_typed(self._run, self._before):
                held, self._held, self._under_way = self._held, None, False
                self.give(held)
            return
        self._judge(event.time)
        self._waiting.append(event)
        if not self._under_way:
            await self._next()

    def give(self, keys: Sequence[Typed]) -> None:
        """Deliver keys that were held back and asked about, before all others."""
        # One that was given before is spent.
        fresh = [self._anew(key) for key in keys]
        self._waiting.extendleft(reversed(fresh))
        self._trusted = len(keys)
        if not self._under_way:
            self._under_way = True
            self._app.call_later(self._next)

    def _anew(self, event: Typed) -> Typed:
        if isinstance(event, events.Paste):
            return event
        key = events.Key(event.key, event.character)
        key.set_sender(self._app)
        key.time = event.time
        return key

    async def _next(self) -> None:
        if not self._waiting:
            self._under_way = self._is_burst = False
            return
        self._under_way = True
        if self._catch_burst():
            return
        self._turn += 1
        turn = self._turn
        event = self._waiting.popleft()
        if self._trusted:
            self._trusted -= 1
        else:
            self._given.append((event, self._app.screen))
        before = self._app.screen
        target = self._app.focused or before
        if isinstance(event, events.Paste) and isinstance(target, Input):
            event.text = "\n".join(line[:_LONGEST] for line in event.text.splitlines())
        way = [target, *(node for node in target.ancestors if node is not self._app), self._app]
        await self._deliver(event)
        self._app.set_timer(_PATIENCE_S, lambda: self._go_on(turn))
        self._pass(way, lambda: self._settled(before, turn))

    # -- keys that nobody can have typed -----------------------------------------------------

    def _judge(self, came: float) -> None:
        """Tell by when a key came whether it is of a burst; when it is given says nothing."""
        self._times.append(came)
        times = list(self._times)
        if is_burst(times[-MOST_KEYS - 1 :]):
            first = len(times) - run_length(times)
            self._before, self._run = times[max(0, first - _BEFORE_KEYS) : first], times[first:]
            self._is_burst = not was_typed(self._run, self._before)

    def _catch_burst(self) -> bool:
        """Hold all keys back where a burst of them waits for a screen that asks about such."""
        if self._trusted or not self._is_burst or self._asking(self._waiting) is None:
            return False
        self._is_burst = False
        self._held = list(self._waiting)
        self._waiting.clear()
        self._app.set_timer(_QUIET_S, self._ask)
        return True

    def _ask(self) -> None:
        if self._held is None:
            return
        rest = self._last_came + _QUIET_S - monotonic()
        if rest > 0:
            self._app.set_timer(rest, self._ask)
            return
        held = self._held
        screen, given = self._asking(held), [event for event, _ in self._of_burst(held)]
        self._held, self._under_way = None, False
        self._given.clear()
        if screen is None:
            # The screen they were meant for has gone meanwhile: nothing is dropped without a word.
            self.give(held)
            return
        # The first of them may have opened a window.
        while self._app.screen is not screen and isinstance(self._app.screen, ModalScreen):
            self._app.pop_screen()
        assert isinstance(screen, AsksAboutBursts)
        screen.ask_about_burst(given, held)

    def _of_burst(self, held: Sequence[Typed]) -> list[tuple[Typed, Screen[Any]]]:
        """The keys already given that came without a pause before those held back.

        What was given to a screen that has gone since, a window that it closed, is none of them.
        """
        times = [event.time for event, _ in self._given] + [event.time for event in held]
        many = max(0, run_length(times) - len(held))
        given = list(self._given)[len(self._given) - many :]
        return list(dropwhile(lambda one: not self._asks(one[1]), given))

    def _asks(self, screen: Screen[Any]) -> bool:
        return isinstance(screen, AsksAboutBursts) and screen in self._app.screen_stack

    def _asking(self, held: Sequence[Typed]) -> Screen[Any] | None:
        """The screen that the first of these keys, or of those just before them, was meant for.

        Returns:
            None where it does not ask about bursts.
        """
        given = self._of_burst(held)
        first = given[0][1] if given else self._app.screen
        return first if self._asks(first) else None

    def _pass(self, way: Sequence[MessagePump], then: Callable[[], object]) -> None:
        """Run `then` when the last of the way has worked off what came before."""
        if not way:
            then()
        elif not way[0].call_later(self._pass, way[1:], then):
            self._pass(way[1:], then)

    def _settled(self, before: object, turn: int) -> None:
        screen = self._app.screen
        if screen is before:
            self._go_on(turn)
            return
        # A window has opened or closed: wait until it is there and has given out the focus.
        app = self._app
        screen.call_after_refresh(self._pass, [app, screen, app], lambda: self._go_on(turn))

    def _go_on(self, turn: int) -> None:
        if turn == self._turn and self._under_way:
            self._turn += 1
            self._app.call_later(self._next)
