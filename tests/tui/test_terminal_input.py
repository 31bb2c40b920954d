"""What is read from the terminal: pasted text stays one piece, keys stay keys."""

from __future__ import annotations

import sys

import pytest
from textual import events

from tui.bursts import was_typed

if sys.platform == "win32":
    pytest.skip("terminals of POSIX", allow_module_level=True)

from tui.terminal_input import InputParser

PASTED = "q u y \x1b[31m\x1b[200~ \x1b 1\n" * 40


def read(parser: InputParser, *pieces: str) -> list[str]:
    """Keys by their names, pasted texts in brackets."""
    found = [event for piece in pieces for event in parser.feed(piece)]
    return [f"[{e.text}]" if isinstance(e, events.Paste) else getattr(e, "key", "?") for e in found]


@pytest.fixture
def parser() -> InputParser:
    return InputParser()


@pytest.mark.parametrize("size", [1, 2, 3, 5, 7, 64, 4096, 100_000])
def test_a_marked_text_is_one_piece_whatever_is_in_it_and_however_it_comes(
    parser: InputParser, size: int
) -> None:
    whole = f"a\x1b[A\x1b[200~{PASTED}\x1b[201~b\x1b[200~\x1b[201~c"
    pieces = [whole[at : at + size] for at in range(0, len(whole), size)]
    assert read(parser, *pieces) == ["a", "up", f"[{PASTED}]", "b", "[]", "c"]


def test_what_no_keyboard_sends_is_a_pasted_text(
    parser: InputParser, monkeypatch: pytest.MonkeyPatch
) -> None:
    now = [100.0]
    monkeypatch.setattr("tui.terminal_input.monotonic", lambda: now[0])
    text = "qua yes 12\n" * 300
    assert read(parser, "x", text[:800], text[800:3000], text[3000:]) == ["x"]
    assert list(parser.tick()) == []
    now[0] += 0.2
    (paste,) = parser.tick()
    assert isinstance(paste, events.Paste)
    assert paste.text == text
    assert read(parser, "y") == ["y"]


@pytest.mark.parametrize("gap", [0.0, 0.2])
def test_some_keys_at_once_are_keys(
    parser: InputParser, monkeypatch: pytest.MonkeyPatch, gap: float
) -> None:
    now = [100.0]
    monkeypatch.setattr("tui.terminal_input.monotonic", lambda: now[0])
    typed = "12+-" * 100
    assert read(parser, typed) == []
    now[0] += gap
    found = [*parser.tick(), *parser.feed("9"), *parser.feed("\x1b[B" * 400)]
    assert [e.character for e in found if isinstance(e, events.Key)][:401] == [*typed, "9"]
    assert len(found) == 801


def test_keys_that_a_busy_machine_hands_on_at_once_were_typed() -> None:
    steady = [0.01 * n for n in range(32)]
    # Nothing for a third of a second, then all that was typed meanwhile.
    assert was_typed([0.65] * 33, steady)
    assert not was_typed([0.65] * 100, steady)
    # After a pause as long as that nobody knows how fast somebody types.
    assert not was_typed([5.0] * 33, steady)
    by_hand = [0.15 * n for n in range(32)]
    assert not was_typed([5.0] * 20, by_hand)
