from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.store import sample


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A filled ledger, made once and copied for each test."""
    place = tmp_path_factory.mktemp("reliability") / "filled.duckdb"
    sample.make(place)
    return place


@pytest.fixture
def path(template: Path, tmp_path: Path) -> Path:
    """A filled ledger's file, closed."""
    place = tmp_path / "spring.duckdb"
    shutil.copyfile(template, place)
    return place


@pytest.fixture(scope="session")
def ground_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A ledger to type into, made once and copied for each test."""
    from tests.reliability import typing_ground

    place = tmp_path_factory.mktemp("typing") / "spring.duckdb"
    typing_ground.make(place)
    return place


@pytest.fixture
def ground(ground_template: Path, tmp_path: Path) -> Path:
    """A ledger to type into, closed, in a folder of its own."""
    place = tmp_path / "spring.duckdb"
    shutil.copyfile(ground_template, place)
    return place
