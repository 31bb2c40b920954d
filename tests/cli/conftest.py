"""A desk to type commands at: a folder of its own, samples in it, nobody's real ledger in reach."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from ledger import resources
from ledger.book import Book
from ledger.cli.run import run

SAMPLES = "demo_data/samples"


@dataclass(frozen=True, slots=True)
class Done:
    """What a command left: its exit code, data and words."""

    code: int
    out: str
    err: str


Offglass = Callable[..., Done]


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """The folder that commands run in."""
    shutil.copytree(resources.folder("demo_data") / "samples", tmp_path / SAMPLES)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("OFFGLASS_LEDGER", "spring.duckdb")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.delenv("OFFGLASS_DEBUG", raising=False)
    yield tmp_path
    assert not list(tmp_path.glob("*.wal")), "a command left a write-ahead log"


@pytest.fixture
def offglass(desk: Path, capfd: pytest.CaptureFixture[str]) -> Offglass:
    """Runs one command in this process, as typed."""

    def typed(*words: str | os.PathLike[str]) -> Done:
        capfd.readouterr()
        code = run([os.fspath(w) for w in words])
        caught = capfd.readouterr()
        return Done(code, caught.out, caught.err)

    return typed


@pytest.fixture(scope="session")
def ready(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A ledger with the clean sample and its tags, for every desk to begin with a copy of."""
    folder = tmp_path_factory.mktemp("ready")
    with Book(folder / "spring.duckdb", create=True) as book:
        book.import_file(resources.folder("demo_data") / "samples" / "attempts_clean.csv")
        book.import_file(resources.folder("demo_data") / "samples" / "tags.csv", "tags")
    return folder / "spring.duckdb"


@pytest.fixture
def filled(offglass: Offglass, desk: Path, ready: Path) -> Offglass:
    """The same desk with the clean sample and its tags in the ledger."""
    shutil.copy(ready, desk / "spring.duckdb")
    return offglass
