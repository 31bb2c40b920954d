from __future__ import annotations

import os
import struct
from contextlib import suppress
from pathlib import Path

import duckdb
import pytest

from ledger.errors import LedgerDamaged, LedgerError, LedgerNewer
from ledger.store.check import check
from ledger.store.ledger_file import LedgerFile


def _open(path: Path) -> None:
    with LedgerFile(path) as ledger, ledger.reading():
        pass


def _run(path: Path, *statements: str) -> None:
    with duckdb.connect(str(path)) as con:
        for statement in statements:
            con.execute(statement)


def _checksum(data: bytes) -> int:
    # The checksum of a block's header, as DuckDB 2.0 writes it (measured, not documented).
    out = 5381
    for (word,) in struct.iter_unpack("<Q", data):
        out ^= (word * 0xBF58476D1CE4E5B9) & (2**64 - 1)
    return out


def _storage(path: Path, version: int) -> None:
    raw = bytearray(path.read_bytes())
    raw[12:20] = struct.pack("<Q", version)
    raw[:8] = struct.pack("<Q", _checksum(bytes(raw[8:4096])))
    path.write_bytes(raw)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty"),
        (b"league,season\n", "is no ledger"),
        (b"SQLite format 3\0" + b"\0" * 4096, "is no ledger"),
        (b"\0" * 8 + b"DUCK" + b"\x01" * 20000, "damaged or not whole"),
        (b"\0" * 8 + b"DUCK", "damaged or not whole"),
    ],
    ids=["empty", "a CSV file", "another database", "garbage", "twelve bytes"],
)
def test_a_file_that_is_no_ledger_is_told_in_one_line(
    tmp_path: Path, data: bytes, words: str
) -> None:
    path = tmp_path / "spring.duckdb"
    path.write_bytes(data)

    with pytest.raises(LedgerDamaged, match=words) as caught:
        _open(path)

    assert caught.value.exit_code == 3
    assert "\n" not in caught.value.message
    assert path.read_bytes() == data


@pytest.mark.parametrize("share", [0.1, 0.3, 0.5, 0.7, 0.9])
def test_a_ledger_cut_short_is_told_in_one_line(path: Path, share: float) -> None:
    whole = path.read_bytes()
    path.write_bytes(whole[: int(len(whole) * share)])

    with pytest.raises(LedgerDamaged, match="damaged or not whole"), LedgerFile(path) as ledger:
        check(ledger)


@pytest.mark.parametrize("seed", range(5))
def test_a_ledger_with_a_flipped_block_is_told_in_one_line_or_reads_as_before(
    path: Path, seed: int
) -> None:
    raw = bytearray(path.read_bytes())
    start = 4096 * 3 + seed * (len(raw) - 4096 * 3 - 600) // 5
    for at in range(start, start + 512):
        raw[at] ^= 0xA5
    path.write_bytes(raw)

    found = [(240, 239 * 120)]
    with suppress(LedgerDamaged), LedgerFile(path) as ledger, ledger.reading() as con:
        found = con.execute("SELECT count(*), sum(id) FROM attempt").fetchall()

    assert found == [(240, 239 * 120)]


def test_a_folder_is_no_ledger(tmp_path: Path) -> None:
    with pytest.raises(LedgerDamaged, match="is a folder"):
        LedgerFile(tmp_path)


def test_a_pipe_does_not_hang(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.duckdb")

    with pytest.raises(LedgerDamaged, match="is no plain file"):
        LedgerFile(tmp_path / "pipe.duckdb")


def test_a_pipe_as_lock_file_does_not_hang(path: Path) -> None:
    os.mkfifo(f"{path}.lock")

    with pytest.raises(LedgerError, match="cannot be locked"):
        _open(path)


def test_a_link_as_lock_file_is_not_followed(path: Path, tmp_path: Path) -> None:
    victim = tmp_path / "victim"
    victim.write_text("precious")
    os.symlink(victim, f"{path}.lock")

    with pytest.raises(LedgerError, match="cannot be locked"):
        _open(path)
    assert victim.read_text() == "precious"


def test_a_database_of_something_else_is_told_apart_from_a_ledger(tmp_path: Path) -> None:
    path = tmp_path / "other.duckdb"
    _run(path, "CREATE TABLE shop (id INTEGER)")

    with pytest.raises(LedgerDamaged, match="a database but no ledger"):
        _open(path)


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("CREATE VIEW live_attempt AS SELECT 1", "holds a view 'live_attempt'"),
        ("CREATE MACRO count(x) AS 42", "holds a macro 'count'"),
        ("CREATE MACRO duckdb_tables() AS TABLE SELECT 1", "holds a macro 'duckdb_tables'"),
        ("CREATE SEQUENCE numbers", "holds a sequence 'numbers'"),
        ("CREATE TYPE mood AS ENUM ('a')", "holds a type 'mood'"),
        ("CREATE SCHEMA side", "holds a schema 'side'"),
        ("CREATE INDEX quick ON attempt (id)", "holds a index 'quick'"),
        ("CREATE TABLE extra (id INTEGER)", "a table 'extra' that no ledger has"),
        ("ALTER TABLE tag ADD COLUMN more VARCHAR", "a table 'tag' with other columns"),
        ("ALTER TABLE tag ALTER note SET DEFAULT 'x'", "a table 'tag' with other columns"),
        ("DROP TABLE decision", "lacks the table 'decision'"),
        ("DROP TABLE ledger_meta", "no ledger"),
        ("UPDATE ledger_meta SET value = 'one' WHERE key = 'format_version'", "no ledger"),
        ("DELETE FROM ledger_meta", "no ledger"),
    ],
)
def test_a_ledger_holds_its_own_tables_and_nothing_else(
    path: Path, statement: str, words: str
) -> None:
    _run(path, statement)

    with pytest.raises(LedgerDamaged, match=words):
        _open(path)


def test_a_view_in_place_of_the_meta_table_is_never_run(path: Path) -> None:
    _run(
        path,
        "DROP TABLE ledger_meta",
        "CREATE VIEW ledger_meta AS SELECT 'format_version' AS key, error('ran') AS value",
    )

    with pytest.raises(LedgerDamaged, match="no ledger"):
        _open(path)


def test_a_computed_column_in_place_of_a_stored_one_is_found(path: Path) -> None:
    _run(
        path,
        "DROP TABLE word",
        "CREATE TABLE word (field VARCHAR NOT NULL, text VARCHAR NOT NULL, normal_form VARCHAR"
        " NOT NULL, value VARCHAR GENERATED ALWAYS AS (error('ran')), who VARCHAR NOT NULL,"
        " at_time TIMESTAMP NOT NULL)",
    )

    with pytest.raises(LedgerDamaged, match="a table 'word' with other columns"):
        _open(path)


def test_a_ledger_of_a_later_format_asks_for_a_newer_program(path: Path) -> None:
    _run(path, "UPDATE ledger_meta SET value = '999' WHERE key = 'format_version'")

    with pytest.raises(LedgerNewer, match=r"has format 999 .*update offglass"):
        _open(path)


def test_a_file_of_a_later_duckdb_asks_for_a_newer_program(path: Path) -> None:
    _storage(path, 5000)

    with pytest.raises(LedgerNewer, match="newer DuckDB"):
        _open(path)


def test_a_file_of_a_duckdb_too_old_says_how_to_get_it_over(path: Path) -> None:
    _storage(path, 39)

    with pytest.raises(LedgerDamaged, match=r"too old to read: .* offglass load"):
        _open(path)


def test_ledgers_are_written_in_a_released_storage_version(path: Path) -> None:
    (version,) = struct.unpack("<Q", path.read_bytes()[12:20])

    # 67: DuckDB 1.4 and later; 999 would be one of a development build.
    assert version == 67
