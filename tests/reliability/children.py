"""Child processes that hold, change or lose a ledger, for the tests of reliability."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_HEAD = """
import os, signal, sys, time
from ledger.errors import OffglassError
from ledger.store import journal
from ledger.store.ledger_file import LedgerFile

path = os.environ["LEDGER"]

def say(word):
    print(word, flush=True)

def wait():
    sys.stdin.readline()

def note(ledger, con, text):
    journal.record(con, ledger.clock, ledger.who, text)
"""


@contextmanager
def child(path: Path, code: str) -> Iterator[subprocess.Popen[str]]:
    """A running child; its lines on stdout are read by `heard`, a line on stdin lets it go on."""
    process = subprocess.Popen(
        [sys.executable, "-c", _HEAD + code],
        env={**os.environ, "LEDGER": str(path)},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        yield process
    finally:
        process.kill()
        process.communicate()


def heard(process: subprocess.Popen[str]) -> str:
    """The child's next line."""
    assert process.stdout is not None
    line = process.stdout.readline().strip()
    if not line and process.poll() is not None:
        assert process.stderr is not None
        raise AssertionError(process.stderr.read())
    return line


def let_go(process: subprocess.Popen[str]) -> None:
    """Let the child go on, and wait for its end."""
    process.communicate("\n", timeout=30)


def run(path: Path, code: str) -> str:
    """What a child says from its start to its end."""
    done = subprocess.run(
        [sys.executable, "-c", _HEAD + code],
        env={**os.environ, "LEDGER": str(path)},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()
