"""The line a trip is typed on: keys go in as they come, a paste never does by itself."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from time import monotonic

from rich.segment import Segment
from textual import events
from textual.message import Message
from textual.strip import Strip
from textual.timer import Timer
from textual.widget import Widget

from ledger.safe_text import cut, safe, width
from tui.trip_line import is_whole
from tui.widgets.lines import inks_of

# More keys than this in so many seconds are no typing; common practice, no source.
_MOST_KEYS = 8
_IN_S = 0.05
# After so long without a key a burst is over.
_QUIET_S = 0.25
# Nobody reads a refusal and mends it in less; common practice, no source.
_READ_S = 1.0
_LONGEST = 200
_LEAD = "› "


class TypingLine(Widget, can_focus=True):
    """One line; enter ends it for the home team, a blank after the signs for the visitors.

    Where `per_key` is set, there is no line: every key is told at once. Whoever reads the line is
    called by the key itself, not by a message: the next key must not come before it.

    Args:
        entered: takes the line, and the side: 0 for enter, 1 for a blank; tells whether it is done
            with, else it stays as it is.
        struck: takes a key, where every key is told.
        changed: is told that something else stands there.
        make_way: takes a text that was put back while the next line was being typed.
    """

    DEFAULT_CSS = "TypingLine { height: 1; width: 100%; }"

    class Pasted(Message):
        """A text came in one piece; `burst`: as keys, the first of which were taken as such."""

        def __init__(self, text: str, *, burst: bool) -> None:
            super().__init__()
            self.text = text
            self.burst = burst

    def __init__(
        self,
        entered: Callable[[str, int], bool],
        struck: Callable[[str], None],
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
        # What was put back to be mended, and when.
        self._brought = ("", 0.0)
        self._times: deque[float] = deque(maxlen=_MOST_KEYS + 1)
        self._held: list[str] = []
        self._quiet: Timer | None = None

    def say(self, text: str) -> None:
        """Put another text there."""
        self.text = text[:_LONGEST]
        self.refresh()
        self._changed()

    def bring(self, text: str) -> bool:
        """Put a text back there that is to be mended, if nothing else stands there.

        Whoever is typing already does not type on behind it: it makes way for his next line.
        """
        if self.text or self.per_key:
            return False
        self.say(text)
        self._brought = (text, monotonic())
        return True

    def type_on(self, text: str) -> None:
        """Take signs as if they were typed, however fast they came."""
        for sign in text:
            self._take("\n" if sign in "\r\n" else sign)

    # -- keys ------------------------------------------------------------------------------

    def on_key(self, event: events.Key) -> None:
        sign = _sign_of(event)
        if not sign:
            return
        event.stop()
        event.prevent_default()
        self._times.append(event.time)
        full = len(self._times) == self._times.maxlen
        if self._held or (full and self._times[-1] - self._times[0] < _IN_S):
            self._hold(sign)
        else:
            self._take(sign)

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        text = event.text
        if self.per_key or len(text) > _LONGEST or "\n" in text.strip() or "\r" in text.strip():
            self.post_message(self.Pasted(text, burst=False))
        else:
            self.say(self.text + " ".join(text.split()))

    def _hold(self, sign: str) -> None:
        """Keep a key of a burst back until it is over."""
        self._held.append(sign)
        if self._quiet is not None:
            self._quiet.stop()
        self._quiet = self.set_timer(_QUIET_S, self._burst_over)

    def _burst_over(self) -> None:
        text = "".join(self._held)
        self._held.clear()
        self._times.clear()
        self.post_message(self.Pasted(text, burst=True))

    def _take(self, sign: str) -> None:
        if self.per_key:
            self._struck(sign)
        elif sign == "\n" or (sign == " " and is_whole(self.text)):
            if self._entered(self.text, int(sign == " ")):
                self.say("")
        elif sign == "\b":
            self.say(self.text[:-1])
        elif self.text == self._brought[0] and monotonic() - self._brought[1] < _READ_S:
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


def _sign_of(event: events.Key) -> str:
    """What a key writes: a line's end for enter, a step back for backspace, else nothing."""
    if event.key in ("enter", "ctrl+j"):
        return "\n"
    if event.key in ("backspace", "delete"):
        return "\b"
    sign = event.character or ""
    return sign if len(sign) == 1 and sign.isprintable() else ""
