from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.questions.ground import Ground


@pytest.fixture
def ground() -> Iterator[Ground]:
    made = Ground()
    yield made
    made.close()
