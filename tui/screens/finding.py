"""Screens whose rows are found by typing part of a name."""

from __future__ import annotations

from textual import on
from textual.widgets import Input

from ledger.questions.wording import counted
from tui.screens.meaning import MeaningScreen
from tui.widgets.rows import RowsView


class FindingScreen(MeaningScreen):
    """Has a table of rows, and a line to find some of them."""

    def __init__(self) -> None:
        super().__init__()
        self._found: list[int] = []

    def find_line(self) -> Input:
        """The line to type in, hidden until it is wanted."""
        hint = "part of a name, enter goes there"
        return Input(id="find", classes="hidden", placeholder=hint)

    @property
    def rows(self) -> RowsView:
        """The table."""
        return self.query_one("#rows", RowsView)

    @on(RowsView.Chosen)
    async def open_row(self) -> None:
        """Two clicks open a row as its key does."""
        await self.run_action("row")

    def action_find(self) -> None:
        line = self.query_one("#find", Input)
        line.remove_class("hidden")
        line.value = ""
        line.focus()

    @on(Input.Changed, "#find")
    def look(self, event: Input.Changed) -> None:
        """Each letter narrows what is found."""
        self._found = self.rows.find(event.value)
        if self._found:
            self.rows.go(self._found[0])
        if event.value:
            found = f"{counted(len(self._found), 'row')} found"
            more = f"; {self.key('find_next')} goes to the next" if len(self._found) > 1 else ""
            self.tell(found + more)

    @on(Input.Submitted, "#find")
    def leave_find(self) -> None:
        """Enter goes back to the rows."""
        self.query_one("#find", Input).add_class("hidden")
        self.rows.focus()

    def action_find_next(self) -> None:
        if not self._found:
            self.tell(f"nothing was looked for; {self.key('find')} finds rows")
            return
        self.rows.go(next((i for i in self._found if i > self.rows.cursor), self._found[0]))

    def action_back(self) -> None:
        if self.focused is not None and self.focused.id == "find":
            self.leave_find()
        else:
            super().action_back()
