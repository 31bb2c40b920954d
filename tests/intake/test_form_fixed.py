from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.errors import RefusedInput, UseError
from ledger.intake.forms import FixedColumn, Form
from tests.intake.forms_given import cells, lines, opened, refused

COLUMNS = (FixedColumn("league", 1, 6), FixedColumn("player", 8, 17), FixedColumn("made", 19, 19))
FORM = Form(type="fixed", columns=COLUMNS)


def test_columns_are_counted_in_characters_not_in_bytes() -> None:
    found = opened("Halma  Ött Kõselö 1\nHalma  Oselo\n".encode(), FORM)

    assert found.table.columns == ("league", "player", "made")
    assert cells(found) == [["Halma", "Ött Kõselö", "1"], ["Halma", "Oselo", ""]]
    assert found.form == "fixed"


def test_text_outside_every_column_refuses_its_line_and_is_kept() -> None:
    found = opened(b"Halma  Oselo      1 home\nHalma xVedil      0\nHalma  Ruva       1\n", FORM)

    assert refused(found) == [(1, "outside_columns"), (2, "outside_columns")]
    assert found.table.rejects["value"].to_list() == ["home", "x"]
    assert found.table.lines["text"].to_list()[0] == "Halma,Oselo,1,home"


def test_a_line_with_a_tab_or_without_end_is_refused() -> None:
    found = opened(b"Halma\tOselo\t1\nHalma  " + b"x" * 2**20 + b"\nHalma  Ruva       1\n", FORM)

    assert refused(found) == [(1, "tab_in_line"), (2, "too_long")]
    assert lines(found) == [3]


def test_header_blank_and_skipped_lines_are_no_records() -> None:
    data = b"LEAGUE PLAYER     M\n\nHalma  Oselo      1\n-------------------\nHalma  Ruva       0\n"

    found = opened(data, Form(type="fixed", columns=COLUMNS, header=1, skip=(4,)))

    assert lines(found) == [3, 5]
    assert found.table.header_line == 1
    assert found.table.skipped.select("line", "reason").rows() == [(4, "skip_line")]


def test_unreadable_bytes_and_control_codes_refuse_their_line() -> None:
    good = b"Halma  Oselo      1\n" * 12

    found = opened(good + b"Halma  Os\xe9lo      1\nHalma  Os\x01lo      1\n", FORM)

    assert refused(found) == [(13, "bad_encoding"), (14, "control_character")]


@pytest.mark.parametrize("column", [FixedColumn("a", 0, 3), FixedColumn("a", 5, 4)])
def test_positions_that_cannot_be_are_named(column: FixedColumn) -> None:
    with pytest.raises(UseError, match="column a goes from"):
        opened(b"Halma\n", Form(type="fixed", columns=(column,)))


def test_a_fixed_file_needs_columns_and_rows() -> None:
    with pytest.raises(UseError, match="need columns"):
        opened(b"Halma\n", Form(type="fixed"))
    with pytest.raises(RefusedInput, match="no row below line 1"):
        opened(b"LEAGUE\n", Form(type="fixed", columns=COLUMNS, header=1))


@settings(max_examples=80, deadline=None)
@given(
    rows=st.lists(
        st.tuples(
            st.text("ab\u00e9\u6f22.", max_size=6),
            st.text("xy\u0142 ,'\"", max_size=10),
            st.sampled_from(["0", "1", ""]),
        ),
        min_size=1,
        max_size=8,
    )
)
def test_padded_cells_come_back(rows: list[tuple[str, str, str]]) -> None:
    text = "\n".join(f"{a:<6} {b:<10} {c}" for a, b, c in rows) + "\n"
    wanted = [[a, b.strip(), c] for a, b, c in rows if (a + b + c).strip()]
    if not wanted:
        return

    found = opened(text.encode(), FORM)

    assert cells(found) == wanted
    assert refused(found) == []
