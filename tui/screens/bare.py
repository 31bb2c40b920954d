"""A full screen without its work: its lines, its classes by size, what it says above the keys."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING, ClassVar, cast

from textual.app import ComposeResult
from textual.screen import Screen

from tui.actions import BY_ID, keys_of, last_line
from tui.keys import shown_key
from tui.remedies import told_here
from tui.session import Job
from tui.widgets.lines import KeysLine, TopLine, Words

if TYPE_CHECKING:
    from tui.app import OffglassApp

LEAST = (40, 12)
# In fewer lines notes and pictures give way to rows.
PICTURE_LINES = 16


class BareRoom(Screen[None]):
    """A full screen: top line, title, body, a line of news, the keys."""

    kind: ClassVar[str]
    heading: ClassVar[str]
    # Its name among the rooms of the program.
    room = ""

    def __init__(self) -> None:
        super().__init__()
        self.jobs: list[Job] = []
        self._news = ""
        self._troubled = False

    # -- composing -------------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        yield TopLine()
        yield Words(self.heading, classes="title")
        yield Words(classes="sentence", id="sentence")
        yield from self.compose_body()
        yield Words(classes="status hidden", id="status")
        yield KeysLine()
        yield Words(id="too-small")

    def compose_body(self) -> ComposeResult:
        """The middle of the screen."""
        yield from ()

    def on_mount(self) -> None:
        self.set_interval(0.5, self._tick)
        self.dress()

    def on_screen_resume(self) -> None:
        self.dress()
        self.entered()

    def entered(self) -> None:
        """The screen has come to the front."""

    def on_resize(self) -> None:
        self.dress()

    def leave(self) -> None:
        """The program is being left: what was typed and is not on its way yet goes now."""

    def ended(self) -> None:
        """The ledger is closed: what still is to be said goes to the shell."""

    def dress(self) -> None:
        """Fit everything that does not depend on an answer: classes, top line, keys."""
        if not self.is_mounted:
            return
        cells, lines = self.app.size
        self.set_class(lines < 20 or cells < 60, "low")
        self.set_class(lines < 30, "short")
        self.set_class(lines >= 40, "tall")
        self.set_class(lines < PICTURE_LINES, "tiny")
        for paragraphs in self.query(Words):
            paragraphs.fit()
        small = cells < LEAST[0] or lines < LEAST[1]
        self.set_class(small, "too-small")
        if small:
            words = f"offglass needs {LEAST[0]}×{LEAST[1]} cells; this window has {cells}×{lines}"
            self.query_one("#too-small", Words).say(words)
        self.say_holdings()
        self.say_keys()

    def say_keys(self) -> None:
        """Say in the last line the keys that matter now."""
        chosen = self.program.settings.keys
        pairs = last_line(self.kind, self.app.size.width, chosen, self.not_here())
        self.query_one(KeysLine).say(pairs)

    def not_here(self) -> Collection[str]:
        """Actions of the screen that do nothing where it stands now."""
        return ()

    def say_holdings(self) -> None:
        """Say at the top which ledger it is and what it holds."""
        program = self.program
        if self.is_mounted:
            self.query_one(TopLine).say(f"offglass · {program.ledger_name}", program.holds())

    @property
    def program(self) -> OffglassApp:
        """The app with its session, cohort and settings."""
        return cast("OffglassApp", self.app)

    def key(self, action: str) -> str:
        """The key of an action on this screen, as a reader knows it."""
        keys = keys_of(BY_ID[action], self.program.settings.keys, self.kind)
        return shown_key(keys[0]) if keys else action

    # -- remedies --------------------------------------------------------------------------

    def told_here(self, line: str) -> str:
        """A line of the ledger with remedies that this screen has."""
        return told_here(line, self.key_here, self.own_options())

    def key_here(self, action: str) -> str:
        """The key of an action, nothing where this screen does not have it."""
        if self.kind not in BY_ID[action].where:
            return ""
        keys = keys_of(BY_ID[action], self.program.settings.keys, self.kind)
        return shown_key(keys[0]) if keys else ""

    def own_options(self) -> Mapping[str, str]:
        """Words for the options that are chosen on this screen."""
        return {}

    # -- news ------------------------------------------------------------------------------

    def tell(self, line: str, *, trouble: bool = False) -> None:
        """Say something in the line above the keys; empty takes the line away.

        Trouble goes away by itself when the next answer comes.
        """
        line = self.told_here(line)
        self._news = line
        self._troubled = trouble
        self._show_status(line)

    def tell_in_front(self, line: str) -> None:
        """Say something on whatever screen is seen now."""
        front = self.app.screen
        (front if isinstance(front, BareRoom) else self).tell(line)

    def trouble_is_over(self) -> None:
        """Take away what was said about trouble."""
        if self._troubled:
            self.tell("")

    def news_is_over(self) -> None:
        """A key was taken: what was said of one before it goes."""
        if self._news:
            self.tell("")

    def _show_status(self, line: str) -> None:
        status = self.query_one("#status", Words)
        status.say(line)
        status.set_class(not line, "hidden")

    def _tick(self) -> None:
        running = next((j for j in self.jobs if j.since is not None and not j.behind), None)
        state = running.state() if running is not None else ""
        if state:
            self._show_status(state)
