"""The app: screens by name, the shared cohort, the session, the theme."""

from __future__ import annotations

import asyncio
import os
import signal
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rich.text import Text
from textual import events
from textual.app import App
from textual.filter import LineFilter

from ledger.questions.registry import QUESTIONS
from ledger.safe_text import safe
from tui import holdings as held
from tui.actions import keymap
from tui.cohorts import Meant, MeantHistory, Whom
from tui.going import Going
from tui.places import CONTENTS, Place
from tui.remembered import Memory, memory_path
from tui.rooms import SCREENS, screen_of
from tui.screens.base import RoomScreen
from tui.screens.choosing import ChoosingScreen
from tui.screens.finding import FindingScreen
from tui.session import BookLike, Session
from tui.settings import Settings, read_settings, settings_path
from tui.styles.harmless import Harmless
from tui.styles.themes import NAMES, PLAIN, THEMES, CubeColours, WithoutColour
from tui.typed_file import TypedFile, typed_folder
from tui.typing_order import Typed, TypingOrder
from tui.visits import Visit, keep_visit, last_visit, visits_path

if TYPE_CHECKING:
    from textual.driver import Driver

    from ledger.store.reads import Contents

_CLOSING_S = 10.0
_TROUBLE = 3
_SIGNALS = ("SIGTERM", "SIGHUP", "SIGINT")


@dataclass(frozen=True, slots=True)
class ListedQuestion:
    """A question on the contents; a slow one is asked only when it is chosen."""

    name: str
    title: str
    slow: bool = False


def listed_questions() -> tuple[ListedQuestion, ...]:
    """The questions of the ledger in their order; what came in has a screen of its own."""
    return tuple(
        # All records of a large ledger are many: they are fetched only when they are asked for.
        ListedQuestion(q.name, q.title, q.slow or q.name == "attempts")
        for q in QUESTIONS.values()
        if q.name != "sources"
    )


class OffglassApp(Going, App[int]):
    """The terminal program on one ledger."""

    CSS_PATH = "styles/offglass.tcss"
    TITLE = "offglass"
    # Actions are found in a window of our own.
    ENABLE_COMMAND_PALETTE = False

    def __init__(
        self,
        open_book: Callable[[], BookLike],
        ledger_name: str,
        *,
        focus: Sequence[str] = (),
        settings: Settings | None = None,
        questions: Sequence[ListedQuestion] | None = None,
        seen: Visit | None = None,
    ) -> None:
        self._colour_filter = CubeColours()
        self._plain_filter = WithoutColour()
        self._harmless = Harmless()
        super().__init__()
        self.settings = settings or Settings()
        self.settings_file = settings_path()
        self.session = Session(open_book)
        self.ledger_name = safe(ledger_name)
        self._place = seen.place if seen else Place()
        now = self._place.now
        first = Meant(now.cohort, tuple(focus)) if focus else now
        self.meant = MeantHistory(first, self._place.before)
        # Whether what is meant comes from the last visit and was not answered since.
        self.restored = first != Meant()
        self.holdings: held.Holdings | None = None
        self.questions = listed_questions() if questions is None else tuple(questions)
        # How often the screens have had to ask anew, and the state of the ledger they know.
        self.changes = 0
        # The last headline of a question, and what it was asked of.
        self.headlines: dict[str, tuple[object, str]] = {}
        # The file that was saved last.
        self.saved: Path | None = None
        # Whom the screen of one player is about; nobody before one was chosen.
        self.player: Whom | None = self._place.player
        self.facts: Contents | None = None
        self._seen = seen
        # What scoresheets remember; written once the ledger is closed.
        self.memory = Memory()
        # What was typed and is not in the ledger yet.
        self.typed = TypedFile()
        # What is said in the shell when the program is gone.
        self.last_words: list[str] = []
        # Where the user was when he left.
        self.left = self._place
        self.rooms: dict[str, RoomScreen] = {}
        self._typing = TypingOrder(self, super().on_event)

    # -- beginning and end -----------------------------------------------------------------

    def on_mount(self) -> None:
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = PLAIN if self.no_color else NAMES[self.settings.theme]
        self.set_keymap(keymap(self.settings.keys))
        self.session.start(self)
        loop = asyncio.get_running_loop()
        for name in _SIGNALS:
            number = getattr(signal, name, None)
            if number is not None and not self.is_headless:
                loop.add_signal_handler(number, partial(self.exit, 128 + number))
        first = self.room(self._first_room())
        self.push_screen(first)
        self.call_after_refresh(self._begin, first)

    def _first_room(self) -> str:
        """The room where the last visit ended, if it is still there."""
        name = self._place.room
        known = name in SCREENS or any(q.name == name for q in self.questions)
        return name if known and (name != "player" or self.player) else CONTENTS

    def _begin(self, first: RoomScreen) -> None:
        """Say what has to be said first, and choose the row that was chosen."""
        first.store_left_over()
        line = self.settings.trouble or self._place.lost
        if line:
            first.tell(line)
        if first.room != CONTENTS:
            first.reread_facts()
            if self._place.row and isinstance(first, FindingScreen):
                first.rows.want(self._place.row)

    async def on_unmount(self) -> None:
        # The ledger is closed before the program is gone: a running query has been interrupted.
        self.session.end()
        await asyncio.to_thread(self.session.ended.wait, _CLOSING_S)
        self.memory.end()
        for room in self.rooms.values():
            room.ended()

    async def on_event(self, event: events.Event) -> None:
        if isinstance(event, events.Key | events.Paste) and not event.is_forwarded:
            await self._typing.take(event)
        else:
            await super().on_event(event)

    def _handle_exception(self, error: Exception) -> None:
        # Nothing is lost by it: every record was stored when it was taken. Tests see the error.
        if self.is_headless or os.environ.get("OFFGLASS_DEBUG"):
            super()._handle_exception(error)
            return
        what = " ".join(f"{type(error).__name__}: {error}".split())
        line = (
            f"offglass: a fault of the program ({safe(what)}); what was stored is safe; "
            "run it again with OFFGLASS_DEBUG=1 for its makers"
        )
        self.exit(_TROUBLE, return_code=_TROUBLE, message=Text(line))

    def get_driver_class(self) -> type[Driver]:
        """The driver of this platform; on POSIX one that takes no pasted text for keys."""
        usual = super().get_driver_class()
        if usual.__name__ != "LinuxDriver":
            return usual
        from tui.terminal_input import CarefulDriver

        return CarefulDriver

    # -- screens ---------------------------------------------------------------------------

    def type_again(self, keys: Sequence[Typed]) -> None:
        """Give keys that were held back and asked about."""
        self._typing.give(keys)

    def room(self, name: str) -> RoomScreen:
        """A screen by its name: a room or a question."""
        if name not in self.rooms:
            title = next((q.title for q in self.questions if q.name == name), name)
            room = screen_of(name, title)
            room.room = name
            if isinstance(room, ChoosingScreen):
                room.options = dict(self._place.options.get(name, {}))
                room.restored = bool(room.options)
            self.rooms[name] = room
            self.install_screen(room, name)
        return self.rooms[name]

    # -- the place -------------------------------------------------------------------------

    def place(self) -> Place:
        """Where the user is now."""
        here = self.front()
        told = dict(self._place.options)
        told |= {n: r.options for n, r in self.rooms.items() if isinstance(r, ChoosingScreen)}
        row = here.rows.about() if isinstance(here, FindingScreen) and here.is_mounted else ()
        room = here.room if here is not None else self._place.room
        return Place(room, self.meant.now, self.meant.past, told, self.player, row)

    def exit(self, *args: Any, **more: Any) -> None:
        """Leave, remembering the place; what was typed is on its way before the ledger closes."""
        for room in self.rooms.values():
            room.leave()
        self.left = self.place()
        super().exit(*args, **more)

    def forget_restored(self, room: RoomScreen, line: str) -> bool:
        """Give up what the last visit left where it no longer makes sense; whether it was that.

        Args:
            room: the screen whose question was refused.
            line: why.
        """
        if isinstance(room, ChoosingScreen) and room.restored:
            room.restored, room.options = False, {}
            what = "what this question was told last time is left out"
        elif self.restored:
            self.restored = False
            self.meant = MeantHistory(None, self.meant.past)
            what = "the attempts meant last time are left out, all are meant"
        else:
            return False
        room.tell(f"{what} ({line})")
        room.entered()
        return True

    # -- what the ledger holds -------------------------------------------------------------

    def holds(self) -> str:
        """The facts of the top line."""
        return self.holdings.short() if self.holdings else ""

    def take_facts(self, facts: Contents) -> held.Holdings:
        """Remember what the book says about its contents.

        Where something was stored or taken back since, here or by another process, every screen
        asks anew when it is next seen, the one in front at once.
        """
        before, self.facts = self.facts, facts
        holdings = self.show_facts(facts)
        if before is not None and before.changes != facts.changes:
            self.changes += 1
            if isinstance(self.screen, RoomScreen):
                self.screen.entered()
        return holdings

    def show_facts(self, facts: Contents) -> held.Holdings:
        """Say in the top line of the screen in front what the ledger holds now."""
        self.holdings = holdings = held.holdings_of(facts, self._seen)
        if (front := self.front()) is not None:
            front.say_holdings()
        return holdings

    def wrote(self) -> None:
        """Something was written down here that the answer in front does not tell of.

        Every other screen asks anew when it is next seen.
        """
        self.changes += 1
        if self.facts is not None:
            self.facts = replace(self.facts, changes=self.facts.changes + 1)

    def headline_of(self, question: str) -> str:
        """The headline of a question, if it was asked of what is meant now as things are now."""
        asked_of, headline = self.headlines.get(question, (None, ""))
        return headline if asked_of == (self.meant.now, self.changes) else ""

    def keep_headline(self, question: str, headline: str) -> None:
        """Remember the headline of a question that was asked as it usually is."""
        self.headlines[question] = ((self.meant.now, self.changes), headline)

    # -- drawing ---------------------------------------------------------------------------

    def get_line_filters(self) -> Sequence[LineFilter]:
        mine = self._plain_filter if self.theme == PLAIN else self._colour_filter
        return [*super().get_line_filters(), mine, self._harmless]

    def next_theme(self) -> bool:
        """Go on from dark to light, to no colour, and round again; False where NO_COLOR is set."""
        if self.no_color:
            return False
        order = list(NAMES.values())
        self.theme = order[(order.index(self.theme) + 1) % len(order)]
        return True

    def save_folder(self) -> Path:
        """Where files are saved first."""
        return Path(self.settings.folder or Path.cwd()).expanduser()

    def chart_theme(self) -> str:
        """The theme of a saved picture: light unless the screen is dark."""
        return "dark" if self.theme == NAMES["dark"] else "light"


def run(path: Path, *, create: bool = False, focus: Sequence[str] = ()) -> int:
    """Run the terminal program on the ledger at `path`; its exit code."""
    settings = read_settings(settings_path())

    def open_book() -> BookLike:
        from ledger.book import Book

        return Book(path, create=create, who=settings.who or None)

    kept = visits_path()
    seen = last_visit(kept, path)
    app = OffglassApp(open_book, path.name, focus=focus, settings=settings, seen=seen)
    app.memory = Memory(memory_path(), path)
    app.typed = TypedFile(typed_folder(), path)
    code = app.run(mouse=settings.mouse)
    for line in app.last_words:
        print(f"offglass: {safe(line)}", file=sys.stderr)
    if app.facts is not None:
        newest = max((s.number for s in app.facts.last_sources), default=0)
        today = f"{datetime.now(UTC):%Y-%m-%d}"
        keep_visit(kept, path, Visit(app.facts.changes, newest, today, app.left))
    return app.return_code or 0 if code is None else code


__all__ = ["ListedQuestion", "OffglassApp", "run"]
