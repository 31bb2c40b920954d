"""A window to choose a player in: what is typed narrows the names."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.widgets import Input, OptionList
from textual.widgets.option_list import Option

from ledger.questions.wording import count, counted
from tui.completion import matches
from tui.screens.dialogs import Dialog
from tui.session import JobDone, JobFailed
from tui.widgets.lines import Words, plain

MOST = 50


class WhoDialog(Dialog[str]):
    """The players of the ledger; gives the name of the one chosen."""

    BINDINGS = [
        Binding("down", "move(1)", show=False),
        Binding("up", "move(-1)", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._names: tuple[str, ...] = ()
        self._found: list[str] = []

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Words("Which player?", classes="title")
            yield Input(placeholder="part of a name", id="prompt")
            found = OptionList(id="choices", markup=False)
            found.can_focus = False
            yield found
            yield Words("looking up names …", id="matches")
            yield Words("enter or a click takes the marked one, ↑ ↓ mark another, esc leaves")

    def on_mount(self) -> None:
        self.session.choices(self, "player")
        self._fit()

    def on_resize(self) -> None:
        self._fit()

    def _fit(self) -> None:
        self.query_one(OptionList).styles.height = min(12, max(2, self.app.size.height - 8))

    def on_job_done(self, message: JobDone) -> None:
        self._names = tuple(message.result)
        self._narrow()

    def on_job_failed(self, message: JobFailed) -> None:
        self.query_one("#matches", Words).say(message.line)

    @on(Input.Changed)
    def _narrow(self) -> None:
        every = matches(self.query_one(Input).value.replace(";", " "), self._names)
        self._found = every[:MOST]
        listed = self.query_one(OptionList)
        listed.clear_options()
        listed.add_options(Option(plain(name)) for name in self._found)
        listed.highlighted = 0 if self._found else None
        said = f"{count(len(every))} of {counted(len(self._names), 'player')}"
        self.query_one("#matches", Words).say(said if self._names else "the ledger has no player")

    def action_move(self, by: int) -> None:
        listed = self.query_one(OptionList)
        (listed.action_cursor_down if by > 0 else listed.action_cursor_up)()

    @on(Input.Submitted)
    def take(self) -> None:
        """Enter: the marked name."""
        marked = self.query_one(OptionList).highlighted
        if marked is not None:
            self.dismiss(self._found[marked])

    @on(OptionList.OptionSelected)
    def take_clicked(self, event: OptionList.OptionSelected) -> None:
        """A click: that name."""
        self.dismiss(self._found[event.option_index])
