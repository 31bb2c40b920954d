"""How wide a text will be: checked against the program that draws it."""

from __future__ import annotations

from typing import Any

import pytest
import vl_convert
from hypothesis import given
from hypothesis import strategies as st

from ledger.charts.measure import balanced, cut, width, wrap
from ledger.charts.theme import FONT, FONT_FOLDER

from .reading import size_of

TEXTS = (
    "Tarnik is first after allowing for luck, 84.9 % (79.2 to 89.6)",
    "WWWW iiii ....",
    "Ilvo Mulvo",
    "0123456789",
)


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("text", TEXTS)
def test_a_width_is_that_of_the_drawn_text(text: str, bold: bool) -> None:
    vl_convert.register_font_directory(str(FONT_FOLDER))
    mark = {
        "type": "text",
        "font": FONT,
        "fontSize": 20,
        "fontWeight": "bold" if bold else "normal",
        "align": "left",
    }
    spec: dict[str, Any] = {
        "data": {"values": [{"t": text}]},
        "mark": mark,
        "encoding": {"text": {"field": "t", "type": "nominal"}, "x": {"value": 0}},
        "width": 1,
        "height": 1,
        "padding": 0,
        "config": {"view": {"stroke": None}},
    }

    picture = vl_convert.vegalite_to_png(spec, allowed_base_urls=[])

    # With nothing around it, the picture is as wide as its text.
    assert width(text, 20, bold=bold) == pytest.approx(size_of(picture)[0], rel=0.01, abs=2)


def test_wide_letters_are_taken_wide_and_marks_on_letters_as_nothing() -> None:
    assert width("예은", 10) == pytest.approx(2 * width("예", 10))
    assert width("예", 10) >= 10
    assert width("e\u0301", 10) == width("e", 10)


def test_what_does_not_fit_ends_in_a_sign() -> None:
    assert cut("Ilvo Mulvo", 500, 12) == "Ilvo Mulvo"
    short = cut("Ilvo Mulvo", 40, 12)
    assert short.endswith("…")
    assert width(short, 12) <= 40


def test_a_headline_is_wrapped_at_words_and_loses_none() -> None:
    lines = wrap(TEXTS[0], 200, 20, lines=9)

    assert " ".join(lines) == TEXTS[0]
    assert max(width(line, 20) for line in lines) <= 200


def test_a_headline_too_long_for_its_lines_says_so() -> None:
    lines = wrap("word " * 100, 200, 20, lines=3)

    assert len(lines) == 3
    assert lines[-1].endswith("…")


@pytest.mark.parametrize("text", ["(2 to 17)", "(−9 to +13)", "20 % to 30 %", "0.95 to 0.97)"])
def test_both_ends_of_an_interval_stand_on_one_line(text: str) -> None:
    words = f"After 6 of 12 sessions 10 more per 100 {text}: go on, back to work"

    for room in range(150, 400, 7):
        lines = wrap(words, room, 12, lines=9)
        assert any(text in line for line in lines)
        assert " ".join(lines) == words


def test_a_to_that_is_no_interval_s_may_end_a_line() -> None:
    assert wrap("he went to 3 games", width("he went to", 12) + 1, 12, lines=3) == [
        "he went to",
        "3 games",
    ]


def test_a_word_longer_than_a_line_is_broken() -> None:
    lines = wrap("x" * 100, 100, 20, lines=50)

    assert "".join(lines) == "x" * 100


def test_two_lines_are_about_equally_long() -> None:
    lines = balanced(TEXTS[0], 500, 20, lines=3)

    assert len(lines) == 2
    assert width(lines[1], 20) > 0.6 * width(lines[0], 20)


@given(st.text(max_size=80), st.floats(30, 400), st.integers(1, 4))
def test_no_line_is_ever_wider_than_its_room(text: str, room: float, lines: int) -> None:
    found = wrap(text, room, 12, lines=lines)

    assert 1 <= len(found) <= lines
    assert all(width(line, 12) <= room for line in found)
