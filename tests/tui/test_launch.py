"""The door: what it loads, what it refuses, and how it leaves the terminal behind."""

from __future__ import annotations

import os
import select
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

HEAVY = ("textual", "rich", "duckdb", "polars", "altair", "scipy", "numpy")

PROGRAM = """
import sys
from tests.tui.fake_book import FakeBook
from tui.app import OffglassApp
book = FakeBook()
code = OffglassApp(lambda: book, "spring.duckdb").run()
print("left", code, book.closed)
sys.exit(code)
"""


def python(*args: str, **options: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(  # type: ignore[call-overload, no-any-return]
        [sys.executable, *args], capture_output=True, text=True, timeout=60, check=False, **options
    )


def test_the_door_loads_nothing_heavy() -> None:
    done = python("-c", "import sys, tui.launch; print(*sys.modules)")
    loaded = {name.partition(".")[0] for name in done.stdout.split()}
    assert loaded.isdisjoint(HEAVY)


def test_without_a_terminal_it_is_one_line_and_exit_2() -> None:
    done = python("-c", "import sys; from tui.launch import main; sys.exit(main())")
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "needs a terminal" in done.stderr
    assert done.stdout == ""


def test_wrong_arguments_are_one_line_and_exit_2() -> None:
    code = "import sys; from tui.launch import main; sys.exit(main(['a', 'b']))"
    done = python("-c", code)
    assert done.returncode == 2
    assert done.stderr == "offglass: usage: offglass-terminal [LEDGER]\n"


class Terminal:
    """A program in a terminal of its own."""

    def __init__(self, code: str) -> None:
        import pty

        self.child, self.end = pty.fork()
        if self.child == 0:
            os.environ.update(TERM="xterm-256color", COLUMNS="80", LINES="24")
            os.execv(sys.executable, [sys.executable, "-c", code])
        self.seen = b""

    def until(self, text: bytes, seconds: float = 20.0) -> bool:
        end = time.monotonic() + seconds
        while time.monotonic() < end and text not in self.seen:
            ready, _, _ = select.select([self.end], [], [], 0.1)
            if ready:
                try:
                    piece = os.read(self.end, 65536)
                except OSError:
                    break
                if not piece:
                    break
                self.seen += piece
        return text in self.seen

    def exit_code(self) -> int:
        end = time.monotonic() + 10
        while time.monotonic() < end:
            self.until(b"\0never", 0.05)
            time.sleep(0.01)
            pid, status = os.waitpid(self.child, os.WNOHANG)
            if pid:
                return os.waitstatus_to_exitcode(status)
        os.kill(self.child, signal.SIGKILL)
        raise AssertionError("the program did not end")


@pytest.mark.skipif(sys.platform == "win32", reason="terminals of this kind are not on Windows")
@pytest.mark.parametrize(("name", "code"), [("SIGTERM", 143), ("SIGHUP", 129), ("q", 0)])
def test_the_screen_is_given_back(name: str, code: int) -> None:
    terminal = Terminal(PROGRAM)
    assert terminal.until(b"Who shoots best")
    if name == "q":
        os.write(terminal.end, b"q")
    else:
        os.kill(terminal.child, getattr(signal, name))
    assert terminal.until(b"\x1b[?1049l")
    assert terminal.until(f"left {code} True".encode())
    assert terminal.exit_code() == code
    assert b"Traceback" not in terminal.seen


@pytest.mark.skipif(sys.platform == "win32", reason="terminals of this kind are not on Windows")
def test_a_missing_ledger_is_one_line_and_exit_3(tmp_path: Path) -> None:
    code = f"import sys; from tui.launch import main; sys.exit(main([{str(tmp_path / 'no')!r}]))"
    terminal = Terminal(code)
    assert terminal.until(b"there is no ledger")
    assert terminal.exit_code() == 3
    assert b"\x1b[?1049h" not in terminal.seen


FAULTY = """
import sys
from tests.tui.fake_book import FakeBook
from tui.app import OffglassApp
from tui.widgets.rows import RowsView
def broken(self, y):
    raise ZeroDivisionError("division by zero")
RowsView.render_line = broken
book = FakeBook()
code = OffglassApp(lambda: book, "spring.duckdb").run()
print("left", code, book.closed)
sys.exit(code)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="terminals of this kind are not on Windows")
def test_a_fault_in_drawing_is_one_line_and_gives_the_screen_back() -> None:
    terminal = Terminal(FAULTY)
    assert terminal.until(b"Who shoots best")
    os.write(terminal.end, b"1")
    assert terminal.until(b"a fault of the program (ZeroDivisionError: division by zero)")
    assert terminal.until(b"left 3 True")
    assert terminal.exit_code() == 3
    assert b"Traceback" not in terminal.seen
