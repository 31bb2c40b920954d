"""The ways from screen to screen, and back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tui.places import CONTENTS
from tui.screens.base import RoomScreen

if TYPE_CHECKING:
    from textual.await_complete import AwaitComplete
    from textual.screen import Screen

    from tui.cohorts import Whom


class Going:
    """A part of the program: which screen is in front, and where escape goes back to."""

    player: Whom | None
    rooms: dict[str, RoomScreen]

    if TYPE_CHECKING:

        @property
        def screen(self) -> Screen[Any]: ...
        @property
        def screen_stack(self) -> list[Screen[Any]]: ...
        def switch_screen(self, screen: Screen[Any] | str) -> AwaitComplete: ...
        def room(self, name: str) -> RoomScreen: ...

    def show(self, name: str) -> None:
        """Go to a screen by its name: a room or a question."""
        room = self.room(name)
        if self.screen is room:
            return
        if isinstance(self.screen, RoomScreen) and self.screen.kind == "contents":
            room.opened_from = "contents"
        self.switch_screen(room)

    def show_watch(self, kind: str = "", /, **which: Any) -> None:
        """Go to Watch, to a queue or to that which was watched last; escape comes back from there.

        Args:
            kind: watchlist, lot, second, game, player, misses, unwatched, or nothing.
            **which: what has to be told beside it: name of the lot, game, player, date, league.
        """
        from tui.screens.reeling import ReelRoom

        room = self.room("watch")
        self._comes_back_here(room)
        if kind and isinstance(room, ReelRoom):
            room.open_queue(kind, which)
        self.show("watch")

    def show_player(self, whom: Whom) -> None:
        """Go to the screen of one player; escape comes back from there."""
        self.player = whom
        room = self.room("player")
        self._comes_back_here(room)
        if self.screen is room:
            room.entered()
        self.show("player")

    def show_asked(self, name: str, /, **options: str) -> None:
        """Go to a question that is told something; escape comes back from there."""
        room = self.room(name)
        getattr(room, "options", {}).update(options)
        self._comes_back_here(room)
        self.show(name)

    def show_beside(self, name: str) -> None:
        """Go to a room that has its own work; escape comes back to what was left for it."""
        self._comes_back_here(self.room(name))
        self.show(name)

    def _comes_back_here(self, room: RoomScreen) -> None:
        """Escape on a room comes back to the one in front, unless that came from it."""
        here = self.front()
        seen = {CONTENTS}
        at = here
        while at is not None and at.room not in seen:
            if at is room:
                return
            seen.add(at.room)
            at = self.rooms.get(at.opened_from)
        if here is not None:
            room.opened_from = here.room

    def front(self) -> RoomScreen | None:
        """The room that is seen, or that a window stands over."""
        rooms = (screen for screen in reversed(self.screen_stack) if isinstance(screen, RoomScreen))
        return next(rooms, None)
