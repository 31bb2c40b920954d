"""The program in a real terminal on a large ledger: from a key to what it changes on the screen.

The baseline is the smallest program of the same library, started and typed to in the same
terminal: what is over it is ours.
"""

from __future__ import annotations

import itertools
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from operator import ne
from pathlib import Path

from tests.benchmarks.importing import ledger_of
from tests.benchmarks.million import Million
from tests.benchmarks.timing import Ratio
from tests.reliability.terminal import KEYS, Terminal, offglass
from tests.reliability.typing_ground import watching

STARTS, CHANGES, PAGES, TAGS = 10, 40, 20, 100
SIZE = (120, 36)
START_IS = "start of the smallest program of the same library: one line, no ledger"
KEY_IS = "a key that changes the one line of the smallest program of the same library"


def measure(home: Path, million: Million) -> list[Ratio]:
    """First screen, change of screen, page down and key echo of Watch: medians and 95 %."""
    path = ledger_of(home, million)
    held = f"{million.attempts:,} attempts"
    starts, bare_starts = _starts(path, held)
    keys = _bare_keys(home)
    changes, pages = _answers(path, held)
    return [
        *_two("terminal: first screen", starts, bare_starts, START_IS),
        *_two("terminal: change of screen", changes, keys, KEY_IS),
        *_two("terminal: page down", pages, keys, KEY_IS),
        *_two("terminal: a made one in Watch", _tags(path), keys, KEY_IS),
    ]


def _two(name: str, ours: list[float], bare: list[float], baseline_is: str) -> list[Ratio]:
    baseline = statistics.median(bare)
    late = sorted(ours)[round(0.95 * len(ours)) - 1]
    return [
        Ratio(f"{name}, median", statistics.median(ours), baseline, "none", baseline_is),
        Ratio(f"{name}, 95 %", late, baseline, "none", baseline_is),
    ]


def _starts(path: Path, held: str) -> tuple[list[float], list[float]]:
    """From the command to what the ledger holds, and of the smallest program, in turn."""
    ours, bare = [], []
    for turn in range(STARTS + 1):
        began = time.monotonic()
        with offglass(path, size=SIZE) as terminal:
            terminal.shows(held)
            took = time.monotonic() - began
        began = time.monotonic()
        with _bare(path.parent):
            took_bare = time.monotonic() - began
        # The first ones also bring the files of both into the memory of the machine.
        if turn:
            ours.append(took)
            bare.append(took_bare)
    return ours, bare


def _bare_keys(home: Path) -> list[float]:
    with _bare(home) as terminal:
        return [_key(terminal, "k", _says(f"{n} keys")) for n in range(1, CHANGES + 1)]


@contextmanager
def _bare(home: Path) -> Iterator[Terminal]:
    terminal = Terminal(home, sys.executable, "-m", "tests.benchmarks.bare_program", size=SIZE)
    try:
        terminal.shows("0 keys")
        yield terminal
    finally:
        terminal.finish()


def _answers(path: Path, held: str) -> tuple[list[float], list[float]]:
    """Changes between the contents and an answer that is there, and pages of its rows."""
    changes, pages = [], []
    with offglass(path, size=SIZE) as terminal:
        terminal.shows(held)
        terminal.press("1")
        terminal.shows("after allowing for luck,")
        terminal.rests(1.0)
        for _ in range(CHANGES // 2):
            changes.append(_key(terminal, "c", _says(" Contents\n")))
            changes.append(_key(terminal, "1", _says("▸")))
        for _ in range(PAGES):
            before = terminal.text()
            pages.append(_key(terminal, KEYS["pagedown"], partial(ne, before)))
    return changes, pages


def _tags(path: Path) -> list[float]:
    """From the key of a made attempt to the next attempt; others are answered and not timed."""
    took: list[float] = []
    with watching(path, size=SIZE) as terminal:
        for done in itertools.count(1):
            stored = _says(f", {done} done today")
            if "✗ missed" not in terminal.text():
                took.append(_key(terminal, "1", stored))
            else:
                _tell_miss(terminal)
                terminal.until(partial(_holds, stored, terminal), "the miss is not stored")
                terminal.rests(0.1)
            if len(took) == TAGS:
                break
    return took


def _tell_miss(terminal: Terminal) -> None:
    """Straight, long left, and in front where the ball was live or nobody knows."""
    terminal.press("1", "7")
    terminal.rests(0.1)
    if "Where did the ball go" in terminal.text():
        terminal.press("5")


def _says(text: str) -> Callable[[str], bool]:
    return lambda screen: text in screen


def _holds(changed: Callable[[str], bool], terminal: Terminal) -> bool:
    return changed(terminal.screen.text())


def _key(terminal: Terminal, key: str, changed: Callable[[str], bool]) -> float:
    """Seconds from the key to the change; then the program is given time to rest."""
    began = time.monotonic()
    terminal.send(key)
    terminal.until(partial(_holds, changed, terminal), f"{key!r} changes nothing")
    took = time.monotonic() - began
    terminal.rests(0.1)
    return took
