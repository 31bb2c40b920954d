from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from ledger.charts.brief import making
from tests.brief.reading import drawn
from tests.questions.ground import Ground


@pytest.fixture
def ground() -> Iterator[Ground]:
    made = Ground()
    yield made
    made.close()


@pytest.fixture
def unpainted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pictures of nothing: for tests of what stands around them."""

    def quick(answer: Any, *, size: str) -> Any:
        return drawn(f"Drawn for a {size}.", f'<text font-size="12px">{answer.question}</text>')

    monkeypatch.setattr(making, "figure", quick)
