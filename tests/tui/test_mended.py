"""A row typed right in a copy of its file."""

from __future__ import annotations

import gzip
from pathlib import Path

import pytest

from ledger.errors import UseError
from tui.mended import Mended, fault_in, may_be_typed, mended_path, write_mended

ROW = Mended(2, "Björn,x", "Björn,1")


@pytest.mark.parametrize(
    ("data", "encoding"),
    [
        ("name,made\nBjörn,x\nUsé,0\n".encode(), "utf-8"),
        ("\ufeffname,made\r\nBjörn,x\r\nUsé,0\r\n".encode(), "utf-8"),
        ("name,made\r\nBjörn,x\r\nUsé,0\r\n".encode("cp1252"), "cp1252"),
        (gzip.compress("name,made\nBjörn,x\nUsé,0\n".encode(), mtime=0), "utf-8"),
    ],
)
def test_the_copy_has_the_row_and_the_file_stays(
    tmp_path: Path, data: bytes, encoding: str
) -> None:
    path, target = tmp_path / "week.csv", tmp_path / "copy.csv"
    path.write_bytes(data)
    write_mended(path, encoding, ROW, target)
    assert target.read_text(encoding="utf-8") == "name,made\nBjörn,1\nUsé,0\n"
    assert path.read_bytes() == data


def test_a_file_that_has_changed_is_not_mended(tmp_path: Path) -> None:
    path, target = tmp_path / "week.csv", tmp_path / "copy.csv"
    path.write_text("name,made\nOther,x\n", encoding="utf-8")
    with pytest.raises(UseError, match="line 2 is not as it was read"):
        write_mended(path, "utf-8", ROW, target)
    assert not target.exists()


def test_a_copy_that_cannot_be_written_says_so(tmp_path: Path) -> None:
    path = tmp_path / "week.csv"
    path.write_text("name,made\nBjörn,x\n", encoding="utf-8")
    with pytest.raises(UseError, match=r"copy\.csv cannot be written: .*v saves the refused"):
        write_mended(path, "utf-8", ROW, tmp_path / "nowhere" / "copy.csv")


def test_a_copy_never_takes_the_place_of_another_file(tmp_path: Path) -> None:
    path = tmp_path / "week.csv.gz"
    first = mended_path(path)
    assert first.name == "week-mended.csv"
    first.write_text("", encoding="utf-8")
    assert mended_path(path).name == "week-mended-2.csv"
    assert mended_path(first, [first]) == first


def test_only_rows_of_one_harmless_line_are_typed() -> None:
    assert may_be_typed("Björn,x")
    assert not may_be_typed('"a\nb",x')
    assert not may_be_typed("a\x1b[31m,x")


def test_typing_replaces_the_value_at_fault() -> None:
    record = "Halma League,2026-11-31,Tarn,1,1"
    begins, ends = fault_in(record, "2026-11-31")
    assert (record[:begins], record[begins:ends]) == ("Halma League,", "2026-11-31")
    # Which of two it is cannot be told, and a row may be at fault as a whole.
    end = (len(record), len(record))
    assert fault_in(record, "1") == fault_in(record, None) == fault_in(record, "") == end


def test_the_column_at_fault_tells_which_of_two_alike_is_meant() -> None:
    record = "31.04.2025;Tarn;31.04.2025;1"
    assert fault_in(record, "31.04.2025", ";", 2) == (16, 26)
    assert fault_in(record, "31.04.2025", ";", 0) == (0, 10)
    # Within quotes a separator parts no cells: nothing is guessed.
    quoted = '"a;31.04.2025";31.04.2025'
    assert fault_in(quoted, "31.04.2025", ";", 1) == (len(quoted), len(quoted))
