"""A colleague's file that is none, or worse: one line, an exit code, and nothing of it taken."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import duckdb
import polars as pl
import pytest

from ledger.errors import LedgerBusy, LedgerDamaged, LedgerError, LedgerNewer, OffglassError
from ledger.store.check import check
from ledger.store.ledger_file import LedgerFile
from ledger.store.merge import other as foreign
from ledger.store.merge.merge import merge
from tests.reliability.children import child, heard
from tests.store import sample


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """One's own ledger, with records in it."""
    place = tmp_path / "own.duckdb"
    sample.make(place)
    return place


def _run(path: Path, *statements: str) -> None:
    with duckdb.connect(str(path)) as con:
        for statement in statements:
            con.execute(statement)


def _refused(own: Path, other: Path, kind: type[OffglassError], words: str) -> None:
    with LedgerFile(own) as ledger:
        with ledger.reading() as con:
            before = con.execute("SELECT count(*) FROM source").fetchall()
        with pytest.raises(kind, match=words) as caught:
            merge(ledger, other)
        assert "\n" not in caught.value.message
        assert caught.value.exit_code == 3
        with ledger.reading() as con:
            assert con.execute("SELECT count(*) FROM source").fetchall() == before


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("CREATE VIEW shop AS SELECT 42", "holds a view 'shop'"),
        ("CREATE MACRO coalesce(a, b) AS 'gotcha'", "holds a .*macro"),
        ("CREATE TABLE shop (id INTEGER)", "holds a table 'shop'"),
        ("ALTER TABLE player ADD COLUMN more VARCHAR", "'player' with other columns"),
        ("UPDATE ledger_meta SET value = '99' WHERE key = 'format_version'", "has format 99"),
        ("UPDATE attempt SET player_id = 99 WHERE id = 7", "does not fit together"),
    ],
    ids=["view", "macro", "table", "column", "format", "reference"],
)
def test_a_ledger_that_is_not_one_is_refused_in_one_line(
    own: Path, path: Path, statement: str, words: str
) -> None:
    _run(path, statement)

    kind = LedgerNewer if "format" in words else LedgerDamaged
    _refused(own, path, kind, words)


@pytest.mark.parametrize("share", [0.0, 0.2, 0.7])
def test_a_ledger_cut_short_is_refused(own: Path, path: Path, share: float) -> None:
    whole = path.read_bytes()
    path.write_bytes(whole[: int(len(whole) * share)])

    _refused(own, path, LedgerDamaged, "is empty|damaged or not whole")


def test_what_is_no_ledger_at_all_is_refused(own: Path, tmp_path: Path) -> None:
    (tmp_path / "table.csv").write_text("league,season\n")
    os.mkfifo(tmp_path / "pipe")

    _refused(own, tmp_path / "table.csv", LedgerDamaged, "is no ledger")
    _refused(own, tmp_path / "pipe", LedgerDamaged, "is no plain file")
    _refused(own, tmp_path, LedgerDamaged, "is a folder")
    _refused(own, tmp_path / "none", LedgerError, "there is no ledger")


def test_a_busy_one_is_refused(own: Path, path: Path) -> None:
    code = "with LedgerFile(path) as l:\n with l.changing('x') as con:\n  say('in'); wait()"
    with child(path, code) as other:
        assert heard(other) == "in"

        _refused(own, path, LedgerBusy, "is open in another program")


def test_one_that_takes_too_long_is_let_go(
    own: Path, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    reading = foreign.reading
    monkeypatch.setattr(foreign, "reading", lambda place, known: reading(place, known, limit=0.01))

    _refused(own, path, LedgerDamaged, "took longer than 0.01 seconds")


def test_values_no_file_could_have_brought_are_refused_row_by_row(own: Path, path: Path) -> None:
    _run(
        path,
        "UPDATE attempt SET period = 99 WHERE id = 1",
        "UPDATE attempt SET x_m = 'nan'::DOUBLE WHERE id = 2",
        "UPDATE attempt SET clock_s = 'infinity'::DOUBLE WHERE id = 3",
        "UPDATE attempt SET shot = 'four' WHERE id = 4",
        "UPDATE attempt SET spot = 'a' || chr(27) || '[31m' || repeat('x', 300) WHERE id = 5",
        "UPDATE attempt SET trip_shot = 3, trip_of = 2 WHERE id = 6",
        "UPDATE tag SET release_angle_deg = 720 WHERE attempt_id = 12",
        "UPDATE player SET name = 'Pla' || chr(8238) || 'x' WHERE id = 12",
        "UPDATE season SET label = 'S' || chr(0) WHERE id = 1",
    )
    with LedgerFile(own.with_name("new.duckdb"), create=True) as ledger:
        report = merge(ledger, path)

        assert report.rejected == report.reasons["out_of_bounds"] + report.reasons.get(
            "no_such_attempt", 0
        )
        assert report.stored == report.rows - report.rejected
        assert report.attempts_stored == 240 - 20 - 6
        assert check(ledger) == []
        with ledger.reading() as con:
            frame = pl.DataFrame(con.sql("SELECT column_name, reason FROM refused_row"))
    told = set(frame["column_name"])
    assert {"period", "x_m", "clock", "shot", "spot", "trip_shot", "player"} <= told


def test_the_reading_process_is_held_to_limits(path: Path, tmp_path: Path) -> None:
    code = (
        "import resource, json\n"
        "from ledger.store.merge import limits\n"
        "limits.narrow()\n"
        "print(json.dumps([resource.getrlimit(k) for k in"
        " (resource.RLIMIT_AS, resource.RLIMIT_CPU, resource.RLIMIT_CORE)]))\n"
        "try:\n    bytearray(limits.MEMORY + 1)\n    print('had')\n"
        "except MemoryError:\n    print('held')\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=Path.cwd()
    )
    limits_, held = done.stdout.splitlines()

    assert all(soft == hard for soft, hard in json.loads(limits_))
    assert json.loads(limits_)[2] == [0, 0]
    assert held == "held"


def test_an_older_format_is_brought_up_to_date_in_a_copy_only(
    own: Path, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from ledger.store import allowlist, migrations
    from ledger.store.merge import child as reader

    nothing = "UPDATE ledger_meta SET value = value;"
    both = (*migrations.steps(), migrations.Migration(migrations.newest() + 1, "more", nothing))
    monkeypatch.setattr(foreign, "_asked", lambda request, _: reader.answer(request))
    monkeypatch.setattr(migrations, "steps", lambda: both)
    allowlist.schema.cache_clear()
    before = path.read_bytes()
    try:
        with LedgerFile(own.with_name("new.duckdb"), create=True) as ledger:
            report = merge(ledger, path)
    finally:
        allowlist.schema.cache_clear()

    assert report.attempts_stored == 240
    assert path.read_bytes() == before
