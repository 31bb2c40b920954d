"""A window in which questions and actions are found by typing part of what they do."""

from __future__ import annotations

from collections.abc import Sequence

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.widgets import Input, OptionList
from textual.widgets.option_list import Option

from ledger.safe_text import cut
from tui.palette import Offer, found
from tui.screens.dialogs import Dialog
from tui.widgets.lines import Words, plain

_KEY = 5
NOTHING = "Nothing here is called so: fewer letters, or other words."


class FindDialog(Dialog[Offer]):
    """What can be done here; gives what was chosen.

    Args:
        offers: all there is.
    """

    BINDINGS = [
        Binding("down", "move(1)", show=False),
        Binding("up", "move(-1)", show=False),
    ]

    def __init__(self, offers: Sequence[Offer]) -> None:
        super().__init__()
        self._offers = tuple(offers)
        self._found: list[Offer] = []

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Words("What do you want to do?", classes="title")
            yield Input(placeholder="type part of it", id="prompt")
            listed = OptionList(id="choices", markup=False)
            listed.can_focus = False
            yield listed
            yield Words(id="matches", classes="hidden")
            yield Words("enter or a click does the marked one, ↑ ↓ mark another, esc leaves")

    def on_mount(self) -> None:
        self._narrow()

    def on_resize(self) -> None:
        self._narrow()

    @on(Input.Changed)
    def _narrow(self) -> None:
        self._found = found(self._offers, self.query_one(Input).value)
        wide, high = self.app.size
        # The box with its lines, the blanks beside the words, the scroll bar.
        cells = (wide if wide < 60 else min(100, wide * 9 // 10)) - 7
        listed = self.query_one(OptionList)
        listed.styles.height = min(12, max(2, high - 8))
        listed.clear_options()
        listed.add_options(
            Option(plain(cut(f"{offer.key:<{_KEY}} {offer.words}", cells))) for offer in self._found
        )
        listed.highlighted = 0 if self._found else None
        said = self.query_one("#matches", Words)
        said.say("" if self._found else NOTHING)
        said.set_class(bool(self._found), "hidden")

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
