"""A scripted keyboard on a real terminal: what is typed is in the ledger, whole and in order."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.reliability import typing_ground
from tests.reliability.terminal import Terminal

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="terminals of POSIX")

SLOW, QUICK = 40, 200


def leave(terminal: Terminal) -> None:
    """Leave at once, as one does who has typed the last of it."""
    terminal.press("f10")
    assert terminal.exit_code() == 0
    assert terminal.screen.strange == []


def test_attempts_watched_at_10_and_at_100_keys_a_second_are_whole_and_in_order(
    ground: Path,
) -> None:
    wanted = typing_ground.film_keys(ground, SLOW + QUICK)
    keys = [key for key, _ in wanted]
    assert {len(key) for key in keys} == {1, 2, 3}
    with typing_ground.watching(ground) as terminal:
        terminal.type("".join(keys[:SLOW]), 10)
        terminal.type("".join(keys[SLOW:]), 100)
        typing_ground.taken(terminal, f"{SLOW + QUICK} attempts done today")
        leave(terminal)
    assert typing_ground.tagged(ground) == [fields for _, fields in wanted]


def test_trips_typed_at_10_and_at_100_keys_a_second_are_whole_and_in_order(ground: Path) -> None:
    typed = typing_ground.trips((SLOW + QUICK) // 2)
    slow = SLOW // 8
    with typing_ground.scoring(ground) as terminal:
        terminal.type("".join(text for text, _ in typed[:slow]), 10)
        terminal.type("".join(text for text, _ in typed[slow:]), 100)
        of = sum(who == "Kuno Dravik" for _, shots in typed for who, _ in shots)
        typing_ground.taken(terminal, f"now {of // 2} of {of}")
        leave(terminal)
    assert typing_ground.scored(ground) == [shot for _, shots in typed for shot in shots]
