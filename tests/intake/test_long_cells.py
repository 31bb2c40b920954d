"""Cells as long as a field may be are looked at in no time: no pattern goes over them again."""

from __future__ import annotations

from collections.abc import Callable
from time import process_time

import pytest

from ledger.intake import kind_guard, summary_rows
from ledger.intake.draft import evidence
from ledger.intake.profile.people import split_number
from ledger.intake.records import MAX_FIELD

# A pattern that goes over such a cell from each of its letters takes three seconds and more.
MOST_S = 1.0


@pytest.mark.parametrize(
    ("look", "cell"),
    [
        (summary_rows._FIGURE.match, " " * (MAX_FIELD - 1) + "x"),
        (summary_rows._FIGURE.match, "-" + " " * (MAX_FIELD - 2) + "x"),
        (kind_guard._PERCENT.match, "1" * (MAX_FIELD - 1) + "x"),
        (evidence._NUMBER.match, "1" * (MAX_FIELD - 1) + "x"),
        (lambda cell: split_number(cell, "back"), "a" + " " * (MAX_FIELD - 2) + "b"),
        (lambda cell: split_number(cell, "back"), "a -" * (MAX_FIELD // 3)),
        (lambda cell: split_number(cell, "front"), "1" + " " * (MAX_FIELD - 2) + "b"),
    ],
)
def test_a_long_cell_takes_no_time(look: Callable[[str], object], cell: str) -> None:
    began = process_time()

    look(cell)

    assert process_time() - began < MOST_S


@pytest.mark.parametrize(
    ("text", "name", "number"),
    [
        ("Ott   7", "Ott", "7"),
        ("Ott , 7", "Ott", "7"),
        ("Ott - 7", "Ott", "7"),
        ("Ott  (7)", "Ott", "7"),
        ("Ott#7", "Ott", "7"),
        ("Kilo Ott 1234", "Kilo Ott 1234", ""),
    ],
)
def test_a_number_behind_a_name_is_found_behind_any_blanks(
    text: str, name: str, number: str
) -> None:
    assert split_number(text, "back") == (name, number)


@pytest.mark.parametrize(
    ("text", "is_figure", "is_percent", "is_number"),
    [
        ("78.3 %", True, True, True),
        ("78,3%", True, True, True),
        (".783", True, True, True),
        ("783", True, False, True),
        ("7 of 9", True, False, False),
        ("7-9 ", True, False, False),
        ("%", True, True, False),
        ("--", True, False, False),
        ("7a", False, False, False),
    ],
)
def test_figures_percents_and_numbers_are_told_as_before(
    text: str, is_figure: bool, is_percent: bool, is_number: bool
) -> None:
    found = (summary_rows._FIGURE, kind_guard._PERCENT, evidence._NUMBER)

    assert [one.match(text) is not None for one in found] == [is_figure, is_percent, is_number]
