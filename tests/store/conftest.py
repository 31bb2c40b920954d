from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.store.ledger_file import LedgerFile
from ledger.store.package import export
from tests.store import sample


@pytest.fixture(scope="session")
def templates(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """An empty and a filled ledger, made once and copied for each test."""
    folder = tmp_path_factory.mktemp("templates")
    empty, filled = folder / "empty.duckdb", folder / "filled.duckdb"
    LedgerFile(empty, create=True, who="ana", clock=lambda: sample.NOON).close()
    sample.make(filled)
    return {"empty": empty, "filled": filled}


@pytest.fixture
def path(templates: dict[str, Path], tmp_path: Path) -> Path:
    """A filled ledger's file, closed."""
    place = tmp_path / "spring.duckdb"
    shutil.copyfile(templates["filled"], place)
    return place


@pytest.fixture
def ledger(path: Path) -> Iterator[LedgerFile]:
    """A filled ledger."""
    with LedgerFile(path, who="ana", clock=lambda: sample.NOON) as opened:
        yield opened


@pytest.fixture(scope="session")
def shared(templates: dict[str, Path]) -> Iterator[LedgerFile]:
    """A filled ledger for tests that change nothing in it."""
    place = templates["filled"].with_name("shared.duckdb")
    shutil.copyfile(templates["filled"], place)
    with LedgerFile(place, who="ana", clock=lambda: sample.NOON) as opened:
        yield opened


@pytest.fixture(scope="session")
def exported(shared: LedgerFile) -> Path:
    """An export of the filled ledger, made once, to be copied."""
    return export(shared, shared.path.with_name("package"))


@pytest.fixture
def empty(templates: dict[str, Path], tmp_path: Path) -> Iterator[LedgerFile]:
    """A ledger with nothing in it."""
    place = tmp_path / "empty.duckdb"
    shutil.copyfile(templates["empty"], place)
    with LedgerFile(place, who="ana", clock=lambda: sample.NOON) as opened:
        yield opened
