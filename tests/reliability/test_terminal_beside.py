"""An open program and other processes: commands beside it, and a program that was killed."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.reliability import typing_ground
from tests.reliability.terminal import ROOT, offglass
from tests.reliability.test_terminal_ending import can_be_changed, done_today

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="locks and signals of POSIX")

_ATTEMPTS = 30


def command(ledger: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """A command in a shell."""
    argv = [sys.executable, "-m", "ledger", "--ledger", str(ledger), *words]
    return subprocess.run(
        argv, cwd=ROOT, capture_output=True, text=True, timeout=60, check=False
    )  # fmt: skip


def test_a_command_reads_and_changes_beside_the_open_program(ground: Path) -> None:
    with offglass(ground, room="ranking") as terminal:
        terminal.shows("Bram Oselo")
        time.sleep(2.5)
        read = command(ground, "ask", "ranking", "--json")
        assert read.returncode == 0, read.stderr
        assert len(json.loads(read.stdout)["rows"]) == 4
        noted = command(ground, "note", "watch him", "--player", "Ilvo Tarn")
        assert noted.returncode == 0, noted.stderr
        # What was stored beside it is seen where it is looked for.
        terminal.press("s")
        terminal.shows("note")
        terminal.press("q")
        assert terminal.exit_code() == 0
    can_be_changed(ground)


def test_a_program_that_was_killed_loses_no_more_than_the_attempt_under_way(ground: Path) -> None:
    wanted = typing_ground.film_keys(ground, _ATTEMPTS)
    with typing_ground.watching(ground) as terminal:
        terminal.type("".join(key for key, _ in wanted), 50)
        terminal.until(lambda: done_today(terminal) > _ATTEMPTS // 2, "too little is taken")
        seen = done_today(terminal)
        terminal.signal("SIGKILL")
        assert terminal.exit_code() == -9
    with offglass(ground, room="contents") as terminal:
        # What was not stored yet is stored by the next start.
        terminal.shows("% watched")
        typed = ground.parent / "state" / "offglass" / "typed"
        terminal.until(lambda: not list(typed.glob("*.jsonl")), "it is not stored")
        terminal.press("q")
        assert terminal.exit_code() == 0
    stored = typing_ground.tagged(ground)
    assert len(stored) >= seen - 1
    assert stored == [fields for _, fields in wanted[: len(stored)]]
    can_be_changed(ground)


def test_a_scoresheet_that_was_killed_loses_no_more_than_the_trip_under_way(ground: Path) -> None:
    typed = typing_ground.trips(12)
    with typing_ground.scoring(ground) as terminal:
        terminal.type("".join(text for text, _ in typed) + "12", 50)
        terminal.until(lambda: "› 12▏" in terminal.screen.text(), "the last line is not typed")
        terminal.signal("SIGKILL")
        assert terminal.exit_code() == -9
    # What a killed program left beside the ledger is taken in by the next change.
    can_be_changed(ground)
    stored = typing_ground.scored(ground)
    assert stored == [shot for _, shots in typed for shot in shots][: len(stored)]
    waiting = typing_ground.memory(ground).last().waiting
    # One that was just stored may still stand among those that wait.
    assert len(typed) <= len(stored) / 2 + len(waiting) <= len(typed) + 1
    assert waiting == tuple(text.strip() for text, _ in typed[len(typed) - len(waiting) :])
    if waiting:
        with typing_ground.scoring_again(ground) as terminal:
            terminal.shows("put aside")
