"""What is shipped runs without the checkout: the wheel, and a wheel made from the sdist."""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

from ledger.questions.registry import QUESTIONS

ROOT = Path(__file__).resolve().parents[2]
BUILD = """
import os, sys
from hatchling.build import build_sdist, build_wheel
out, what = sys.argv[1:]
print((build_wheel if what == "wheel" else build_sdist)(out))
"""


def _build(source: Path, out: Path, what: str) -> Path:
    out.mkdir(exist_ok=True)
    done = subprocess.run(
        [sys.executable, "-c", BUILD, str(out), what],
        cwd=source,
        capture_output=True,
        text=True,
        check=True,
    )
    return out / done.stdout.splitlines()[-1]


def _unpacked(wheel: Path, home: Path) -> Path:
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(home)
    return home


@pytest.fixture(params=["wheel", "sdist"])
def site(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """A folder with the package as it would be installed."""
    if request.param == "wheel":
        return _unpacked(_build(ROOT, tmp_path / "dist", "wheel"), tmp_path / "site")
    packed = _build(ROOT, tmp_path / "dist", "sdist")
    with tarfile.open(packed) as archive:
        archive.extractall(tmp_path / "source", filter="data")
    (source,) = (tmp_path / "source").iterdir()
    return _unpacked(_build(source, tmp_path / "again", "wheel"), tmp_path / "site")


def _run(site: Path, where: Path, *words: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(site)}
    return subprocess.run(
        [sys.executable, "-P", "-m", "ledger", *words],
        cwd=where,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_demo_runs_from_what_is_shipped(site: Path, tmp_path: Path) -> None:
    away = tmp_path / "away"
    away.mkdir()

    done = _run(site, away, "demo", "shown", "--attempts", "6000")

    assert done.returncode == 0, done.stderr
    lines = done.stdout.splitlines()
    assert [line.partition(":")[0] for line in lines] == list(QUESTIONS)
    assert (away / "shown/demo.duckdb").is_file()
    assert (away / "shown/charts/uptake-light.png").read_bytes()[:4] == b"\x89PNG"
    assert all(
        (away / f"shown/charts/{question}-light.svg").stat().st_size > 2_000
        for question in QUESTIONS
    )
    assert (away / "shown/brief.html").read_bytes().startswith(b"<!DOCTYPE html>")
    assert (away / "shown/slides.pptx").read_bytes()[:2] == b"PK"
    assert (away / "shown/tables/ranking.csv").read_text(encoding="utf-8").startswith("rank,")


def test_nothing_but_the_two_packages_is_shipped_at_the_top(site: Path) -> None:
    names = {p.name for p in site.iterdir() if not p.name.endswith(".dist-info")}

    assert names == {"ledger", "tui"}
    assert (site / "ledger/schemas/attempts.json").is_file()
    assert (site / "ledger/demo_data/__init__.py").is_file()
    assert not (site / "ledger/tests").exists()
