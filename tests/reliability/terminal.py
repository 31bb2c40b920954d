"""The real program in a terminal of its own: keys at a set speed, sizes, signals, its screen.

The program runs as a user starts it, on a pseudo-terminal, with settings and memory of its own; a
thread takes what it draws, so that it never waits for the test.
"""

from __future__ import annotations

import fcntl
import os
import select
import signal
import struct
import sys
import termios
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from tests.reliability.screen_reader import ScreenReader

ROOT = Path(__file__).parents[2]
PATIENCE_S = 30.0
KEYS = {
    "up": "\x1b[A", "down": "\x1b[B", "right": "\x1b[C", "left": "\x1b[D", "escape": "\x1b",
    "enter": "\r", "tab": "\t", "shift+tab": "\x1b[Z", "backspace": "\x7f", "slash": "/",
    "minus": "-", "plus": "+", "pagedown": "\x1b[6~", "f1": "\x1bOP", "f2": "\x1bOQ",
    "f3": "\x1bOR", "f4": "\x1bOS", "f5": "\x1b[15~", "f6": "\x1b[17~", "f7": "\x1b[18~",
    "f8": "\x1b[19~", "f9": "\x1b[20~", "f10": "\x1b[21~", "f11": "\x1b[23~",
    "f12": "\x1b[24~",
}  # fmt: skip


class Terminal:
    """A window with a program in it.

    Args:
        home: a folder for its settings, memory and working folder.
        argv: what runs in it.
        size: cells and lines.
        env: of the environment, what is told beside the usual.
    """

    def __init__(
        self,
        home: Path,
        *argv: str,
        size: tuple[int, int] = (100, 30),
        env: Mapping[str, str] | None = None,
    ) -> None:
        import pty

        self.screen = ScreenReader(*size)
        self.sent = bytearray()
        self._turn = threading.Condition()
        self._over = False
        self._code: int | None = None
        told = _environment(home, env or {})
        self.child, self.end = pty.fork()
        if self.child == 0:
            os.chdir(home)
            os.execve(argv[0], list(argv), told)
        self._set_size(*size)
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    # -- what it shows ---------------------------------------------------------------------

    def _read(self) -> None:
        while not self._over:
            ready, _, _ = select.select([self.end], [], [], 0.05)
            if not ready:
                continue
            try:
                piece = os.read(self.end, 1 << 16)
            except OSError:
                break
            if not piece:
                break
            with self._turn:
                self.sent += piece
                self.screen.feed(piece)
                self._turn.notify_all()

    def until(self, holds: Callable[[], bool], what: str, seconds: float = PATIENCE_S) -> float:
        """Wait until something holds of the screen; how long it took."""
        began = time.monotonic()
        with self._turn:
            if not self._turn.wait_for(holds, seconds):
                raise AssertionError(f"{what}; the screen:\n{self.screen.text()}")
        return time.monotonic() - began

    def shows(self, text: str, seconds: float = PATIENCE_S) -> float:
        """Wait until a text stands on the screen; how long it took."""
        return self.until(lambda: text in self.screen.text(), f"{text!r} is not shown", seconds)

    def hides(self, text: str, seconds: float = PATIENCE_S) -> float:
        """Wait until a text no longer stands on the screen; how long it took."""
        return self.until(lambda: text not in self.screen.text(), f"{text!r} is shown", seconds)

    def rests(self, quiet: float = 0.15, seconds: float = PATIENCE_S) -> None:
        """Wait until nothing has been drawn for so long."""
        end = time.monotonic() + seconds
        with self._turn:
            while self._turn.wait(quiet) and time.monotonic() < end:
                pass

    def text(self) -> str:
        """The screen as it is now."""
        with self._turn:
            return self.screen.text()

    # -- what is done to it ----------------------------------------------------------------

    def send(self, text: str | bytes) -> None:
        """Send bytes as fast as they are taken."""
        data = text.encode() if isinstance(text, str) else text
        while data:
            data = data[os.write(self.end, data) :]

    def press(self, *keys: str) -> None:
        """Send keys by their names, one at a time and not at once."""
        for key in keys:
            self.send(KEYS.get(key, key))
            # What comes soon after an escape makes one key with it.
            time.sleep(0.3 if key == "escape" else 0.02)

    def close(self, text: str) -> None:
        """Escape from a window that shows a text."""
        self.press("escape")
        self.hides(text)

    def type(self, keys: str, a_second: float) -> None:
        """Type so many keys a second, each at its own time."""
        began = time.monotonic()
        for at, key in enumerate(keys):
            time.sleep(max(0.0, began + at / a_second - time.monotonic()))
            self.send(key)

    def resize(self, cells: int, lines: int) -> None:
        """Drag the window to another size."""
        with self._turn:
            self.screen.resize(cells, lines)
            self._set_size(cells, lines)

    def _set_size(self, cells: int, lines: int) -> None:
        # The system tells the program of it by SIGWINCH.
        fcntl.ioctl(self.end, termios.TIOCSWINSZ, struct.pack("HHHH", lines, cells, 0, 0))

    def signal(self, name: str) -> None:
        """Send the program a signal."""
        os.kill(self.child, getattr(signal, name))

    def close_window(self) -> None:
        """Close the window, or lose the connection, with the program still in it."""
        self._over = True
        self._reader.join()
        os.close(self.end)
        self.end = -1

    def exit_code(self, seconds: float = PATIENCE_S) -> int:
        """Wait until the program has ended; its exit code, or minus the signal that ended it."""
        end = time.monotonic() + seconds
        while self._code is None and time.monotonic() < end:
            pid, status = os.waitpid(self.child, os.WNOHANG)
            if pid:
                self._code = os.waitstatus_to_exitcode(status)
            else:
                time.sleep(0.01)
        if self._code is None:
            raise AssertionError(f"the program did not end; its screen:\n{self.text()}")
        if self.end >= 0:
            self._reader.join(1.0)
        return self._code

    def finish(self) -> None:
        """Put an end to it, however it is."""
        if self._code is None:
            os.kill(self.child, signal.SIGKILL)
            self.exit_code()
        if self.end >= 0:
            self.close_window()


def _environment(home: Path, more: Mapping[str, str]) -> dict[str, str]:
    left_out = ("NO_COLOR", "COLORTERM", "COLUMNS", "LINES", "FORCE_COLOR", "OFFGLASS_LEDGER")
    told = {name: value for name, value in os.environ.items() if name not in left_out}
    told |= {f"XDG_{name}_HOME": str(home / name.lower()) for name in
             ("CONFIG", "DATA", "STATE", "CACHE")}  # fmt: skip
    return told | {
        "HOME": str(home), "TERM": "xterm-256color", "PYTHONPATH": str(ROOT), "LOGNAME": "mira",
        "USER": "mira", **more,
    }  # fmt: skip


@contextmanager
def offglass(
    ledger: Path,
    *,
    size: tuple[int, int] = (100, 30),
    env: Mapping[str, str] | None = None,
    room: str = "",
) -> Iterator[Terminal]:
    """The program on a ledger, as its command starts it.

    Args:
        ledger: the ledger; what the program remembers lies beside it.
        size: cells and lines.
        env: of the environment, what is told beside the usual.
        room: the screen it was left on last, where it begins.
    """
    home = ledger.parent
    if room:
        _left_on(home, ledger, room)
    argv = (sys.executable, "-m", "ledger", "--ledger", str(ledger))
    terminal = Terminal(home, *argv, size=size, env=env)
    try:
        yield terminal
    finally:
        terminal.finish()


def _left_on(home: Path, ledger: Path, room: str) -> None:
    from tui.places import Place
    from tui.visits import Visit, keep_visit

    keep_visit(
        home / "state" / "offglass" / "visits.json",
        ledger,
        Visit(0, 0, "2025-03-01", Place(room)),
    )
