"""A screen on which trips are typed: each goes to the ledger in its order, what was done is said.

Nothing that was typed is lost: what the ledger refuses comes back to be mended, what cannot be
stored now waits, and what is left when the program ends is there the next time.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from threading import Lock
from typing import Any

from textual.app import ComposeResult

from ledger.questions.wording import counted
from tui.outbox import Came, Typed
from tui.remembered import LastSheet
from tui.screens.storing import StoringRoom
from tui.session import BookLike
from tui.widgets.lines import Words
from tui.widgets.typing_line import TypingLine

_SAID = 6


class TypingRoom(StoringRoom):
    """The line, what was stored last, and what waits to be mended."""

    def __init__(self) -> None:
        super().__init__()
        self.asked: dict[str, str] = {}
        # The last game and the last trial, each by itself: a session is no game.
        self.game: dict[str, str] = {}
        self.trial = ""
        self.period: int | None = None
        self.line = TypingLine(
            self.entered_line, self.struck, self.changed_line, self.put_aside, id="line"
        )
        # Lines that came back or were put aside, the oldest first.
        self.aside: deque[str] = deque()
        self._said: deque[str] = deque(maxlen=_SAID)
        # How often something was typed.
        self.puts = 0
        self._noting = Lock()

    def compose_typing(self) -> ComposeResult:
        """What was stored last, and the line."""
        yield Words(id="echo")
        yield self.line
        yield Words(id="preview")

    def on_mount(self) -> None:
        self.program.memory.now = self.left
        self.line.focus()

    # -- what the screen makes of the line -------------------------------------------------

    def entered_line(self, text: str, side: int) -> bool:
        """The line is done; whether it was taken."""
        return False

    def struck(self, sign: str) -> bool:
        """A key, where every key is told; whether it was taken."""
        return False

    def changed_line(self) -> None:
        """Something else stands on the line."""

    # -- storing ---------------------------------------------------------------------------

    def put(self, text: str, store: Callable[[BookLike], Any], words: str = "") -> None:
        """Something typed goes to the ledger.

        Args:
            text: as it was typed; empty where it is no line.
            store: stores it.
            words: what it is, where it is no line.
        """
        self.puts += 1
        self.outbox.put(Typed(text, store, words))
        self._note_down()
        self.send()

    def _note_down(self) -> None:
        """What is not stored yet stands in a file: even a program that is killed loses none."""
        # The screen and the ledger's thread both write it: the last to write has looked last.
        with self._noting:
            self.program.memory.keep(self.left())

    def one_less(self) -> None:
        self._note_down()

    def came(self, one: Came) -> None:
        self.echo(one.result.words(), *getattr(one.result, "notes", ()))

    def refused(self, one: Came) -> None:
        """The ledger does not take it: it comes back to be mended."""
        if not one.typed.text:
            self.tell(one.refused, trouble=True)
            return
        back = ""
        if not self.line.bring(one.typed.text):
            self.put_aside(one.typed.text)
            back = f"; {self.key('retype')} brings it back"
        self.tell(f"not stored: {one.typed.text}: {one.refused}{back}", trouble=True)

    def after_storing(self) -> None:
        self._note_down()

    def _tick(self) -> None:
        # Work that stores cannot be stopped: nothing is said of a key that would.
        super()._tick()
        waiting = len(self.outbox)
        if waiting and self.jobs and not self._news:
            self._show_status(f"storing, {waiting} typed wait")

    # -- saying what was done --------------------------------------------------------------

    def echo(self, *lines: str) -> None:
        """Say what was stored, the newest last."""
        self._said.extend(lines)
        self.say_echo()

    def say_echo(self) -> None:
        """Show as many of the last lines as there is room for."""
        self.show_echo(None)

    def show_echo(self, many: int | None) -> None:
        """Show so many of the last lines; where none is said, by the height of the screen."""
        lines = self.app.size.height
        many = many or (1 if lines < 20 else 3 if lines < 30 else _SAID)
        self.query_one("#echo", Words).say(*list(self._said)[-many:])

    def dress(self) -> None:
        super().dress()
        if self.is_mounted:
            self.say_echo()

    # -- what waits to be mended -----------------------------------------------------------

    def put_aside(self, text: str) -> None:
        """Keep a line for later."""
        # Two trips may well be alike: both wait.
        if text:
            self.aside.append(text)

    def action_retype(self) -> None:
        text = self.line.text
        if not self.aside:
            self.tell("nothing waits to be typed again")
        elif self.line.per_key and len(self.aside[0]) == 1:
            # A shot that waits: there is no line on which it could stand.
            if self.struck(self.aside[0]):
                self.aside.popleft()
                self._note_down()
        elif self.line.per_key:
            self.tell(f"it waits until a game is open: {self.aside[0]}")
        else:
            # What stands there takes its place at the end of those that wait.
            self.line.say(self.aside.popleft())
            self.put_aside(text)

    def action_back(self) -> None:
        if self.line.text:
            self.put_aside(self.line.text)
            self.line.say("")
            self.tell(f"put aside: {self.key('retype')} brings it back")
        elif self._news:
            self.tell("")
        else:
            self.program.show(self.opened_from)

    # -- leaving ---------------------------------------------------------------------------

    def ended(self) -> None:
        waiting, untyped = [text for text in self.outbox.texts() if text], self.outbox.untyped()
        say = self.program.last_words.append
        if waiting:
            many = counted(len(waiting), "line")
            say(f"{many} typed, not in the ledger yet: the next start has them on Scoresheet")
        if untyped:
            say(f"NOT stored: {', '.join(untyped)}")

    def left(self) -> LastSheet:
        """What is not stored, for the next time."""
        waiting = (*self.outbox.texts(), *self.aside)
        texts = tuple(t for t in waiting if t)
        return LastSheet(self.asked, self.line.text, texts, self.period, self.game, self.trial)
