"""What stands together on a line: figures with their units, both ends of an interval."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.charts.measure import width, wrap
from ledger.charts.specification import alt_text
from ledger.charts.unbroken import BLANK, unbroken
from tests.charts import answers
from tests.charts.reading import spec_of


@pytest.mark.parametrize(
    ("text", "held"),
    [
        ("10 more per 100 (2 to 17): go on", ["per 100 (2 to 17):"]),
        ("24 % (11 to 44) in 2024-25", ["24 % (11 to 44)"]),
        ("84.9 % (79.2 to 89.6)", ["84.9 % (79.2 to 89.6)"]),
        ("Between 3 and 71 % of free throws", ["71 %"]),
        ("2 to 96 %, 2024-25", ["2 to 96 %,"]),
        ("20 % to 30 %", ["20 % to 30 %"]),
        ("+23 (+19 to +28) per 100; back", ["+23 (+19 to +28) per 100;"]),
        ("(\u221213 to +12), 0.2 points a season (\u201319.2 to 17.9)",
         ["(\u221213 to +12),", "0.2 points", "(\u201319.2 to 17.9)"]),
        ("straight 1,414 of 3,063, same 128 shooters", ["128 shooters"]),
        ("he went to 3 games", ["3 games"]),
        ("in 2015-16 then 3 leagues", ["3 leagues"]),
    ],
)  # fmt: skip
def test_blanks_inside_figures_and_intervals_do_not_break(text: str, held: list[str]) -> None:
    found = unbroken(text)

    assert found.replace(BLANK, " ") == text
    assert [piece.replace(BLANK, " ") for piece in found.split(" ") if BLANK in piece] == held


@given(st.text(alphabet="0123456789 %(),.+-\u2212toperofmisse", max_size=60))
def test_only_blanks_change_and_holding_twice_holds_no_more(text: str) -> None:
    once = unbroken(text)

    assert once.replace(BLANK, " ") == text.replace(BLANK, " ")
    assert len(once) == len(text)
    assert unbroken(once) == once


def test_what_is_held_together_parts_at_a_blank_where_a_line_has_no_room_for_it() -> None:
    text = "10 more per 100 (2 to 17)"

    lines = wrap(text, width("(2 to 1", 12), 12, lines=9)

    assert " ".join(lines) == text
    assert all(word in text.split() for line in lines for word in line.split())


@pytest.mark.parametrize("size", ["wide", "square", "tall"])
def test_no_line_of_a_headline_ends_inside_an_interval_or_before_a_unit(size: str) -> None:
    headline = (
        "Off the backboard: Halma League 3 % of free throws (0 to 16) in 2015-16, 24 % (11 to 44) "
        "in 2024-25, which raised the question; +23 (+19 to +28) per 100; players drawn by lot."
    )
    answer = answers.uptake(2, 4, headline=headline)

    lines = spec_of(answer, size=size)["title"]["text"]

    assert " ".join(lines) == headline
    for held in ("3 %", "(0 to 16)", "24 % (11 to 44)", "+23 (+19 to +28) per 100;"):
        assert any(held in line for line in lines)
    assert BLANK not in alt_text(answer)
    assert BLANK not in "".join(lines)
