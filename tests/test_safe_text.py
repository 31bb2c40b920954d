from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger import safe_text


@given(st.text(st.characters(), max_size=40))
def test_nothing_that_acts_or_hides_gets_through(text: str) -> None:
    shown = safe_text.safe(text)

    assert all(unicodedata.category(c) not in ("Cc", "Cf", "Cs", "Cn", "Zl", "Zp") for c in shown)
    assert safe_text.safe(shown) == shown


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("\x1b]52;c;x\x07", "␛]52;c;x␇"),
        ("\x9b31m", "\\x9b31m"),
        ("a\u202eb", "a\\u202eb"),
        ("a\u200bb", "a\\u200bb"),
        ("a\nb\tc", "a␊b␉c"),
        ("a\u00a0b", "a b"),
        ("\udcff", "\\udcff"),
        ("[b]차무린[/b]", "[b]차무린[/b]"),
        ("é", "é"),
    ],
)
def test_what_acts_is_shown_by_a_sign(text: str, shown: str) -> None:
    assert safe_text.safe(text) == shown


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r"])
def test_a_cell_that_begins_like_a_formula_is_guarded(sign: str) -> None:
    assert safe_text.safe_cell(f"{sign}1") == f"'{sign}1"
    assert safe_text.safe_cell(f"a{sign}1") == f"a{sign}1"


@given(st.text(max_size=30), st.integers(0, 20))
def test_a_cut_text_fits(text: str, cells: int) -> None:
    cut = safe_text.cut(text, cells)

    assert safe_text.width(cut) <= max(cells, 0)
    assert cut == text or cells == 0 or cut.endswith("…")


@pytest.mark.parametrize(("text", "cells"), [("abc", 3), ("차무", 4), ("e\u0301", 1), ("", 0)])
def test_width_counts_cells(text: str, cells: int) -> None:
    assert safe_text.width(text) == cells


AWFUL = [
    "../../x",
    "..",
    ".",
    "/etc/cron.d/x",
    "..\\..\\boot",
    "CON",
    "aux.csv",
    "COM1.txt",
    "-rf",
    "~root",
    "a/b",
    "file:///etc",
    "%2e%2e%2f",
    "x" * 300,
    "a\nb",
    "",
    "차" * 100,
]


@pytest.mark.parametrize("text", AWFUL)
def test_a_file_name_cannot_leave_its_folder(text: str) -> None:
    name = safe_text.safe_file_name(text)

    assert 0 < len(name.encode()) <= 80
    assert not name.startswith((".", "-", "~"))
    assert all(c.isalnum() or c in "_-" for c in name)
    assert name.upper() not in ("CON", "AUX", "COM1", "NUL")


def test_two_texts_never_share_a_file_name() -> None:
    named = {safe_text.safe_file_name(text) for text in (*AWFUL, "a_b", "a b", "a.b")}

    assert len(named) == len(AWFUL) + 3
