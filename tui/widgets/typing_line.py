"""The line a trip is typed on: keys go in as they come, a pasted text never does by itself."""

from __future__ import annotations

from collections.abc import Callable

from rich.segment import Segment
from textual import events
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from ledger.safe_text import cut, safe, width
from tui.trip_line import is_whole
from tui.widgets.lines import inks_of

_LONGEST = 200
_LEAD = "› "


class TypingLine(Widget, can_focus=True):
    """One line; enter ends it for the home team, a space after the signs for the away team.

    Where `per_key` is set, there is no line: every key is told at once. Whoever reads the line is
    called by the key itself, not by a message: the next key must not come before it.

    Args:
        entered: takes the line, and the side: 0 for enter, 1 for a space; tells whether it is done
            with, else it stays as it is.
        struck: takes a key, where every key is told.
        changed: is told that something else stands there.
        make_way: takes a text that was to be mended, where the next line is typed instead.
    """

    DEFAULT_CSS = "TypingLine { height: 1; width: 100%; }"

    class Pasted(Message):
        """A text came in one piece."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    def __init__(
        self,
        entered: Callable[[str, int], bool],
        struck: Callable[[str], object],
        changed: Callable[[], None],
        make_way: Callable[[str], None],
        *,
        id: str | None = None,
    ) -> None:
        super().__init__(id=id)
        self._entered = entered
        self._struck = struck
        self._changed = changed
        self._make_way = make_way
        self.text = ""
        self.per_key = False
        # What stands there was refused. Whoever watches the game types on with the next trip: its
        # first letter or digit begins a line of its own, only a sign or backspace goes on here.
        self._mending = False

    def say(self, text: str) -> None:
        """Put another text there."""
        self.text = text[:_LONGEST]
        self._mending = False
        self.refresh()
        self._changed()

    def bring(self, text: str) -> bool:
        """Put a text back there that is to be mended, if nothing else stands there."""
        if self.text or self.per_key:
            return False
        self.say(text)
        self._mending = True
        return True

    # -- keys ------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        sign = sign_of(event)
        if sign:
            event.stop()
            event.prevent_default()
            self._take(sign)

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        text = event.text
        if self.per_key or len(text) > _LONGEST or len(text.strip().splitlines()) > 1:
            self.post_message(self.Pasted(text))
        else:
            self.say(self.text + " ".join(text.split()))

    def _take(self, sign: str) -> None:
        if self.per_key:
            self._struck(sign)
        elif sign == "\n" or (sign == " " and is_whole(self.text)):
            if self._entered(self.text, int(sign == " ")):
                self.say("")
            else:
                self._mending = bool(self.text)
        elif sign == "\b":
            self.say(self.text[:-1])
        elif self._mending and sign.isalnum():
            self._make_way(self.text)
            self.say(sign)
        else:
            self.say(self.text + sign)

    # -- drawing ---------------------------------------------------------------------------

    def render_line(self, y: int) -> Strip:
        inks, cells = inks_of(self), self.size.width
        shown = safe(self.text)
        room = max(1, cells - width(_LEAD) - 2)
        if width(shown) > room:
            shown = "…" + cut(shown[-room:], room - 1)
        cursor = " " if self.per_key or not self.has_focus else "▏"
        return Strip(
            [
                Segment(f" {_LEAD}", inks.dim),
                Segment(shown, inks.strong),
                Segment(cursor, inks.strong),
            ]
        ).adjust_cell_length(cells, inks.text)


def sign_of(event: events.Key) -> str:
    """What a key writes: a line's end for enter, a step back for backspace, else nothing."""
    if event.key in ("enter", "ctrl+j"):
        return "\n"
    if event.key in ("backspace", "delete"):
        return "\b"
    sign = event.character or ""
    return sign if len(sign) == 1 and sign.isprintable() else ""
