"""Lines of a pasted text, as terminals send them.

Terminals that follow xterm send a carriage return for each end of a line of a marked text; from
memory of xterm's control sequences.
"""

from __future__ import annotations

import pytest
from textual import events

from tui.pasted import look_through
from tui.terminal_input import InputParser

_START, _END = "\x1b[200~", "\x1b[201~"
_LIST = ("4 Ilvo Tarn", "7 Bram Oselo", "10 Kerr Dovik")


def _texts(sent: str) -> list[str]:
    parser = InputParser()
    return [event.text for event in parser.feed(sent) if isinstance(event, events.Paste)]


@pytest.mark.parametrize("end", ["\r", "\n", "\r\n"])
def test_a_list_of_players_keeps_its_lines_whichever_way_the_terminal_ends_them(end: str) -> None:
    (text,) = _texts(f"{_START}{end.join(_LIST)}{end}{_END}")
    assert text.split("\n") == [*_LIST, ""]
    assert look_through(text).shirts == tuple(tuple(line.split(" ", 1)) for line in _LIST)


def test_a_table_whose_lines_end_in_carriage_returns_is_known_as_one() -> None:
    (text,) = _texts(f"{_START}league,season,player,made\rHalma League,2024-25,Ilvo Tarn,yes{_END}")
    assert look_through(text).is_csv


def test_an_unmarked_table_keeps_its_lines_too() -> None:
    row = "Halma League,2024-25,2024-11-02,G1,Skerry,Ilvo Tarn,yes"
    parser = InputParser()
    found = list(parser.feed("\r".join([row] * 30)))
    parser._last -= 1.0
    found += parser.tick()
    (pasted,) = [event for event in found if isinstance(event, events.Paste)]
    assert pasted.text.splitlines() == [row] * 30
    assert "\r" not in pasted.text
