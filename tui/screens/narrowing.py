"""A window in which what is typed narrows a list; gives what was chosen of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.widgets import Input, OptionList
from textual.widgets.option_list import Option

from tui.screens.dialogs import Dialog
from tui.widgets.lines import Words, plain

T = TypeVar("T")


class NarrowingDialog(Dialog[T]):
    """What is typed narrows what is listed.

    A window says what it asks for (`title_words`, `wanted`), what is found (`narrowed`) and how a
    line of it reads (`lines`).
    """

    BINDINGS = [
        Binding("down", "move(1)", show=False),
        Binding("up", "move(-1)", show=False),
    ]

    title_words = ""
    wanted = ""
    takes = "takes"

    def __init__(self) -> None:
        super().__init__()
        self._found: Sequence[T] = ()

    def narrowed(self, typed: str) -> tuple[Sequence[T], str]:
        """What is found of what is typed, and what is said of it under the list."""
        raise NotImplementedError

    def lines(self, found: Sequence[T]) -> Iterable[str]:
        """What is found, a line each."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Words(self.title_words, classes="title")
            yield Input(placeholder=self.wanted, id="prompt")
            listed = OptionList(id="choices", markup=False)
            listed.can_focus = False
            yield listed
            yield Words(id="matches", classes="hidden")
            yield Words(
                f"enter or a click {self.takes} the marked one, ↑ ↓ mark another, esc leaves"
            )

    def on_mount(self) -> None:
        self.narrow()

    def on_resize(self) -> None:
        self.narrow()

    @on(Input.Changed)
    def narrow(self) -> None:
        """List what is found of what is typed now."""
        self._found, said = self.narrowed(self.query_one(Input).value)
        listed = self.query_one(OptionList)
        listed.styles.height = min(12, max(2, self.app.size.height - 8))
        listed.clear_options()
        listed.add_options(Option(plain(line)) for line in self.lines(self._found))
        listed.highlighted = 0 if self._found else None
        self.say(said)

    def say(self, words: str) -> None:
        """Say something under the list; without words there is no line."""
        said = self.query_one("#matches", Words)
        said.say(words)
        said.set_class(not words, "hidden")

    def action_move(self, by: int) -> None:
        listed = self.query_one(OptionList)
        (listed.action_cursor_down if by > 0 else listed.action_cursor_up)()

    @on(Input.Submitted)
    def take(self) -> None:
        """Enter: the marked one."""
        marked = self.query_one(OptionList).highlighted
        if marked is not None:
            self.dismiss(self._found[marked])

    @on(OptionList.OptionSelected)
    def take_clicked(self, event: OptionList.OptionSelected) -> None:
        """A click: that one."""
        self.dismiss(self._found[event.option_index])
