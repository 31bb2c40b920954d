"""A desk to type commands at: a folder of its own, samples in it, nobody's real ledger in reach."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from ledger import resources
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


@pytest.fixture
def filled(offglass: Offglass) -> Offglass:
    """The same desk with the clean sample and its tags in the ledger."""
    assert offglass("import", f"{SAMPLES}/attempts_clean.csv").code == 0
    assert offglass("import", f"{SAMPLES}/tags.csv", "--as", "tags").code == 0
    return offglass
