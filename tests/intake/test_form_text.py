from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.errors import RefusedInput, UseError
from ledger.intake.forms import Form
from ledger.intake.records import split_record
from tests.intake.forms_given import HEADER, cells, lines, opened, refused

# RFC 4180 (Common Format and MIME Type for Comma-Separated Values (CSV) Files, 2005), section 2,
# its examples of rules 1, 2, 5, 6 and 7; from memory.
RFC_4180 = [
    (b"aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    (b"aaa,bbb,ccc\r\nzzz,yyy,xxx", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    (b'"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    (b'"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "b\nbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    (b'"aaa","b""bb","ccc"\r\nzzz,yyy,xxx', [["aaa", 'b"bb', "ccc"], ["zzz", "yyy", "xxx"]]),
]


@pytest.mark.parametrize(("data", "wanted"), RFC_4180)
def test_the_examples_of_the_standard_are_read_as_it_says(
    data: bytes, wanted: list[list[str]]
) -> None:
    found = opened(data, Form(separator="comma", header=0))

    assert cells(found) == wanted
    assert refused(found) == []


def test_the_example_with_a_header_is_read_as_the_standard_says() -> None:
    # RFC 4180, section 2, rule 3; from memory.
    found = opened(b"field_name,field_name,field_name\r\naaa,bbb,ccc\r\n", Form(header=1))

    assert found.table.columns == ("field_name",) * 3
    assert cells(found) == [["aaa", "bbb", "ccc"]]


def test_a_separator_that_was_said_is_used_though_another_would_fit() -> None:
    data = b"league;player,note;made\nA;B,C;1\n"

    found = opened(data, Form(separator="semicolon", header=1))

    assert found.table.columns == ("league", "player,note", "made")
    assert cells(found) == [["A", "B,C", "1"]]


def test_a_separator_line_that_contradicts_the_form_is_refused() -> None:
    with pytest.raises(RefusedInput, match="form says comma"):
        opened(b"sep=;\nleague;made\n", Form(separator="comma"))


def test_a_header_on_a_line_that_was_said_needs_no_known_name() -> None:
    data = b"Round 3;;\nLiga;Spieler;Treffer\nA;B;1\n"

    found = opened(data, Form(header=2))

    assert found.table.columns == ("Liga", "Spieler", "Treffer")
    assert (found.table.header_line, found.table.above) == (2, (1,))
    assert cells(found) == [["A", "B", "1"]]


@pytest.mark.parametrize(
    ("data", "header", "says"),
    [
        (b"league,made\nA,1\n", 9, "line 9"),
        (b"league,made\n\nA,1\n", 2, "line 2"),
        (b"a;b,c\nd;e,f\n", 1, "separator cannot be told"),
    ],
)
def test_a_header_line_that_cannot_be_one_is_refused(data: bytes, header: int, says: str) -> None:
    with pytest.raises(RefusedInput, match=says):
        opened(data, Form(header=header))


def test_a_file_of_one_column_has_a_header_without_a_separator() -> None:
    found = opened(b"player\nTarn\nVedil\n", Form(header=1))

    assert cells(found) == [["Tarn"], ["Vedil"]]


def test_without_a_header_columns_go_by_place() -> None:
    found = opened(b"A,B,1\nC,D,0\nE,F\n", Form(header=0, separator="comma"))

    assert found.table.columns == ("1", "2", "3")
    assert lines(found) == [1, 2]
    assert refused(found) == [(3, "wrong_field_count")]


def test_first_lines_that_agree_on_nothing_are_refused() -> None:
    with pytest.raises(RefusedInput, match="different numbers of fields"):
        opened(b"A\nB,C\nD,E,F\nG,H,I,J\n", Form(header=0, separator="comma"))


def test_two_columns_of_one_name_are_both_kept() -> None:
    found = opened(b"game,name,name\nG1,A,B\n", Form(header=1))

    assert found.table.columns == ("game", "name", "name")
    assert cells(found) == [["G1", "A", "B"]]


def test_lines_to_skip_are_counted_below_the_header_and_told_above_it() -> None:
    data = b"printed by hand,x,y\nleague,player,made\nA,B,1\n---,---,---\nA,C,0\n"

    found = opened(data, Form(skip=(1, 4)))

    assert found.table.above == (1,)
    assert found.table.skipped.select("line", "reason").rows() == [(4, "skip_line")]
    assert lines(found) == [3, 5]
    assert refused(found) == []


def test_a_record_never_goes_on_over_a_line_to_skip() -> None:
    data = b'league,player,made\nA,"B\npage 2\nC",1\n'

    found = opened(data, Form(skip=(3,)))

    assert cells(found) == [["A", "B\n\nC", "1"]]
    assert found.table.skipped["line"].to_list() == [3]


def test_words_for_nothing_are_blank_only_as_written() -> None:
    data = b"league,player,note,made\nNULL,Na, NULL ,1\nnull,NULLA,-,0\n"

    found = opened(data, Form(nulls=("NULL", "-")))

    assert cells(found) == [["", "Na", "", "1"], ["null", "NULLA", "", "0"]]
    assert "NULL,Na" in found.table.lines["text"].to_list()[1]


def test_single_quotes_and_backslashes_are_read_as_the_form_says() -> None:
    data = rb"""league;player;note;made
'A';'O\'Dell';'a;b';1
'A';'it''s';'back\\slash';0
A;x\;y;plain "word";1
'A';'open;b;1
""".replace(b"\r", b"")

    found = opened(data, Form(separator="semicolon", quote="'", escape="backslash"))

    assert cells(found) == [
        ["A", "O'Dell", "a;b", "1"],
        ["A", "it's", "back\\slash", "0"],
        ["A", "x;y", 'plain "word"', "1"],
    ]
    assert refused(found) == [(5, "unclosed_quote")]


def test_a_row_of_another_quoting_stands_as_standard_csv_for_the_rejects_file() -> None:
    found = opened(
        b"league;player;made\nA;'O\\'Dell; \"Kit\"';1\n",
        Form(separator="semicolon", quote="'", escape="backslash"),
    )

    row = found.table.lines["text"].to_list()[1]

    assert split_record(row, ";") == cells(found)[0] == ["A", 'O\'Dell; "Kit"', "1"]


def test_without_a_quote_sign_quotes_are_letters() -> None:
    found = opened(b'league,player,made\nA,"Kit" Oselo,1\nB,6" tall,0\n', Form(quote="none"))

    assert cells(found) == [["A", '"Kit" Oselo', "1"], ["B", '6" tall', "0"]]


TEXT = st.text("ab',;\"\\ \u00e9|", max_size=6)


@settings(max_examples=150, deadline=None)
@given(
    rows=st.lists(st.lists(TEXT, min_size=4, max_size=4), max_size=8),
    separator=st.sampled_from([("comma", ","), ("semicolon", ";"), ("pipe", "|")]),
    quote=st.sampled_from(["'", '"']),
    everything=st.booleans(),
)
def test_what_the_standard_library_escapes_comes_back(
    rows: list[list[str]], separator: tuple[str, str], quote: str, everything: bool
) -> None:
    word, sign = separator
    out = io.StringIO(newline="")
    writer = csv.writer(
        out,
        delimiter=sign,
        quotechar=quote,
        escapechar="\\",
        doublequote=False,
        lineterminator="\n",
        quoting=csv.QUOTE_ALL if everything else csv.QUOTE_MINIMAL,
    )
    writer.writerows([HEADER, *rows])

    found = opened(
        out.getvalue().encode(), Form(separator=word, quote=quote, escape="backslash", header=1)
    )

    assert refused(found) == []
    assert cells(found) == rows


@pytest.mark.parametrize(
    ("data", "warned"),
    [
        (b'"league,player,made"\n"A,""Ott, K."",1"\n"B,x,0"\n', "each of 3 rows"),
        (b'league,player,made\n"A,""Ott, K."",1"\n"B,x,0"\n', "each of 2 rows"),
    ],
)
def test_rows_wrapped_in_quotes_are_unwrapped_and_said(data: bytes, warned: str) -> None:
    found = opened(data)

    assert cells(found) == [["A", "Ott, K.", "1"], ["B", "x", "0"]]
    assert warned in found.warnings[0]


def test_one_row_that_is_not_wrapped_leaves_all_as_they_are() -> None:
    data = b'league,player,made\n"A,""Ott, K."",1"\nB,x,0\n'

    found = opened(data)

    assert cells(found) == [["B", "x", "0"]]
    assert refused(found) == [(2, "wrong_field_count")]


def test_a_column_of_quoted_texts_is_not_taken_for_wrapped_rows() -> None:
    found = opened(b'player\n"Ott, K."\n"Oselo, T."\n')

    assert cells(found) == [["Ott, K."], ["Oselo, T."]]
    assert found.warnings == ()


@pytest.mark.parametrize(
    "form", [Form(separator="#"), Form(quote="x"), Form(escape="none"), Form(type="table")]
)
def test_a_form_that_no_file_can_have_is_named(form: Form) -> None:
    with pytest.raises(UseError, match="form: "):
        opened(b"league,made\nA,1\n", form)


def test_a_text_that_only_begins_with_a_bracket_is_no_json() -> None:
    found = opened(b"[Halma League] round 3\nleague,player,made\nA,B,1\n")

    assert (found.form, found.table.above) == ("text", (1,))


def test_a_sign_that_is_no_letter_is_told_in_a_file_whose_bytes_are_sound() -> None:
    data = "league;player;made\nA;Osel\ufdd0o;1\nA;Ruva;0\n".encode()

    found = opened(data)

    assert refused(found) == [(2, "bad_encoding")]
    assert "or U+FDD0" in found.table.rejects["fix"][0]
    assert lines(found) == [3]
