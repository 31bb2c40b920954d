from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.errors import LedgerDamaged, LedgerError
from ledger.store import allowlist, hold, migrations
from ledger.store.check import check, check_tables
from ledger.store.ledger_file import LedgerFile
from ledger.store.package import export, load
from tests.store.sample import NOON


@pytest.fixture
def second_step(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A program one format further on."""
    steps = (
        *migrations.steps(),
        migrations.Migration(
            2,
            "second",
            "ALTER TABLE player ADD COLUMN arm_cm DOUBLE; CREATE TABLE film (id INTEGER NOT NULL);",
        ),
    )
    monkeypatch.setattr(migrations, "steps", lambda: steps)
    allowlist.schema.cache_clear()
    yield
    allowlist.schema.cache_clear()


def test_the_steps_are_numbered_without_a_gap() -> None:
    assert [m.number for m in migrations.steps()] == list(range(1, migrations.newest() + 1))


def test_a_new_ledger_records_its_steps(empty: LedgerFile) -> None:
    with empty.reading() as con:
        rows = con.execute("SELECT number, name, applied_at FROM migration").fetchall()

    assert rows == [(1, "first", NOON)]


@pytest.mark.usefixtures("second_step")
@pytest.mark.parametrize("way", ["read", "change"])
def test_an_older_ledger_is_brought_up_to_date_when_it_is_opened(path: Path, way: str) -> None:
    with LedgerFile(path) as ledger:
        if way == "change":
            with ledger.changing("a test") as con:
                con.execute("INSERT INTO film VALUES (1)")
        with ledger.reading() as con:
            films = con.execute("SELECT count(*) FROM film").fetchall()
            steps = con.execute("SELECT number FROM migration ORDER BY 1").fetchall()
            players = con.execute("SELECT count(*), count(arm_cm) FROM player").fetchall()

        assert check(ledger) == []
    assert films == [(int(way == "change"),)]
    assert steps == [(1,), (2,)]
    assert players == [(12, 0)]


@pytest.mark.usefixtures("second_step")
def test_an_older_ledger_that_cannot_be_written_to_says_so(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(hold.Hold, "read_only", True)

    ledger = LedgerFile(path)
    with pytest.raises(LedgerError, match=r"format 1 .* where it can be written"), ledger.reading():
        pass


@pytest.mark.usefixtures("second_step")
def test_an_older_ledger_with_foreign_tables_is_refused_before_it_is_changed(path: Path) -> None:
    import duckdb

    with duckdb.connect(str(path)) as con:
        con.execute("CREATE TABLE film (id INTEGER NOT NULL)")

    ledger = LedgerFile(path)
    with pytest.raises(LedgerDamaged, match="a table 'film' that no ledger"), ledger.reading():
        pass


def test_a_step_that_fails_leaves_the_ledger_as_it_was(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import duckdb

    bad = migrations.Migration(2, "bad", "CREATE TABLE film (id INTEGER); SELECT no_such_thing();")
    good = migrations.steps()
    with LedgerFile(path) as ledger, ledger.changing("a test"):
        pass
    monkeypatch.setattr(migrations, "steps", lambda: (*good, bad))
    with duckdb.connect(str(path)) as con:
        with pytest.raises(duckdb.Error):
            migrations.migrate(con, lambda: NOON, have=1)
        found = con.execute("SELECT count(*) FROM duckdb_tables() WHERE table_name = 'film'")
        assert found.fetchall() == [(0,)]
    monkeypatch.setattr(migrations, "steps", lambda: good)

    with LedgerFile(path) as ledger:
        assert check(ledger) == []


def test_an_export_of_an_older_format_is_loaded_and_brought_up_to_date(
    ledger: LedgerFile, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    package = export(ledger, tmp_path / "package")
    ledger.close()
    request.getfixturevalue("second_step")

    place = load(package, tmp_path / "again.duckdb")

    with LedgerFile(place) as again, again.reading() as con:
        assert con.execute("SELECT count(*) FROM film").fetchall() == [(0,)]
        assert con.execute("SELECT count(*) FROM attempt").fetchall() == [(240,)]
        assert check_tables(con) == []
