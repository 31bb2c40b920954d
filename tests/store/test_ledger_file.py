from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import duckdb
import pytest

from ledger.errors import LedgerBusy, LedgerDamaged, LedgerError, Stopped
from ledger.store import journal
from ledger.store.ledger_file import LedgerFile
from tests.store.sample import NOON


def _note(ledger: LedgerFile, what: str = "note") -> None:
    with ledger.changing("a test") as con:
        journal.record(con, ledger.clock, ledger.who, what)


def _lose(
    ledger: LedgerFile,
    error: BaseException | None = None,
    *,
    statement: str = "SELECT 1",
    stop: bool = False,
) -> None:
    with ledger.changing("a test") as con:
        journal.record(con, ledger.clock, ledger.who, "lost")
        con.execute(statement).fetchall()
        if stop:
            ledger.interrupt()
        if error:
            raise error


def _notes(ledger: LedgerFile) -> list[str]:
    with ledger.reading() as con:
        return [str(r[0]) for r in con.execute("SELECT action FROM journal ORDER BY id").fetchall()]


def _beside(path: Path) -> list[str]:
    return sorted(p.name for p in path.parent.iterdir() if p != path)


@pytest.mark.parametrize(
    "name",
    [
        "a[1]*?.duckdb",
        "-o.duckdb",
        'O\'Dell "x".duckdb',
        "two words.duckdb",
        "été 봄.duckdb",
        "no_ending",
        "ledger",
        "main.duckdb",
        "a;b$c.duckdb",
    ],
)
def test_a_ledger_may_have_any_name(tmp_path: Path, name: str) -> None:
    with LedgerFile(tmp_path / name, create=True) as ledger:
        _note(ledger)

    with LedgerFile(tmp_path / name) as again:
        assert _notes(again) == ["note"]
    assert sorted(os.listdir(tmp_path)) == sorted([name, f"{name}.lock"])


def test_a_name_relative_to_the_folder_works_with_a_leading_dash(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)

    with LedgerFile("-spring.duckdb", create=True) as ledger:
        _note(ledger)

    assert (tmp_path / "-spring.duckdb").is_file()


def test_a_missing_ledger_is_named_with_what_makes_one(tmp_path: Path) -> None:
    with pytest.raises(LedgerError, match=r"no ledger .*none\.duckdb: type offglass new .* demo"):
        LedgerFile(tmp_path / "none.duckdb")


def test_a_new_ledger_needs_its_folder(tmp_path: Path) -> None:
    with pytest.raises(LedgerError, match=r"no folder .*nowhere: make it first"):
        LedgerFile(tmp_path / "nowhere" / "spring.duckdb", create=True)
    assert os.listdir(tmp_path) == []


def test_create_leaves_a_ledger_that_is_there_alone(path: Path) -> None:
    before = path.read_bytes()

    LedgerFile(path, create=True).close()

    assert path.read_bytes() == before


@pytest.mark.parametrize("name", ["", "a\0b"])
def test_a_name_that_is_none_is_refused_in_one_line(name: str) -> None:
    with pytest.raises(LedgerError, match="cannot be the name of a ledger"):
        LedgerFile(name)


def test_a_change_is_kept_and_counted(ledger: LedgerFile) -> None:
    _note(ledger, "first")
    _note(ledger, "second")

    assert _notes(ledger) == ["first", "second"]
    with ledger.reading() as con:
        rows = con.execute("SELECT value FROM ledger_meta WHERE key = 'changes'").fetchall()
    assert rows == [("3",)]
    assert ledger.last_change_known == 3


def test_a_failed_change_leaves_nothing(ledger: LedgerFile) -> None:
    with pytest.raises(ZeroDivisionError):
        _lose(ledger, ZeroDivisionError())

    assert _notes(ledger) == []
    with ledger.reading() as con:
        rows = con.execute("SELECT value FROM ledger_meta WHERE key = 'changes'").fetchall()
    assert rows == [("1",)]


def test_a_change_stopped_by_the_keyboard_leaves_nothing(ledger: LedgerFile) -> None:
    with pytest.raises(KeyboardInterrupt):
        _lose(ledger, KeyboardInterrupt())

    assert _notes(ledger) == []


def test_a_wrong_statement_stays_a_fault_of_the_program(ledger: LedgerFile) -> None:
    with pytest.raises(duckdb.ParserException), ledger.changing("a test") as con:
        con.execute("SELEC 1")

    _note(ledger)
    assert _notes(ledger) == ["note"]


@pytest.mark.parametrize("after_a_change", [False, True])
def test_reading_can_write_nothing(ledger: LedgerFile, after_a_change: bool) -> None:
    if after_a_change:
        _note(ledger)
    with pytest.raises(duckdb.Error), ledger.reading() as con:
        con.execute("DELETE FROM attempt")

    with ledger.reading() as con:
        assert con.execute("SELECT count(*) FROM attempt").fetchall() == [(240,)]


def test_reading_inside_a_change_sees_the_change(ledger: LedgerFile) -> None:
    with ledger.changing("a test") as con:
        journal.record(con, ledger.clock, ledger.who, "within")
        assert _notes(ledger) == ["within"]


def test_a_change_inside_a_change_is_a_fault_of_the_program(ledger: LedgerFile) -> None:
    with ledger.changing("a test"), pytest.raises(RuntimeError), ledger.changing("another"):
        pass


@pytest.mark.parametrize(
    "statement",
    [
        "COPY attempt TO '/dev/null'",
        "SELECT * FROM read_csv('/etc/passwd')",
        "ATTACH '/dev/shm/other.duckdb'",
        "INSTALL httpfs",
        "LOAD httpfs",
        "SET enable_external_access = true",
        "SET threads = 1",
    ],
)
def test_a_connection_reaches_no_file_no_network_and_no_setting(
    shared: LedgerFile, statement: str
) -> None:
    with pytest.raises((duckdb.Error, LedgerError)), shared.reading() as con:
        con.execute(statement)


def test_a_python_variable_is_no_table(shared: LedgerFile) -> None:
    some_rows = [1, 2]
    with pytest.raises(duckdb.CatalogException), shared.reading() as con:
        con.execute("SELECT * FROM some_rows")
    assert len(some_rows) == 2


def test_nothing_is_left_beside_a_closed_ledger_but_its_lock_file(path: Path) -> None:
    with LedgerFile(path) as ledger:
        _note(ledger)

    assert _beside(path) == ["spring.duckdb.lock"]


def test_release_lets_go_and_the_next_use_opens_again(ledger: LedgerFile) -> None:
    _note(ledger)
    open_before = ledger.is_open

    assert ledger.release()

    assert (open_before, ledger.is_open) == (True, False)
    assert _notes(ledger) == ["note"]


def test_release_leaves_a_ledger_in_use_open(ledger: LedgerFile) -> None:
    with ledger.reading() as con:
        assert not ledger.release()
        assert con.execute("SELECT 1").fetchall() == [(1,)]


def test_a_closed_ledger_says_so(path: Path) -> None:
    ledger = LedgerFile(path)
    ledger.close()

    with pytest.raises(LedgerError, match="was closed"), ledger.reading():
        pass


def test_two_handles_in_one_program_take_turns(path: Path) -> None:
    with LedgerFile(path) as one, LedgerFile(path) as other:
        _note(one, "one")
        _note(other, "other")
        assert _notes(one) == ["one", "other"]
        with one.reading(), pytest.raises(LedgerBusy, match="elsewhere in this program"):
            _note(other)


def test_a_link_to_a_ledger_is_the_ledger(path: Path) -> None:
    link = path.with_name("link.duckdb")
    link.symlink_to(path)

    with LedgerFile(link) as ledger:
        _note(ledger)
        assert ledger.path == path

    assert not link.with_name("link.duckdb.lock").exists()


def test_a_forgotten_ledger_lets_go_of_its_lock(path: Path) -> None:
    forgotten = LedgerFile(path)
    _note(forgotten, "forgotten")
    del forgotten

    with LedgerFile(path) as ledger:
        assert _notes(ledger) == ["forgotten"]


def test_threads_take_turns(ledger: LedgerFile) -> None:
    def add(name: str) -> None:
        for _ in range(5):
            _note(ledger, name)

    threads = [threading.Thread(target=add, args=(f"thread {n}",)) for n in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sorted(_notes(ledger)) == sorted(f"thread {n}" for n in range(3) for _ in range(5))


_SLOW = "SELECT count(*) FROM range(100000) AS a(i), range(1000000) AS b(j) WHERE i * j % 7 = 3"


@contextmanager
def _stopping(ledger: LedgerFile) -> Iterator[None]:
    """Somebody who presses stop again and again."""
    done = threading.Event()

    def press() -> None:
        while not done.wait(0.1):
            ledger.interrupt()

    thread = threading.Thread(target=press)
    thread.start()
    try:
        yield
    finally:
        done.set()
        thread.join()


def test_a_long_question_can_be_stopped_from_another_thread(ledger: LedgerFile) -> None:
    with _stopping(ledger), pytest.raises(Stopped), ledger.reading() as con:
        con.execute(_SLOW).fetchall()

    assert _notes(ledger) == []


def test_a_stopped_change_keeps_nothing(ledger: LedgerFile) -> None:
    with _stopping(ledger), pytest.raises(Stopped):
        _lose(ledger, statement=_SLOW)

    assert _notes(ledger) == []
    _note(ledger, "afterwards")
    assert _notes(ledger) == ["afterwards"]


def test_a_stop_between_two_statements_counts_too(ledger: LedgerFile) -> None:
    with pytest.raises(Stopped):
        _lose(ledger, stop=True)

    assert _notes(ledger) == []


def test_a_stop_while_nothing_runs_is_forgotten(ledger: LedgerFile) -> None:
    ledger.interrupt()

    _note(ledger)

    assert _notes(ledger) == ["note"]


def test_the_ledger_going_away_is_told_in_one_line(path: Path) -> None:
    ledger = LedgerFile(path)
    path.unlink()

    with pytest.raises(LedgerError, match="there is no ledger"), ledger.reading():
        pass


def test_a_ledger_replaced_by_another_file_is_looked_over_anew(path: Path) -> None:
    ledger = LedgerFile(path)
    assert _notes(ledger) == []
    ledger.release()
    other = path.with_name("other")
    other.write_bytes(b"x" * 5000)
    os.replace(other, path)

    with pytest.raises(LedgerDamaged, match="is no ledger"), ledger.reading():
        pass


def test_times_come_from_the_clock_that_was_given(ledger: LedgerFile) -> None:
    _note(ledger)

    with ledger.reading() as con:
        assert con.execute("SELECT at_time FROM journal").fetchall() == [(NOON,)]


def test_opening_a_ledger_loads_duckdb_only_when_it_is_used() -> None:
    code = (
        "import sys; from ledger.store.ledger_file import LedgerFile; import ledger.store.check;"
        "import ledger.store.package;"
        "print(sorted({'duckdb', 'polars', 'numpy'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "[]"
