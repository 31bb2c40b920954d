"""What all tests of the terminal program share."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from textual.css.stylesheet import Stylesheet


@pytest.fixture(scope="session", autouse=True)
def styles_are_read_once() -> Iterator[None]:
    """Every program of a test has the same styles: reading them took a sixth of the time."""
    known: dict[tuple[Any, ...], Any] = {}
    read = Stylesheet._parse_rules

    def read_once(self: Stylesheet, css: str, *args: Any, **more: Any) -> Any:
        said = (css, args, tuple(sorted(more.items())), tuple(sorted(self._variables.items())))
        if said not in known:
            known[said] = read(self, css, *args, **more)
        return known[said]

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(Stylesheet, "_parse_rules", read_once)
        yield
