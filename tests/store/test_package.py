from __future__ import annotations

import json
import os
import shutil
import string
import tempfile
from datetime import date, datetime
from pathlib import Path
from typing import Any

import frictionless
import polars as pl
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from ledger.errors import LedgerNewer, RefusedInput, UseError
from ledger.safe_text import safe_cell
from ledger.store.allowlist import ColumnRule, tables
from ledger.store.cells import from_csv, to_csv
from ledger.store.check import check
from ledger.store.ledger_file import LedgerFile
from ledger.store.package import export, load

AWKWARD = [
    "=HYPERLINK(1)",
    "+1",
    "-1",
    "@x",
    "\tx",
    "\rx",
    "＝1",
    "",
    "'",
    "''x",
    "'=1",
    "a,b",
    'quote " quote',
    "two\nlines",
    "two\r\nlines",
    "end\r",
    "\n",
    "NULL",
    "null",
    "NA",
    " blank ",
    "0007",
    "1e5",
    "true",
    "\ufeffmark",
    "봄 é é",
    "a\0b",
    "guarded",
    "\u202egnirts",
]


def _everything(ledger: LedgerFile) -> dict[str, list[tuple[Any, ...]]]:
    with ledger.reading() as con:
        return {t: con.execute(f'SELECT * FROM "{t}" ORDER BY rowid').fetchall() for t in tables()}


def _fill_awkwardly(ledger: LedgerFile) -> None:
    with ledger.changing("a test") as con:
        for number, text in enumerate(AWKWARD):
            con.execute(
                "INSERT INTO journal VALUES ($n, $at, $t, $t, $none, NULL, $t, NULL, $t, '', NULL)",
                {
                    "n": number,
                    "at": datetime(1969, 12, 31, 23, 59, 59, number),
                    "t": text,
                    "none": None if number % 2 else text,
                },
            )
        for row, value in enumerate([0.1, 5e-324, -0.0, 1 / 3, 7.123456789123457, 1e-9]):
            con.execute("UPDATE attempt SET x_m = $x WHERE id = $n", {"x": value, "n": row})
        con.execute("UPDATE attempt SET removed = true, file_id = '=1' WHERE id = 239")
        con.execute("UPDATE source SET attempts_stored = 240")
        con.execute(
            "INSERT INTO source SELECT 2, kind, '-x', NULL, NULL, NULL, 0, 0, 0, 0, 0, 0,"
            " 0, 0, 0, true, mapping, reasons, warnings, who, at_time, at_time FROM source"
        )
        con.execute("UPDATE sighting SET source_id = 2 WHERE attempt_id = 239")
        con.execute("UPDATE source SET rows = 242, stored = 239 WHERE id = 1")
        con.execute("UPDATE source SET rows = 1, stored = 1 WHERE id = 2")


def test_what_is_loaded_is_what_was_exported(ledger: LedgerFile, tmp_path: Path) -> None:
    _fill_awkwardly(ledger)
    export(ledger, tmp_path / "package")

    load(tmp_path / "package", tmp_path / "again.duckdb")

    with LedgerFile(tmp_path / "again.duckdb") as again:
        before, after = _everything(ledger), _everything(again)
        assert check(again) == []
    # repr tells -0.0 from 0.0 and 1 from 1.0, which == does not.
    assert {t: list(map(repr, rows)) for t, rows in after.items()} == {
        t: list(map(repr, rows)) for t, rows in before.items()
    }


def test_an_export_is_valid_for_a_reader_of_data_packages(
    ledger: LedgerFile, tmp_path: Path
) -> None:
    _fill_awkwardly(ledger)
    export(ledger, tmp_path / "package")

    report = frictionless.Package(str(tmp_path / "package" / "datapackage.json")).validate()

    assert report.flatten(["title", "message"]) == []
    assert report.valid


def test_an_export_describes_every_table(ledger: LedgerFile, tmp_path: Path) -> None:
    export(ledger, tmp_path / "package")

    body = json.loads((tmp_path / "package" / "datapackage.json").read_text())

    found = {r["name"]: r for r in body["resources"]}
    assert sorted(found) == sorted(tables())
    fields = {f["name"]: f for f in found["attempt"]["schema"]["fields"]}
    assert fields["clock_s"]["unit"] == "second"
    assert fields["shot"]["constraints"] == {
        "enum": ["free_throw", "two", "three"], "required": True,
    }  # fmt: skip
    assert fields["guarded"]["type"] == "string"
    assert {"fields": ["game_id"], "reference": {"resource": "game", "fields": ["id"]}} in found[
        "attempt"
    ]["schema"]["foreignKeys"]
    assert found["attempt"]["schema"]["primaryKey"] == ["id"]


def test_the_parquet_beside_holds_the_same_rows(ledger: LedgerFile, tmp_path: Path) -> None:
    export(ledger, tmp_path / "package")

    frame = pl.read_parquet(tmp_path / "package" / "data" / "attempt.parquet")

    assert frame.rows() == _everything(ledger)["attempt"]


def test_two_exports_of_one_ledger_are_the_same_bytes(ledger: LedgerFile, tmp_path: Path) -> None:
    one, other = export(ledger, tmp_path / "one"), export(ledger, tmp_path / "other")

    for file in sorted(p.relative_to(one) for p in one.rglob("*") if p.is_file()):
        assert (one / file).read_bytes() == (other / file).read_bytes(), file


def test_no_cell_of_an_export_runs_in_a_spreadsheet(ledger: LedgerFile, tmp_path: Path) -> None:
    import csv

    _fill_awkwardly(ledger)
    package = export(ledger, tmp_path / "package")

    for file in (package / "data").glob("*.csv"):
        schema = {
            f["name"]: f["type"]
            for r in json.loads((package / "datapackage.json").read_text())["resources"]
            if r["path"] == f"data/{file.name}"
            for f in r["schema"]["fields"]
        }
        with open(file, encoding="utf-8", newline="") as lines:
            for row in csv.DictReader(lines):
                texts = [v for k, v in row.items() if schema[k] == "string"]
                assert all(safe_cell(text) == text for text in texts)


def test_an_export_goes_into_an_empty_folder_but_no_other(
    ledger: LedgerFile, tmp_path: Path
) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "mine.txt").write_text("precious")

    export(ledger, tmp_path / "empty")

    assert (tmp_path / "empty" / "datapackage.json").is_file()
    with pytest.raises(UseError, match="is not empty"):
        export(ledger, tmp_path / "full")
    with pytest.raises(UseError, match="is no folder"):
        export(ledger, tmp_path / "full" / "mine.txt")
    with pytest.raises(UseError, match=r"no folder .*: make it first"):
        export(ledger, tmp_path / "nowhere" / "package")
    assert os.listdir(tmp_path / "full") == ["mine.txt"]


def test_load_never_overwrites(ledger: LedgerFile, tmp_path: Path) -> None:
    package = export(ledger, tmp_path / "package")

    with pytest.raises(UseError, match="is there already"):
        load(package, ledger.path)


def test_load_of_no_package_says_what_to_name(tmp_path: Path) -> None:
    with pytest.raises(UseError, match="there is no folder"):
        load(tmp_path / "none", tmp_path / "again.duckdb")
    with pytest.raises(RefusedInput, match=r"datapackage\.json cannot be read"):
        load(tmp_path, tmp_path / "again.duckdb")


@pytest.fixture
def package(exported: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(exported, tmp_path / "package"))


def _edit(package: Path, **changes: Any) -> None:
    file = package / "datapackage.json"
    body = json.loads(file.read_text())
    for path, value in changes.items():
        at: Any = body
        *way, last = path.split("__")
        for key in way:
            at = at[int(key)] if key.isdigit() else at[key]
        at[int(last) if last.isdigit() else last] = value
    file.write_text(json.dumps(body))


def _rewrite(package: Path, table: str, old: str, new: str) -> None:
    """Change a CSV file and describe it as if it had been exported so."""
    import hashlib

    file = package / "data" / f"{table}.csv"
    text = file.read_text()
    assert old in text
    data = text.replace(old, new, 1).encode()
    file.write_bytes(data)
    body = json.loads((package / "datapackage.json").read_text())
    for resource in body["resources"]:
        if resource["name"] == table:
            resource["bytes"] = len(data)
            resource["hash"] = "sha256:" + hashlib.sha256(data).hexdigest()
    (package / "datapackage.json").write_text(json.dumps(body))


def _refused(package: Path, words: str, error: type[Exception] = RefusedInput) -> None:
    target = package.parent / "again.duckdb"
    with pytest.raises(error, match=words) as caught:
        load(package, target)
    assert "\n" not in str(caught.value)
    left = [n for n in os.listdir(package.parent) if "again" in n]
    assert left == []


def test_a_changed_file_is_refused(package: Path) -> None:
    file = package / "data" / "player.csv"
    file.write_text(file.read_text().replace("guard", "gaurd", 1))

    _refused(package, r"player\.csv is not as it was exported")


def test_a_missing_file_is_refused(package: Path) -> None:
    (package / "data" / "player.csv").unlink()

    _refused(package, r"player\.csv cannot be read")


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"resources": []}, "names a table twice or not at all"),
        ({"resources__0__name": "shop"}, "that no ledger has: shop"),
        ({"resources__0__name": "attempt"}, "names a table"),
        ({"resources__0__path": "/etc/passwd"}, "a file outside its folder"),
        ({"resources__0__path": "../spring.duckdb"}, "a file outside its folder"),
        ({"resources__0__path": "data/../../x"}, "a file outside its folder"),
        ({"resources__0__path": "https://example.org/a.csv"}, "outside|cannot be read"),
        ({"resources__0__path": ["a", "b"]}, "names no file for"),
        ({"resources__0__path": "data"}, "no plain file|cannot be read"),
        ({"resources__0__rows": 12345}, "rows, 12345 were exported"),
        ({"format_version": "1"}, "no format version"),
        ({"format_version": 0}, "no format version"),
        ({"resources": "all"}, "no description of a ledger"),
    ],
)
def test_a_description_that_lies_is_refused(
    package: Path, changes: dict[str, Any], words: str
) -> None:
    _edit(package, **changes)

    _refused(package, words)


def test_a_package_of_a_later_program_asks_for_it(package: Path) -> None:
    _edit(package, format_version=99)

    _refused(package, "has format 99 .* update offglass", LedgerNewer)


def test_a_description_that_is_no_json_is_refused(package: Path) -> None:
    (package / "datapackage.json").write_text("{")

    _refused(package, "no description of a ledger")


def test_a_link_out_of_the_folder_is_refused(package: Path, tmp_path: Path) -> None:
    file = package / "data" / "player.csv"
    (tmp_path / "outside.csv").write_bytes(file.read_bytes())
    file.unlink()
    file.symlink_to(tmp_path / "outside.csv")

    _refused(package, "a file outside its folder")


@pytest.mark.parametrize(
    ("table", "old", "new", "words"),
    [
        ("player", '"height_cm"', '"size_cm"', "has the columns"),
        ("player", "181.5", "tall", "record 1, column height_cm: 'tall' is no number"),
        ("attempt", '"true"', '"yes"', "column made: 'yes' is no boolean"),
        ("game", "2024-10-02", "2024-13-02", "column date: '2024-13-02' is no date"),
        ("source", "2026-03-01T", "yesterday", "column at_time: .* is no datetime"),
        ("player", '1,1,"Pla', '2,1,"Pla', "holds an id twice"),
        ("player", '1,1,"Plaa"', '1,,"Plaa"', "column league_id: an empty cell is no integer"),
        ("attempt", "0,1,1,1,", "0,1,77,1,", "does not fit together"),
        ("team", '"\'=weil"', '"=weil"', "named as guarded but without its apostrophe"),
        ("team", '"name normal_form"', '"name league_id"', "names 'league_id', which is no text"),
        ("ledger_meta", '"1"', '"2"', "two format versions|does not fit"),
    ],
)  # fmt: skip
def test_a_cell_that_cannot_be_is_refused_by_its_place(
    package: Path, table: str, old: str, new: str, words: str
) -> None:
    _rewrite(package, table, old, new)

    _refused(package, words)


RULES = (
    ColumnRule("a_text", "VARCHAR", False),
    ColumnRule("b_text", "VARCHAR", False),
    ColumnRule("number", "DOUBLE", False),
    ColumnRule("small", "TINYINT", False),
    ColumnRule("whole", "BIGINT", False),
    ColumnRule("day", "DATE", False),
    ColumnRule("moment", "TIMESTAMP", False),
    ColumnRule("is_so", "BOOLEAN", False),
)
KINDS = {
    "a_text": pl.String(),
    "b_text": pl.String(),
    "number": pl.Float64(),
    "small": pl.Int8(),
    "whole": pl.Int64(),
    "day": pl.Date(),
    "moment": pl.Datetime("us"),
    "is_so": pl.Boolean(),
}
TEXT = st.one_of(
    st.sampled_from(AWKWARD),
    st.text(st.characters(exclude_categories=["Cs"]), max_size=20),
    st.text(string.punctuation + " \t\r\n", max_size=6),
)
ROW = st.tuples(
    *(
        st.none() | kind
        for kind in (
            TEXT,
            TEXT,
            st.floats(allow_nan=False),
            st.integers(-128, 127),
            st.integers(-(2**63), 2**63 - 1),
            st.dates(date(1, 1, 1), date(9999, 12, 31)),
            st.datetimes(datetime(1, 1, 1), datetime(9999, 12, 31)),
            st.booleans(),
        )
    )
)


@given(st.lists(ROW, max_size=12))
@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_table_comes_back_from_its_cells_exactly(rows: list[tuple[Any, ...]]) -> None:
    frame = pl.DataFrame(rows, schema=KINDS, orient="row")

    back = from_csv(to_csv(frame), RULES, "a.csv")

    assert [repr(r) for r in back.rows()] == [repr(r) for r in frame.rows()]
    assert back.schema == frame.schema


@given(TEXT)
@settings(max_examples=100, deadline=None)
def test_the_guard_of_columns_is_the_guard_of_single_cells(text: str) -> None:
    cell = to_csv(pl.DataFrame({"a_text": [text]})).decode().split("\n", 1)[1]

    guarded = cell.rstrip("\n").endswith(',"a_text"')

    assert guarded == (safe_cell(text) != text or text == "")


@given(st.binary(max_size=200))
@example(b"(\xb5/\xfd")
@example(b"\x1f\x8b\x08")
@settings(max_examples=60, deadline=None)
def test_bytes_that_are_no_table_are_refused_in_one_line(data: bytes) -> None:
    with tempfile.TemporaryDirectory(), pytest.raises(RefusedInput) as caught:
        from_csv(data, RULES, "a.csv")

    assert "\n" not in caught.value.message
