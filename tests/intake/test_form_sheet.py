from __future__ import annotations

import datetime as dt
import gzip
import io
import random
import time
import zipfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.utils.datetime import CALENDAR_MAC_1904

from ledger.errors import RefusedInput, UseError
from ledger.intake.forms import Form, archive, number_formats, sheet_faults
from ledger.intake.options import ReadOptions, typed
from ledger.intake.read import read
from tests.intake.forms_given import (
    HEADER,
    book_of,
    cells,
    lines,
    opened,
    part_of,
    refused,
    with_parts,
)
from tests.intake.profiled import GAME, profile

ROW = ("Halma League", "Tarn Oselo", "", 1)
PLAIN = book_of([HEADER, ROW])
SHEET = "xl/worksheets/sheet1.xml"
TEXTS = "xl/sharedStrings.xml"
MAIN = b'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'


def with_shared_texts(texts: list[bytes], row: bytes) -> bytes:
    """The plain workbook with one row more, whose cells may refer to shared texts."""
    kinds = part_of(PLAIN, "[Content_Types].xml").replace(
        b"</Types>",
        b'<Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats'
        b'-officedocument.spreadsheetml.sharedStrings+xml"/></Types>',
    )
    told = b"".join(b"<si>" + text + b"</si>" for text in texts)
    return with_parts(
        PLAIN,
        {
            "[Content_Types].xml": kinds,
            TEXTS: b'<?xml version="1.0"?><sst ' + MAIN + b">" + told + b"</sst>",
            SHEET: part_of(PLAIN, SHEET).replace(b"</sheetData>", row + b"</sheetData>"),
        },
    )


SHARED = with_shared_texts(
    [b"<t>Vedil</t>", b"<r><t>Ru</t></r><r><t>va</t></r><rPh><t>x</t></rPh>", b"<t/>"],
    b'<row r="3"><c r="A3" t="s"><v>0</v></c><c r="B3" t="s"><v>1</v></c>'
    b'<c r="C3" t="s"><v>2</v></c><c r="D3"><v>1</v></c></row>',
)


def test_a_sheet_is_found_by_its_header_below_a_title() -> None:
    rows = [["Halma League 2023"], [], HEADER, ROW, [], ["Halma League", "Ruva", None, 0]]

    found = opened(book_of(rows))

    assert found.form == "sheet"
    assert found.table.columns == HEADER
    assert (found.table.header_line, found.table.above) == (3, (1,))
    assert lines(found) == [4, 6]
    assert cells(found) == [
        ["Halma League", "Tarn Oselo", "", "1"],
        ["Halma League", "Ruva", "", "0"],
    ]


def test_a_row_that_slipped_above_the_header_is_refused() -> None:
    found = opened(book_of([("Halma", "Ruva", "x", 1), HEADER, ROW]))

    assert refused(found) == [(1, "above_header")]
    assert found.table.lines["text"].to_list()[0] == "Halma,Ruva,x,1"


@pytest.mark.parametrize(
    ("value", "code", "wanted"),
    [
        (7, "0000", "0007"),
        (71, "General", "71"),
        (4.57, "General", "4.57"),
        (0.1 + 0.2, "General", "0.3"),
        (1e20, "General", "100000000000000000000"),
        (4.5, "0.00", "4.50"),
        (0.83, "0", "0.83"),
        (0.83, "0%", "83%"),
        (0.8333, "0%", "83.33%"),
        (0.5, "0.0%", "50.0%"),
        (-7, "000", "-007"),
        (1234.5, "#,##0.00", "1234.5"),
        (32, '"#"0', "32"),
        (True, "General", "true"),
        ("0007", "@", "0007"),
        (dt.date(2024, 3, 28), "dd/mm/yyyy", "2024-03-28"),
        (dt.date(2024, 3, 28), "d-mmm", "2024-03-28"),
        (dt.datetime(2024, 3, 28), "yyyy-mm-dd hh:mm:ss", "2024-03-28"),
        (dt.datetime(2024, 3, 28, 19, 30), "dd.mm.yy h:mm", "2024-03-28 19:30:00"),
        (dt.date(1900, 1, 1), "yyyy-mm-dd", "1900-01-01"),
        (dt.date(1900, 3, 1), "yyyy-mm-dd", "1900-03-01"),
        (dt.time(5, 38), "h:mm", "5:38"),
        (dt.time(0, 5, 38), "mm:ss", "05:38"),
        (dt.time(19, 30), "h:mm AM/PM", "7:30 PM"),
        (dt.timedelta(hours=47, minutes=30), "[h]:mm:ss", "47:30:00"),
        (dt.timedelta(minutes=9, seconds=5.4), "[m]:ss.0", "9:05.4"),
    ],
)
def test_a_cell_is_read_as_it_is_shown_unless_a_digit_would_be_lost(
    value: object, code: str, wanted: str
) -> None:
    def form(book: Any, sheet: Any) -> None:
        sheet["C2"].number_format = code

    found = opened(book_of([HEADER, ("Halma", "Tarn", value, 1)], form))

    assert cells(found) == [["Halma", "Tarn", wanted, "1"]]


def test_days_from_1904_are_counted_from_1904() -> None:
    def old(book: Any, sheet: Any) -> None:
        book.epoch = CALENDAR_MAC_1904
        sheet["C2"].number_format = "yyyy-mm-dd"

    found = opened(book_of([HEADER, ("Halma", "Tarn", 43917, 1)], old))

    # 43,917 days after 1 January 1904.
    assert cells(found)[0][2] == (dt.date(1904, 1, 1) + dt.timedelta(43917)).isoformat()


@pytest.mark.parametrize("serial", ["60", "-1", "3000000", "1e300"])
def test_a_day_that_never_was_is_an_error(serial: str) -> None:
    assert number_formats.shower("yyyy-mm-dd", False)(serial) is None


FAULTY = [
    (*HEADER, "made_pct"),
    ("Halma", "#N/A", "", 1, 0.5),
    ("Halma", "=A1", "", 1, "#DIV/0!"),
    (*ROW, "#DIV/0!"),
    ("Halma", "Ruva", "", 0, "=1/0"),
    ("Halma", "Vedil", "", 1, 1),
]


def test_errors_and_formulas_without_value_refuse_their_row_where_they_fill_a_field() -> None:
    table = opened(book_of(FAULTY)).table

    found = sheet_faults.refused(table, {0, 1, 2, 3})

    assert found.rejects.select("line", "column", "value", "reason").rows() == [
        (2, "player", "#N/A", "cell_error"),
        (3, "player", "=A1", "formula_without_value"),
    ]
    assert found.lines["text"].to_list()[:3] == [
        "Halma,,,1,0.5,B: #N/A",
        "Halma,,,1,#DIV/0!,B: =A1",
        "Halma League,Tarn Oselo,,1,#DIV/0!",
    ]
    assert found.frame["line"].to_list() == [4, 5, 6]
    assert found.frame["4"].to_list() == ["#DIV/0!", "=1/0", "1"]


@pytest.mark.parametrize(
    ("columns", "lines"),
    [({4}, [3, 4, 5]), ({1, 4}, [2, 3, 4, 5]), ({0, 2}, [])],
)
def test_only_the_columns_that_are_used_can_refuse_a_row(
    columns: set[int], lines: list[int]
) -> None:
    found = sheet_faults.refused(opened(book_of(FAULTY)).table, columns)

    assert found.rejects["line"].to_list() == lines
    assert found.frame.height == 5 - len(lines)


def test_a_file_and_a_profile_ignore_errors_in_columns_they_do_not_read(tmp_path: Path) -> None:
    path = tmp_path / "week.xlsx"
    path.write_bytes(book_of(FAULTY))
    body = GAME.replace('league = "Halma League"\n', "")
    body += '[fields]\nleague = "league"\nplayer = "player"\nmade = "made"\n'
    percent = body.replace("[fields]", '[fields]\nnote = "made_pct"')
    fixed = {"season": "2023-24", "date": "2023-10-14", "game": "G1", "team": "Skerry"}
    constants = tuple(fixed.items())

    plain = read(path, None, ReadOptions(set_values=constants))
    profiled = read(path, None, typed(profile=profile(body)))
    noted = read(path, None, typed(profile=profile(percent)))

    for found in (plain, profiled):
        assert found.rejects.select("line", "reason").rows() == [
            (2, "cell_error"),
            (3, "formula_without_value"),
        ]
        assert found.frame["player"].to_list() == ["Tarn Oselo", "Ruva", "Vedil"]
    assert noted.rejects["line"].to_list() == [2, 3, 4, 5]
    assert noted.frame["player"].to_list() == ["Vedil"]


def test_a_formula_is_read_by_its_stored_value() -> None:
    part = part_of(book_of([HEADER, ("Halma", "=A1", "", 1)]), SHEET)
    told = part.replace(b"<v></v>", b"<v>Tarn</v>").replace(b"<v />", b"<v>Tarn</v>")
    told = told.replace(b'r="B2"', b'r="B2" t="str"')

    assert cells(opened(with_parts(PLAIN, {SHEET: told})))[0][1] == "Tarn"


def test_hidden_merged_and_nameless_cells_are_read_and_said() -> None:
    def hide(book: Any, sheet: Any) -> None:
        sheet.row_dimensions[3].hidden = True
        sheet.column_dimensions["B"].hidden = True
        sheet.merge_cells("A2:A3")
        sheet["F3"] = "watched twice"
        book.create_sheet("Names")
        book.create_sheet("Old").sheet_state = "hidden"

    found = opened(book_of([HEADER, ROW, ROW], hide))

    told = " / ".join(found.warnings)
    assert cells(found)[1] == ["", "Tarn Oselo", "", "1", "", "watched twice"]
    for words in ("row 3 of", "hidden in the sheet", ": B", "A2:A3", "without a name", ": F"):
        assert words in told
    assert "sheet Shots" in told
    assert "Names, Old (hidden)" in told


def test_a_title_over_merged_cells_is_not_worth_a_warning() -> None:
    def merge(book: Any, sheet: Any) -> None:
        sheet.merge_cells("A1:D1")

    assert opened(book_of([["Title"], HEADER, ROW], merge)).warnings == ()


def test_a_sheet_is_chosen_by_name_with_help() -> None:
    def more(book: Any, sheet: Any) -> None:
        other = book.create_sheet("Round 2")
        other.append(list(HEADER))
        other.append(["Halma", "Ruva", "", 0])

    book = book_of([HEADER, ROW], more)

    assert cells(opened(book, Form(sheet="round 2")))[0][1] == "Ruva"
    with pytest.raises(UseError, match="did you mean Round 2"):
        opened(book, Form(sheet="Rund 2"))
    with pytest.raises(UseError, match="its sheets: Shots, Round 2"):
        opened(book, Form(sheet="zzz"))


def test_the_first_sheet_that_is_shown_is_read() -> None:
    def hide(book: Any, sheet: Any) -> None:
        sheet.sheet_state = "hidden"
        other = book.create_sheet("Shown")
        other.append(list(HEADER))
        other.append(["Halma", "Ruva", "", 0])

    assert cells(opened(book_of([HEADER, ROW], hide)))[0][1] == "Ruva"


def test_an_empty_sheet_names_the_others() -> None:
    def more(book: Any, sheet: Any) -> None:
        book.create_sheet("Data")

    with pytest.raises(RefusedInput, match="sheet Shots is empty; type --sheet with one of: Data"):
        opened(book_of([], more))


def test_header_skipped_rows_and_nulls_are_as_the_form_says() -> None:
    rows = [("x", "y"), ("Liga", "Name"), ("NULL", "Tarn"), ("--", "--"), ("A", "Ruva")]

    found = opened(book_of(rows), Form(header=2, skip=(4,), nulls=("NULL",)))

    assert found.table.columns == ("Liga", "Name")
    assert cells(found) == [["", "Tarn"], ["A", "Ruva"]]
    assert found.table.skipped.select("line", "reason").rows() == [(4, "skip_line")]
    assert opened(book_of(rows), Form(header=0)).table.columns == ("1", "2")
    with pytest.raises(RefusedInput, match="row 9 should hold the column names"):
        opened(book_of(rows), Form(header=9))


def test_a_sheet_without_a_known_name_says_what_it_read() -> None:
    with pytest.raises(RefusedInput, match=r"row 1 reads: Liga, Name; .*--map 'Liga=league'"):
        opened(book_of([("Liga", "Name"), ("A", "B")]))


def test_a_packed_workbook_is_read() -> None:
    assert cells(opened(gzip.compress(PLAIN))) == cells(opened(PLAIN))


def test_coded_characters_and_readings_of_texts_are_as_shown() -> None:
    text = (
        b'<is><r><t>a_x000D_\nb</t></r><r><t xml:space="preserve"> c_x005F_x0041_</t></r>'
        b"<rPh><t>reading</t></rPh></is>"
    )
    row = b'<row r="2"><c r="A2" t="inlineStr"><is><t>Halma</t></is></c>'
    row += b'<c r="B2" t="inlineStr">' + text + b"</c></row>"
    part = part_of(book_of([HEADER]), SHEET).replace(b"</sheetData>", row + b"</sheetData>")

    assert cells(opened(with_parts(PLAIN, {SHEET: part})))[0][:2] == ["Halma", "a\nb c_x0041_"]


def test_shared_texts_are_read_by_their_number() -> None:
    assert cells(opened(SHARED))[1] == ["Vedil", "Ruva", "", "1"]


def test_a_workbook_without_styles_shows_its_numbers_plainly() -> None:
    assert cells(opened(with_parts(PLAIN, {"xl/styles.xml": b"<x/>"})))[0][3] == "1"


# What must not be read.


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 999, r"\.xls\); save it as \.xlsx"),
        (
            b"\xd0\xcf\x11\xe0" + b"\0" * 99 + "EncryptedPackage".encode("utf-16-le"),
            "locked with a password",
        ),
        (with_parts(PLAIN, {"xl/workbook.xml": None, "xl/workbook.bin": b"x"}), r"\.xlsb"),
        (with_parts(PLAIN, {"xl/workbook.xml": None}), "damaged workbook"),
        (with_parts(PLAIN, {SHEET: b"<worksheet"}), "damaged workbook"),
        (with_parts(PLAIN, {"[Content_Types].xml": None}), "damaged workbook"),
        (PLAIN[: len(PLAIN) // 2], "damaged"),
    ],
)
def test_what_is_no_plain_workbook_is_refused_with_what_to_do(data: bytes, says: str) -> None:
    with pytest.raises(RefusedInput, match=says):
        opened(data)


def test_an_open_document_and_a_text_document_are_told_apart() -> None:
    for part, data, says in (
        ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet", "OpenDocument"),
        ("word/document.xml", b"<w/>", "office document"),
        ("a.csv", b"player", "zip archive"),
    ):
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w") as made:
            made.writestr(part, data)
        with pytest.raises(RefusedInput, match=says):
            opened(out.getvalue())


def test_a_workbook_by_the_strict_standard_is_named() -> None:
    strict = part_of(PLAIN, "xl/workbook.xml").replace(
        b"http://schemas.openxmlformats.org/spreadsheetml/2006/main",
        b"http://purl.oclc.org/ooxml/spreadsheetml/main",
    )

    with pytest.raises(RefusedInput, match="Strict Open XML"):
        opened(with_parts(PLAIN, {"xl/workbook.xml": strict}))


ENTITIES = (
    b'<?xml version="1.0"?><!DOCTYPE z [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;">'
    b'<!ENTITY c SYSTEM "file:///etc/passwd">]>'
)


@pytest.mark.parametrize("part", [SHEET, TEXTS, "xl/workbook.xml"])
def test_entities_are_never_expanded(part: str) -> None:
    old = part_of(SHARED, part)
    told = ENTITIES + old[old.index(b"?>") + 2 :] if old.startswith(b"<?xml") else ENTITIES + old

    with pytest.raises(RefusedInput, match=r"declares entities|damaged workbook"):
        opened(with_parts(SHARED, {part: told.replace(b"Vedil", b"&b;&c;")}))


@pytest.mark.parametrize(
    "top",
    [
        b'<?xml version="1.0" encoding="cp037"?>',
        b'<?xml version="1.0"' + b" " * 500 + b'encoding="cp037"?>',
        b"<!--" + b"-" * (2**20 - 9) + b"--><!DOCTYPE z []>",
    ],
)
def test_entities_do_not_hide_in_a_rare_encoding_or_far_down(top: bytes) -> None:
    old = part_of(PLAIN, SHEET)
    told = top + old[old.index(b"<worksheet") :]

    with pytest.raises(RefusedInput, match="damaged workbook"):
        opened(with_parts(PLAIN, {SHEET: told}))


def test_a_part_in_sixteen_bits_is_read_and_its_entities_are_not() -> None:
    old = part_of(PLAIN, SHEET)
    body = old[old.index(b"<worksheet") :].decode()
    plain = '<?xml version="1.0" encoding="utf-16"?>' + body
    worse = '<?xml version="1.0" encoding="utf-16"?><!DOCTYPE z [<!ENTITY a "b">]>' + body

    assert cells(opened(with_parts(PLAIN, {SHEET: plain.encode("utf-16")}))) == cells(opened(PLAIN))
    with pytest.raises(RefusedInput, match="damaged workbook"):
        opened(with_parts(PLAIN, {SHEET: worse.encode("utf-16")}))


def test_bombs_are_refused_before_they_are_unpacked() -> None:
    start = time.monotonic()
    bomb = with_parts(PLAIN, {SHEET: b"<worksheet>" + b" " * (40 * 2**20)})
    texts = with_parts(PLAIN, {"xl/media/a.bin": b"\0" * (archive.RATIO_FLOOR + 1)})
    styles = with_parts(PLAIN, {"xl/styles.xml": b"<a/>" * (archive.MAX_PART // 4 + 1)})
    crowd = with_parts(PLAIN, {f"xl/x{at}": b"" for at in range(archive.MAX_ENTRIES)})

    for data, says in (
        *((bomb, "unpacks to 40 MiB"), (texts, "unpacks to 32 MiB")),
        *((styles, "xl/styles.xml is larger"), (crowd, "more than 10000 parts")),
    ):
        with pytest.raises(RefusedInput, match=says):
            opened(data)

    assert time.monotonic() - start < 8


def test_a_part_that_lies_about_its_size_is_refused() -> None:
    noise = random.Random(5).randbytes(3000)
    lying = bytearray(with_parts(PLAIN, {"xl/media/a.bin": noise}))
    at = lying.rfind(b"PK\x01\x02")
    lying[at + 24 : at + 28] = (0xFFFFFFF0).to_bytes(4, "little")

    with pytest.raises(RefusedInput, match="unpacks to"):
        opened(bytes(lying))


@pytest.mark.parametrize(
    "row",
    [
        b'<row r="2"><c r="A2" t="s"><v>999999</v></c></row>',
        b'<row r="2"><c r="A2" t="s"><v>-1</v></c></row>',
        b'<row r="2"><c r="A2"><v>seven</v></c></row>',
        b'<row r="1"><c r="A1"><v>7</v></c></row>',
        b'<row r="2"><c r="B2"><v>7</v></c><c r="A2"><v>7</v></c></row>',
        b'<row r="9999999"><c r="A1"><v>7</v></c></row>',
        b'<row r="2"><c r="7"><v>7</v></c></row>',
        b"<row>" + b"<a>" * 2000 + b"</a>" * 2000 + b"</row>",
    ],
)
def test_cells_that_cannot_be_are_a_damaged_workbook(row: bytes) -> None:
    part = part_of(PLAIN, SHEET)
    begin = part.index(b'<row r="2"')
    told = part[:begin] + row + b"</sheetData></worksheet>"

    with pytest.raises(RefusedInput, match="damaged workbook"):
        opened(with_parts(PLAIN, {SHEET: told}))


def test_a_lone_cell_at_the_far_end_costs_nothing() -> None:
    far = b'<row r="1048576"><c r="A1048576" t="inlineStr"><is><t>end</t></is></c></row>'
    part = part_of(PLAIN, SHEET).replace(b"</sheetData>", far + b"</sheetData>")
    part = part.replace(b'ref="A1:D2"', b'ref="A1:XFD1048576"')
    start = time.monotonic()

    found = opened(with_parts(PLAIN, {SHEET: part}))

    assert lines(found) == [2, 1048576]
    assert time.monotonic() - start < 2


def test_a_cell_beyond_the_last_column_is_refused() -> None:
    far = b'<row r="3"><c r="XFD3"><v>1</v></c></row>'
    part = part_of(PLAIN, SHEET).replace(b"</sheetData>", far + b"</sheetData>")

    with pytest.raises(RefusedInput, match="row 3 reaches column 16384"):
        opened(with_parts(PLAIN, {SHEET: part}))


def test_macros_and_links_are_left_alone_and_said() -> None:
    data = with_parts(
        PLAIN,
        {"xl/vbaProject.bin": b"x", "xl/externalLinks/externalLink1.xml": b"<externalLink/>"},
    )

    found = opened(data)

    assert cells(found) == [["Halma League", "Tarn Oselo", "", "1"]]
    assert [word for word in ("macros", "links") if word in " ".join(found.warnings)] == [
        "macros",
        "links",
    ]


def test_a_form_of_another_kind_is_refused() -> None:
    with pytest.raises(RefusedInput, match="not text as the form says"):
        opened(PLAIN, Form(type="text"))
    with pytest.raises(RefusedInput, match="no workbook"):
        opened(b"league,made\nA,1\n", Form(sheet="Shots"))


@settings(max_examples=120, deadline=None)
@given(data=st.data())
def test_any_damage_of_a_workbook_is_an_answer_or_one_line(data: st.DataObject) -> None:
    parts = ["xl/workbook.xml", "xl/styles.xml", TEXTS, SHEET]
    name = data.draw(st.sampled_from([*parts, "[Content_Types].xml", ""]))
    old = part_of(SHARED, name) if name else SHARED
    begin = data.draw(st.integers(0, len(old)))
    end = data.draw(st.integers(begin, min(len(old), begin + 40)))
    new = old[:begin] + data.draw(st.sampled_from([b"", b"<", b'"', b"9", b"\0", b"x" * 9]))
    new += old[end:]

    try:
        found = opened(with_parts(SHARED, {name: new}) if name else new)
    except (RefusedInput, UseError):
        return
    assert found.form in ("sheet", "text")


TEXT = st.text(
    st.characters(exclude_categories=["Cc", "Cs", "Co", "Cn"], exclude_characters="_"), max_size=8
).filter(lambda text: not text.startswith(("=", "#")))
NUMBER = st.integers(-(10**15) + 1, 10**15 - 1) | st.decimals(
    -9999, 9999, places=4, allow_nan=False
).map(float)
VALUE = TEXT | NUMBER | st.booleans() | st.dates(dt.date(1900, 3, 1), dt.date(2100, 1, 1))


def shown(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return f"{value:.15g}" if "e" not in f"{value:.15g}" else f"{value:.4f}"
    return value.isoformat() if isinstance(value, dt.date) else str(value)


@settings(max_examples=80, deadline=None)
@given(rows=st.lists(st.lists(VALUE, min_size=4, max_size=4), min_size=1, max_size=8))
def test_a_grid_comes_back_as_it_was(rows: list[list[object]]) -> None:
    found = opened(book_of([HEADER, *rows]), Form(header=1))

    wanted = {
        at: [shown(value) for value in row]
        for at, row in enumerate(rows, 2)
        if any(shown(value).strip() for value in row)
    }
    got = dict(zip(lines(found), cells(found), strict=True))
    assert refused(found) == []
    assert got == {at: [cell if cell.strip() else "" for cell in row] for at, row in wanted.items()}
