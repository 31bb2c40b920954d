from __future__ import annotations

from pathlib import Path

import pytest

from demo_data import Manifest, generate


@pytest.fixture(scope="session")
def small(tmp_path_factory: pytest.TempPathFactory) -> Manifest:
    return generate(tmp_path_factory.mktemp("small"), small=True)


@pytest.fixture(scope="session")
def large(tmp_path_factory: pytest.TempPathFactory) -> Manifest:
    return generate(tmp_path_factory.mktemp("large"))


@pytest.fixture(scope="session")
def samples() -> Path:
    return Path(__file__).resolve().parents[2] / "demo_data" / "samples"
