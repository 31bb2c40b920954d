from __future__ import annotations

import os
import shutil
import signal
import sys
import tempfile
import time
from pathlib import Path

import pytest

from ledger.errors import LedgerBusy, LedgerError, LedgerReadOnly
from ledger.store.backup import backup
from ledger.store.check import check
from ledger.store.ledger_file import LedgerFile
from tests.reliability.children import child, heard, let_go, run

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="locks and signals of POSIX")

_CHANGING = """
with LedgerFile(path, who="ana") as ledger, ledger.changing("offglass import") as con:
    note(ledger, con, "child")
    say("inside")
    wait()
"""
_READING = """
with LedgerFile(path) as ledger:
    with ledger.reading() as con:
        con.execute("SELECT count(*) FROM attempt").fetchall()
    say("inside")
    wait()
"""


def _notes(path: Path) -> list[str]:
    with LedgerFile(path) as ledger, ledger.reading() as con:
        return [str(r[0]) for r in con.execute("SELECT action FROM journal ORDER BY id").fetchall()]


def _change(path: Path) -> None:
    with LedgerFile(path, who="bo") as ledger, ledger.changing("offglass undo") as con:
        con.execute("DELETE FROM player_alias")


@pytest.mark.parametrize("way", ["read", "change"])
def test_who_changes_the_ledger_is_named_within_a_second(path: Path, way: str) -> None:
    with child(path, _CHANGING) as other:
        heard(other)
        start = time.monotonic()
        with pytest.raises(LedgerBusy) as caught:
            {"read": _notes, "change": _change}[way](path)
        took = time.monotonic() - start

    assert caught.value.message.startswith(
        f"spring.duckdb is being changed by ana (offglass import, process {other.pid}) since "
    )
    assert caught.value.message.endswith(": try again when it is done")
    assert caught.value.exit_code == 3
    assert took < 1


def test_readers_of_several_processes_read_at_once(path: Path) -> None:
    with child(path, _READING) as one, child(path, _READING) as two:
        heard(one)
        heard(two)

        assert _notes(path) == []


def test_a_reader_in_the_way_of_a_change_is_told(path: Path) -> None:
    with child(path, _READING) as other:
        heard(other)

        start = time.monotonic()
        with pytest.raises(LedgerBusy, match=r"another program has spring\.duckdb open"):
            _change(path)

        assert time.monotonic() - start < 1


def test_a_change_waits_a_moment_for_another_that_is_about_to_end(path: Path) -> None:
    quick = _CHANGING.replace("wait()", "time.sleep(0.3)")
    with child(path, quick) as other:
        heard(other)

        _change(path)

        other.wait(timeout=30)
    assert _notes(path) == ["child"]


def test_a_program_that_does_not_know_the_lock_is_told_from_duckdbs_own(path: Path) -> None:
    code = """
import duckdb
con = duckdb.connect(path)
con.execute("SELECT 1")
say("inside")
wait()
"""
    with child(path, code) as other:
        heard(other)

        with pytest.raises(LedgerBusy, match=rf"another program \(process {other.pid}\)"):
            _notes(path)


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM, signal.SIGINT])
def test_a_change_killed_in_its_middle_leaves_the_ledger_as_it_was(
    path: Path, how: signal.Signals
) -> None:
    before = _everything(path)
    with child(path, _CHANGING) as other:
        heard(other)
        other.send_signal(how)
        other.wait(timeout=30)

    assert _everything(path) == before
    _change(path)
    with LedgerFile(path) as ledger:
        assert check(ledger) == []


@pytest.mark.parametrize("after_ms", [2, 15, 40])
def test_a_program_killed_at_any_moment_keeps_what_it_has_acknowledged(
    path: Path, after_ms: int
) -> None:
    code = """
with LedgerFile(path) as ledger:
    say("ready")
    for number in range(10000):
        with ledger.changing("tagging") as con:
            note(ledger, con, str(number))
        say(str(number))
"""
    with child(path, code) as other:
        assert heard(other) == "ready"
        assert heard(other) == "0"
        time.sleep(after_ms / 1000)
        other.kill()
        other.wait(timeout=30)
        assert other.stdout is not None
        said = other.stdout.read().splitlines(keepends=True)

    acknowledged = [int(line) for line in said if line.endswith("\n")]
    notes = _notes(path)
    assert notes == [str(n) for n in range(len(notes))]
    assert len(notes) >= len(acknowledged) + 1
    _change(path)
    with LedgerFile(path) as ledger:
        assert check(ledger) == []


def test_a_lock_file_of_a_dead_process_does_not_matter(path: Path) -> None:
    with child(path, _CHANGING) as other:
        heard(other)
        other.kill()
        other.wait(timeout=30)
    assert f'"pid": {other.pid}' in Path(f"{path}.lock").read_text()

    _change(path)

    with child(path, _READING) as reader:
        heard(reader)
        with pytest.raises(LedgerBusy, match="another program has"):
            _change(path)


def test_a_forked_child_does_not_touch_its_parents_connection(path: Path) -> None:
    code = """
ledger = LedgerFile(path)
with ledger.changing("offglass import") as con:
    note(ledger, con, "parent")
pid = os.fork()
if pid == 0:
    os._exit(0)
os.waitpid(pid, 0)
with ledger.changing("offglass import") as con:
    note(ledger, con, "parent again")
ledger.close()
"""
    run(path, code)

    assert _notes(path) == ["parent", "parent again"]


def test_a_forked_child_is_refused_while_its_parent_holds_the_ledger(path: Path) -> None:
    code = """
ledger = LedgerFile(path, who="ana")
with ledger.changing("offglass import") as con:
    pid = os.fork()
    if pid == 0:
        try:
            with LedgerFile(path).reading():
                say("in")
        except OffglassError as e:
            say(type(e).__name__)
        os._exit(0)
    os.waitpid(pid, 0)
    note(ledger, con, "parent")
ledger.close()
"""
    assert run(path, code) == "LedgerBusy"
    assert _notes(path) == ["parent"]


def test_a_full_disk_is_told_and_nothing_of_the_change_is_kept(path: Path) -> None:
    code = """
import resource
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
ledger = LedgerFile(path)
with ledger.reading() as con:
    pass
size = os.path.getsize(path)
resource.setrlimit(resource.RLIMIT_FSIZE, (size + 200_000, resource.RLIM_INFINITY))
try:
    with ledger.changing("offglass import") as con:
        con.execute("INSERT INTO journal SELECT i, now()::TIMESTAMP, 'ana', md5(i::VARCHAR), "
                    "NULL, NULL, NULL, md5((i + 1)::VARCHAR), NULL, NULL, NULL "
                    "FROM range(400000) AS t(i)")
except OffglassError as e:
    say(type(e).__name__ + ": " + e.message)
resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
with ledger.changing("offglass import") as con:
    note(ledger, con, "afterwards")
ledger.close()
"""
    said = run(path, code)

    assert said.startswith("LedgerError: "), said
    assert "disk is full" in said
    assert _notes(path) == ["afterwards"]
    with LedgerFile(path) as ledger:
        assert check(ledger) == []


_AS_NOBODY = """
# Everything is imported before the rights are given up: Python itself may lie out of reach then.
with LedgerFile(path) as ledger, ledger.reading():
    pass
os.unlink(path + ".lock")
os.setgid(65534); os.setuid(65534)
ledger = LedgerFile(path)
with ledger.reading() as con:
    say(str(con.execute("SELECT count(*) FROM attempt").fetchall()[0][0]))
say(str(ledger.read_only))
say(str(ledger.notice))
try:
    with ledger.changing("x"):
        pass
except OffglassError as e:
    say(type(e).__name__)
"""


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="needs to be root")
def test_a_ledger_without_permission_to_write_is_read_with_a_notice(template: Path) -> None:
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        shutil.copyfile(template, folder / "spring.duckdb")
        (folder / "spring.duckdb").chmod(0o444)
        folder.chmod(0o755)

        said = run(folder / "spring.duckdb", _AS_NOBODY).splitlines()

    assert said[:2] == ["240", "True"]
    assert "read without a lock" in said[2]
    assert said[3] == LedgerReadOnly.__name__


def test_a_backup_waits_for_nobody_who_changes(path: Path, tmp_path: Path) -> None:
    with child(path, _CHANGING) as other:
        heard(other)
        with LedgerFile(path) as ledger, pytest.raises(LedgerBusy, match="ana"):
            backup(ledger, tmp_path / "copy.duckdb")
        let_go(other)

    assert not (tmp_path / "copy.duckdb").exists()
    assert _notes(path) == ["child"]


def test_a_ledger_moved_away_while_open_does_not_come_back_empty(path: Path) -> None:
    with LedgerFile(path) as ledger:
        with ledger.reading() as con:
            con.execute("SELECT 1")
        ledger.release()
        path.rename(path.with_name("moved.duckdb"))

        with pytest.raises(LedgerError, match="there is no ledger"), ledger.changing("x"):
            pass

    assert not path.exists()


def _everything(path: Path) -> list[object]:
    with LedgerFile(path) as ledger, ledger.reading() as con:
        return [
            con.execute(f"SELECT * FROM {table} ORDER BY ALL").fetchall()
            for table in ("attempt", "journal", "ledger_meta", "tag", "sighting", "source")
        ]
