"""Handlers of the terminal program: Textual calls that of every class by itself."""

from __future__ import annotations

import ast
from pathlib import Path

from textual.app import App

ROOT = Path(__file__).resolve().parents[2]
# Not told apart by class: this is what tells messages to the handlers.
_TELLS = "on_event"


def _of_the_base(node: ast.Attribute) -> bool:
    """Whether it is a handler taken from `super()`."""
    of, name = node.value, node.attr
    is_super = isinstance(of, ast.Call) and isinstance(of.func, ast.Name) and of.func.id == "super"
    return is_super and name.lstrip("_").startswith("on_") and name != _TELLS


def test_no_handler_is_called_a_second_time() -> None:
    taken = [
        f"{path.relative_to(ROOT)}:{node.lineno}"
        for path in sorted((ROOT / "tui").rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute) and _of_the_base(node)
    ]

    assert taken == []


class _Base(App[None]):
    def __init__(self) -> None:
        super().__init__()
        self.called: list[str] = []

    def on_mount(self) -> None:
        self.called.append("base")


class _Derived(_Base):
    def on_mount(self) -> None:
        self.called.append("derived")


async def test_the_handler_of_a_base_class_is_called_without_a_word() -> None:
    # What the rule above rests on, in the Textual that is installed.
    async with _Derived().run_test() as pilot:
        assert isinstance(pilot.app, _Base)
        assert pilot.app.called == ["derived", "base"]
