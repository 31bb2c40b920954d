from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.planted.measured import Planted, planted


@pytest.fixture(scope="session")
def data(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Planted]:
    with planted(tmp_path_factory.mktemp("planted") / "demo") as built:
        yield built
