from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import duckdb
import pytest

from ledger.errors import LedgerBusy, UseError
from ledger.store import backup as backup_room
from ledger.store.allowlist import tables
from ledger.store.backup import backup
from ledger.store.check import check
from ledger.store.ledger_file import LedgerFile


def _everything(ledger: LedgerFile) -> dict[str, list[tuple[Any, ...]]]:
    with ledger.reading() as con:
        return {t: con.execute(f'SELECT * FROM "{t}" ORDER BY rowid').fetchall() for t in tables()}


@pytest.mark.parametrize("name", ["copy.duckdb", "o'dell [1]?.duckdb", "-c"])
def test_a_backup_holds_everything_and_is_a_ledger(
    ledger: LedgerFile, tmp_path: Path, name: str
) -> None:
    place = backup(ledger, tmp_path / name)

    with LedgerFile(place) as copy:
        assert check(copy) == []
        assert _everything(copy) == _everything(ledger)
    assert not [n for n in os.listdir(tmp_path) if n.endswith(".wal") or ".part-" in n]


def test_the_ledger_goes_on_after_a_backup(ledger: LedgerFile, tmp_path: Path) -> None:
    with ledger.reading() as con:
        con.execute("SELECT 1")
    backup(ledger, tmp_path / "copy.duckdb")

    with ledger.changing("a test") as con:
        con.execute("DELETE FROM player_alias")

    assert check(ledger) == []


def test_a_backup_never_overwrites(ledger: LedgerFile, tmp_path: Path) -> None:
    (tmp_path / "copy.duckdb").write_text("precious")

    with pytest.raises(UseError, match="is there already and is left alone"):
        backup(ledger, tmp_path / "copy.duckdb")

    assert (tmp_path / "copy.duckdb").read_text() == "precious"


def test_a_backup_over_the_ledger_itself_is_refused(ledger: LedgerFile) -> None:
    before = ledger.path.read_bytes()

    with pytest.raises(UseError, match="is there already"):
        backup(ledger, ledger.path)

    assert ledger.path.read_bytes() == before


def test_a_backup_into_a_missing_folder_is_refused(ledger: LedgerFile, tmp_path: Path) -> None:
    with pytest.raises(UseError, match=r"no folder .*nowhere: make it first"):
        backup(ledger, tmp_path / "nowhere" / "copy.duckdb")


def test_a_backup_while_the_ledger_is_in_use_elsewhere_is_refused(
    ledger: LedgerFile, tmp_path: Path
) -> None:
    with LedgerFile(ledger.path) as other, other.reading(), pytest.raises(LedgerBusy):
        backup(ledger, tmp_path / "copy.duckdb")

    assert not (tmp_path / "copy.duckdb").exists()


def test_a_stopped_backup_leaves_nothing_that_looks_whole(
    ledger: LedgerFile, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(_: Path) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(backup_room, "_sync", stop)
    with pytest.raises(KeyboardInterrupt):
        backup(ledger, tmp_path / "copy.duckdb")

    assert sorted(os.listdir(tmp_path)) == ["spring.duckdb", "spring.duckdb.lock"]


def test_a_backup_needs_no_macro_of_the_source(path: Path, tmp_path: Path) -> None:
    with duckdb.connect(str(path)) as con:
        con.execute("CREATE MACRO count(x) AS 42")

    with pytest.raises(Exception, match="holds a macro"), LedgerFile(path) as ledger:
        backup(ledger, tmp_path / "copy.duckdb")
