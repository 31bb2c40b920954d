from __future__ import annotations

from typing import Any

import pytest

from ledger.charts.deck import slides
from tests.deck.reading import drawn


@pytest.fixture
def unpainted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pictures of one point: for tests of what stands around them."""

    def quick(answer: Any, *, theme: str, size: str) -> Any:
        return drawn(f"Drawn {theme}, {size}.")

    monkeypatch.setattr(slides, "drawing", quick)
