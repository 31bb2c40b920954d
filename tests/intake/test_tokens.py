from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.errors import RefusedInput
from ledger.intake import encoding, mapping, tokens
from ledger.intake.records import Damage, Record, read_record, split_record
from ledger.resources import schema

HEADER = ["league", "player", "note", "made"]
KNOWN = mapping.known_headers(schema("attempts"), ())
LETTERS = "ab \u00e9\u00a0\u2028\x0b'\\"


def table_of(data: bytes) -> tokens.Table:
    return tokens.tokenize(encoding.decode(data, "given.csv"), KNOWN, "given.csv")


def cells_of(table: tokens.Table) -> list[list[str]]:
    return [list(row) for row in table.frame.drop("line").iter_rows()]


@settings(max_examples=150, deadline=None)
@given(
    rows=st.lists(
        st.lists(
            st.text(LETTERS + '"\n', max_size=6) | st.text(LETTERS + '",;\t|', max_size=6),
            min_size=4,
            max_size=4,
        ),
        max_size=8,
    ),
    separator=st.sampled_from([",", ";", "\t", "|"]),
    newline=st.sampled_from(["\n", "\r\n", "\r"]),
    quoting=st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]),
)
def test_valid_files_hold_the_records_that_the_standard_library_reads(
    rows: list[list[str]], separator: str, newline: str, quoting: int
) -> None:
    # A cell holds either a line break or a separator: both in one may be ambiguous on purpose.
    # The writer quotes a line break only where it knows it for one: written with both, then cut.
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=separator, lineterminator="\r\n", quoting=quoting)  # type: ignore[arg-type]
    writer.writerow(HEADER)
    writer.writerows(
        [cell.replace(separator, "") if "\n" in cell else cell for cell in row] for row in rows
    )
    text = out.getvalue().replace("\r\n", newline)

    table = table_of(text.encode())

    oracle = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True))
    assert cells_of(table) == oracle[1:]
    assert table.rejects.is_empty()
    assert table.separator == separator


@pytest.mark.parametrize(
    ("lines", "reason"),
    [
        (['a,"b,c'], "unclosed_quote"),
        (['a,"b"c,d'], "stray_quote"),
        (['a,b"c,d'], "stray_quote"),
        (['a,"b', 'c"d,e'], "unclosed_quote"),
        (['a,"b', 'c",d,e,f,g'], "unclosed_quote"),
        (['a,"' + "b" * 6000, "b" * 6000 + '",c'], "unclosed_quote"),
    ],
)
def test_a_record_that_is_not_strict_is_named_by_its_damage(lines: list[str], reason: str) -> None:
    assert read_record(lines, 0, ",", 3) == Damage(reason)


def test_a_record_over_several_lines_is_read_whole() -> None:
    lines = ['a,"b ""x""', "", 'c",d', "next"]

    record = read_record(lines, 0, ",", 3)

    assert record == Record(("a", 'b "x"\n\nc', "d"), 2)


@pytest.mark.parametrize(
    "lines",
    [
        ['a,"b,1', "x,y,2", 'c",d'],
        ['a,"b,1', 'c",d'],
        ['"a', 'b,c,d"'],
    ],
)
def test_a_record_with_a_line_that_reads_like_a_record_is_ambiguous(lines: list[str]) -> None:
    record = read_record(lines, 0, ",")

    assert isinstance(record, Record)
    assert record.ambiguous


def test_cells_of_a_damaged_row_are_shown_as_well_as_they_can_be_told() -> None:
    assert split_record('a,"b,c', ",") == ["a", "b,c"]
    assert split_record('a,"b ""c""",d', ",") == ["a", 'b "c"', "d"]


def test_lines_keep_their_numbers_through_blanks_notes_and_rejects() -> None:
    data = b'\nleague,player,note,made\nA,B,"one\ntwo",1\n\nA,B\nA,C,,0\n'

    table = table_of(data)

    assert table.header_line == 2
    assert table.frame["line"].to_list() == [3, 7]
    assert table.rejects.select("line", "reason").rows() == [(6, "wrong_field_count")]
    assert table.ends == {3: 4}


def test_line_separators_of_unicode_and_form_feeds_do_not_end_a_line() -> None:
    data = "league,player,note,made\nA,B\u2028C\x0bD\x0cE\u0085,,1\n".encode()

    table = table_of(data.replace("\u0085".encode(), b""))

    assert cells_of(table) == [["A", "B\u2028C\x0bD\x0cE", "", "1"]]


def test_a_quoted_file_and_its_plain_twin_give_the_same_cells() -> None:
    rows = [[f"L{at % 3}", f"P{at}", "", "1"] for at in range(500)]
    plain, quoted = io.StringIO(), io.StringIO()
    for out, quoting in ((plain, csv.QUOTE_MINIMAL), (quoted, csv.QUOTE_ALL)):
        csv.writer(out, quoting=quoting).writerows([HEADER, *rows])  # type: ignore[arg-type]

    assert cells_of(table_of(plain.getvalue().encode())) == rows
    assert cells_of(table_of(quoted.getvalue().encode())) == rows


def test_a_field_above_the_cap_rejects_its_row_alone() -> None:
    data = b"league,player,note,made\nA,B," + b"x" * 10_001 + b",1\nA,C,fine,0\n"

    table = table_of(data)

    assert table.rejects.select("line", "column", "reason").rows() == [(2, "note", "too_long")]
    assert len(table.rejects["value"][0]) <= 80
    assert cells_of(table) == [["A", "C", "fine", "0"]]


@pytest.mark.parametrize("sign", ["^", "#"])
def test_a_separator_line_with_another_sign_is_refused(sign: str) -> None:
    with pytest.raises(RefusedInput, match="separator"):
        table_of(f"sep={sign}\nleague{sign}player\n".encode())


def test_a_headerless_file_whose_separator_cannot_be_told_is_refused() -> None:
    text = encoding.decode(b"a;b,c;d\ne;f,g;h\n", "given.csv")

    with pytest.raises(RefusedInput, match="sep=;"):
        tokens.tokenize(text, KNOWN, "given.csv", highest=2)
