"""What comes from the terminal, told apart before keys are made of it: keys, and pasted text.

A pasted text may hold anything, escape sequences too, and no part of it may ever be taken for keys.
A terminal that does not mark what is pasted sends it in pieces that no keyboard can send.
"""

from __future__ import annotations

import asyncio
import io
import os
import re
import selectors
import signal
from codecs import getincrementaldecoder
from collections.abc import Callable, Iterable, Iterator
from time import monotonic
from typing import Any, TextIO, cast

from textual import events
from textual._xterm_parser import BRACKETED_PASTE_END, BRACKETED_PASTE_START, XTermParser
from textual.drivers.linux_driver import LinuxDriver
from textual.geometry import Size
from textual.message import Message

_OVERLAP = len(BRACKETED_PASTE_START) - 1
_SEQUENCE = re.compile(r"\x1b(?:\[[<-?0-9;:]*[@-~]|O.)")
_LINE_END = re.compile(r"\r\n?")
# So many signs in one piece are held back until it shows whether more of them follow; and so many
# in pieces like that are a pasted text: a keyboard driven by a program would need ten seconds for
# them. Common practice, no source.
_PIECE = 64
_FLOOD = 1000
# It is over when nothing has come for so long; a piece that comes soon after is of it all the same.
_QUIET_S = 0.1
_SOON_S = 1.0
_LOOK_S = 0.1
_READ = 1 << 16
_HUNG_UP = 129


class InputParser(XTermParser):
    """Makes one event of a pasted text, marked or not, and leaves everything else to Textual."""

    def __init__(self, debug: bool = False) -> None:
        super().__init__(debug)
        # The last signs outside of a pasted text: its mark may come in two pieces.
        self._tail = ""
        self._pasted: list[str] | None = None
        self._pieces: list[str] = []
        self._flood = 0
        self._last = 0.0
        self._flood_over = -_SOON_S

    def feed(self, data: str) -> Iterable[Message]:
        """Events of what was read."""
        if not data:
            yield from super().feed(data)
            return
        while data:
            if self._pasted is not None:
                data, found = self._in_paste(data)
                yield from found
            else:
                data, found = self._before_paste(data)
                yield from found

    def tick(self) -> Iterable[Message]:
        """Events of what has waited long enough."""
        if self._pieces and monotonic() - self._last >= _QUIET_S:
            yield from self._pieces_over()
        yield from super().tick()

    # -- marked text -----------------------------------------------------------------------

    def _before_paste(self, data: str) -> tuple[str, Iterable[Message]]:
        """What comes before the mark, and what is left."""
        at = (self._tail + data).find(BRACKETED_PASTE_START)
        if at < 0:
            self._tail = (self._tail + data)[-_OVERLAP:]
            return "", self._unmarked(data)
        end = at + len(BRACKETED_PASTE_START) - len(self._tail)
        self._tail = ""
        self._pasted = []
        # Textual reads the mark too: what follows is kept from it.
        return data[end:], [*self._pieces_over(), *super().feed(data[:end])]

    def _in_paste(self, data: str) -> tuple[str, Iterable[Message]]:
        """The text once it is whole, and what is left."""
        assert self._pasted is not None
        before = "".join(self._pasted[-_OVERLAP:])[-_OVERLAP:]
        at = (before + data).find(BRACKETED_PASTE_END)
        if at < 0:
            self._pasted.append(data)
            return "", ()
        end = at + len(BRACKETED_PASTE_END) - len(before)
        text = "".join((*self._pasted, data[:end])).removesuffix(BRACKETED_PASTE_END)
        self._pasted = None
        closed = super().feed(BRACKETED_PASTE_END)
        rest = [event for event in closed if not isinstance(event, events.Paste)]
        return data[end:], [*rest, _pasted(text)]

    # -- text without a mark ---------------------------------------------------------------

    def _unmarked(self, data: str) -> Iterator[Message]:
        """Keys, or pieces of a pasted text."""
        plain = len(_SEQUENCE.sub("", data))
        self._last = monotonic()
        if plain >= _PIECE or self._flood >= _FLOOD:
            self._pieces.append(data)
            self._flood += plain
        else:
            yield from self._pieces_over()
            yield from super().feed(data)

    def _pieces_over(self) -> Iterator[Message]:
        """What was held back is a pasted text, or was typed after all."""
        text, many = "".join(self._pieces), self._flood
        self._pieces.clear()
        self._flood = 0
        now = monotonic()
        if text and (many >= _FLOOD or now - self._flood_over < _SOON_S):
            self._flood_over = now
            yield _pasted(text)
        elif text:
            yield from super().feed(text)


def _pasted(text: str) -> events.Paste:
    # Terminals send the key of a new line where a line of the text ends.
    return events.Paste(_LINE_END.sub("\n", text.replace("\x00", "")))


class LastingScreen(io.TextIOBase):
    """What is drawn on: nobody waits for it once the terminal is gone."""

    def __init__(self, file: TextIO) -> None:
        super().__init__()
        self._file = file
        self._is_gone = False

    def write(self, text: str) -> int:
        """Draw, if there is anything to draw on."""
        self._try(lambda: self._file.write(text))
        return len(text)

    def flush(self) -> None:
        """Bring out what was drawn."""
        self._try(self._file.flush)

    def fileno(self) -> int:
        """The terminal."""
        return self._file.fileno()

    def _try(self, act: Callable[[], object]) -> None:
        if not self._is_gone:
            try:
                act()
            except OSError:
                # A writer that ended of it would leave the whole program waiting for its turn.
                self._is_gone = True


class CarefulDriver(LinuxDriver):
    """Reads the terminal with that parser, and leaves when the terminal is gone."""

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        self._file = cast("Any", LastingScreen(cast("TextIO", self._file)))

    def start_application_mode(self) -> None:
        """Draw from now on; the size is looked up in the loop, one time after another.

        A handler that is called in the middle of itself would tell an older size last.
        """
        super().start_application_mode()  # type: ignore[no-untyped-call]
        asyncio.get_running_loop().add_signal_handler(signal.SIGWINCH, self._tell_size)

    def _tell_size(self) -> None:
        if not self._in_band_window_resize:
            size = Size(*self._get_terminal_size())
            self._app.post_message(events.Resize(size, size))

    def run_input_thread(self) -> None:
        """Hand on what comes until the program or the terminal ends."""
        parser = InputParser(self._debug)
        # Signs of another encoding are no reason to end.
        decode = getincrementaldecoder("utf-8")("replace").decode
        with selectors.SelectSelector() as selector:
            selector.register(self.fileno, selectors.EVENT_READ)
            while not self.exit_event.is_set():
                if selector.select(_LOOK_S):
                    try:
                        data = os.read(self.fileno, _READ)
                    except OSError:
                        data = b""
                    if not data:
                        self._app.call_later(self._app.exit, _HUNG_UP)
                        return
                    self._hand_on(parser.feed(decode(data)))
                self._hand_on(parser.tick())

    def _hand_on(self, found: Iterable[Message]) -> None:
        for message in found:
            self.process_message(message)
