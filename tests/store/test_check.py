from __future__ import annotations

from pathlib import Path

import duckdb
import pytest

from ledger.store.check import check
from ledger.store.ledger_file import LedgerFile


def _damage(path: Path, *statements: str) -> None:
    with duckdb.connect(str(path)) as con:
        for statement in statements:
            con.execute(statement)


def _lines(path: Path) -> list[str]:
    with LedgerFile(path) as ledger:
        return [finding.line() for finding in check(ledger)]


def test_a_whole_ledger_has_no_findings(path: Path) -> None:
    assert _lines(path) == []


def test_a_new_ledger_has_no_findings(empty: LedgerFile) -> None:
    assert check(empty) == []


def test_checking_changes_nothing(path: Path) -> None:
    before = path.read_bytes()

    _lines(path)

    assert path.read_bytes() == before


# A statement that damages a ledger, and what the finding must say.
_DAMAGES = [
    ("INSERT INTO attempt FROM attempt WHERE id = 5", "attempt: 1 rows share an id"),
    ("INSERT INTO tag FROM tag WHERE id = 0", "tag: 1 rows share an id"),
    ("DELETE FROM attempt WHERE id = 7", "attempt: 239 rows, but change 1 left 240"),
    ("DELETE FROM attempt WHERE id = 7", "1 of the attempts it stored are not there"),
    ("DELETE FROM attempt WHERE id = 7", "name a attempt that is not there (7)"),
    ("DELETE FROM sighting WHERE line = 12", "source 1: 1 of its rows have left no sighting"),
    ("DELETE FROM sighting WHERE line = 12", "1 attempts that no live source has seen"),
    ("DELETE FROM refused_row WHERE line = 9", "1 of its rejected rows are not there"),
    ("UPDATE source SET rows = 244", "source 1: its rows are not the sum"),
    ("UPDATE source SET taken_back = now()::TIMESTAMP", "240 attempts that no live source"),
    ("UPDATE attempt SET removed = true WHERE id = 239", "1 attempts that a live source has seen"),
    ("UPDATE attempt SET removed = true WHERE id = 0", "1 tags of attempts that were taken back"),
    ("UPDATE attempt SET player_id = 99 WHERE id = 3", "attempt.player_id: 1 rows name a player"),
    ("UPDATE game SET season_id = 9 WHERE id = 3", "game.season_id: 1 rows name a season"),
    ("UPDATE tag SET technique_id = 77 WHERE id = 1", "tag.technique_id: 1 rows name a technique"),
    ("UPDATE tag SET technique_id = 3 WHERE id = 1", "another agreed technique than their tags"),
    ("UPDATE agreed SET tags = 2 WHERE attempt_id = 1", "another agreed technique"),
    ("DELETE FROM agreed WHERE attempt_id = 1", "another agreed technique"),
    ("UPDATE player SET same_as = 2 WHERE id IN (1, 2)", "the same as one that is itself"),
    ("UPDATE ledger_meta SET value = '2' WHERE key = 'changes'", "the fingerprint"),
    ("DELETE FROM ledger_meta WHERE key = 'fingerprint'", "the fingerprint"),
    ("DELETE FROM player_alias", "player_alias: 0 rows, but change 1 left 1"),
]


@pytest.mark.parametrize(("statement", "words"), _DAMAGES)
def test_damage_is_found_and_said_in_one_line(path: Path, statement: str, words: str) -> None:
    _damage(path, statement)

    lines = _lines(path)

    assert any(words in line for line in lines), lines
    assert all("\n" not in line and "; " in line for line in lines)


def test_two_live_tags_of_one_person_are_found(path: Path) -> None:
    _damage(path, "UPDATE tag SET attempt_id = 0 WHERE id = 12")

    assert any("two live tags of one person" in line for line in _lines(path))


def test_an_older_copy_in_the_place_of_the_ledger_is_told(path: Path) -> None:
    older = path.read_bytes()
    with LedgerFile(path) as ledger, ledger.changing("a test"):
        pass
    path.write_bytes(older)

    assert [line for line in _lines(path) if "change 2 was made here" in line]


def test_a_log_left_by_a_stopped_program_is_told_until_a_change_takes_it_in(path: Path) -> None:
    code = (
        "import duckdb, os; con = duckdb.connect(); "
        "con.execute('ATTACH $p AS l (TYPE duckdb)', {'p': os.environ['LEDGER']}); "
        "con.execute('USE l'); con.execute('CREATE TABLE x (a INTEGER)'); "
        "con.execute('DROP TABLE x'); os._exit(0)"
    )
    import os
    import subprocess
    import sys

    subprocess.run(
        [sys.executable, "-c", code], check=True, env={**os.environ, "LEDGER": str(path)}
    )
    assert Path(f"{path}.wal").exists()
    assert ["spring.duckdb.wal" in line for line in _lines(path)] == [True]

    with LedgerFile(path) as ledger, ledger.changing("a test"):
        pass

    assert _lines(path) == []
