"""Keys one after another: each is done with, windows opened and all, before the next is given.

Textual hands a key to whatever has the focus when it arrives. A quick typist's second key would
reach the screen below a window that the first one is only opening, and be lost or do harm.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Awaitable, Callable, Sequence
from typing import TYPE_CHECKING, Any

from textual import events
from textual.message_pump import MessagePump

if TYPE_CHECKING:
    from textual.app import App

Typed = events.Key | events.Paste
# A widget that never answers must not swallow the keyboard.
_PATIENCE_S = 0.5


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

    async def take(self, event: Typed) -> None:
        """Deliver a key, now or when its turn comes."""
        self._waiting.append(event)
        if not self._under_way:
            await self._next()

    async def _next(self) -> None:
        if not self._waiting:
            self._under_way = False
            return
        self._under_way = True
        self._turn += 1
        turn = self._turn
        event = self._waiting.popleft()
        before = self._app.screen
        target = self._app.focused or before
        way = [target, *(node for node in target.ancestors if node is not self._app), self._app]
        await self._deliver(event)
        self._app.set_timer(_PATIENCE_S, lambda: self._go_on(turn))
        self._pass(way, lambda: self._settled(before, turn))

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
