"""Screens whose answer has further tables beside its rows, leafed through one after another."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult

from ledger.questions.layout import LAYOUTS, usual_layout
from ledger.questions.part_layouts import PART_LAYOUTS
from ledger.questions.wording import count
from tui.screens.laid_out import laid_out
from tui.screens.question import QuestionScreen
from tui.widgets.rows import RowsView
from tui.widgets.sections import SectionsLine

if TYPE_CHECKING:
    import polars as pl

    from ledger.questions.answer import Answer, Part
    from tui.widgets.columns import ShownColumn


class LeafingScreen(QuestionScreen):
    """Shows one part of an answer at a time.

    `parts` names them with their words, in their order; the rows have no name. Of those in
    `uncounted` the number of rows tells nothing; those of `written` hold what people wrote.
    """

    parts: ClassVar[Sequence[tuple[str, str]]] = ()
    uncounted: ClassVar[frozenset[str]] = frozenset()
    written: ClassVar[frozenset[str]] = frozenset()

    def __init__(self) -> None:
        super().__init__()
        self.part = ""

    def compose_answer(self) -> ComposeResult:
        line = SectionsLine(id="parts")
        line.add_class("hidden")
        yield line
        yield from self.compose_picture()
        yield RowsView(id="rows")

    def compose_picture(self) -> ComposeResult:
        """What is drawn above the rows."""
        yield from ()

    # -- which part ------------------------------------------------------------------------

    def parts_of(self, answer: Answer) -> list[tuple[str, str]]:
        """The parts that the answer has, each with its words."""
        return [(n, words) for n, words in self.parts if not n or n in answer.parts]

    def shown_part(self, answer: Answer) -> Part:
        return answer.part(self.part if self.part in answer.parts else "")

    def rows_of(self, answer: Answer, part: str) -> pl.DataFrame:
        """The rows that are shown of a part."""
        return answer.part(part).frame

    def frame_of(self, answer: Answer) -> pl.DataFrame:
        return self.rows_of(answer, self.part if self.part in answer.parts else "")

    def columns_of(self, answer: Answer) -> tuple[ShownColumn, ...]:
        part = self.shown_part(answer)
        name = f"{answer.question}.{self.part}" if self.part else answer.question
        layout = LAYOUTS.get(name) or PART_LAYOUTS.get(name) or usual_layout(part.columns)
        here = None if self.part in self.written else self.told_here
        return laid_out(part.frame, layout, here=here)

    def why_empty(self, answer: Answer) -> str:
        if self.part and self.answer is not None:
            return f"Nothing of this kind: {self.key('part')} leafs to the other tables."
        return super().why_empty(answer)

    def show_answer(self, answer: Answer) -> None:
        found = self.parts_of(answer)
        names = [name for name, _ in found]
        self.part = self.part if self.part in names else ""
        said = [self._said(answer, name, words) for name, words in found]
        line = self.query_one("#parts", SectionsLine)
        line.say(said, names.index(self.part) if self.part in names else 0)
        line.set_class(len(found) < 2, "hidden")
        super().show_answer(answer)

    def _said(self, answer: Answer, part: str, words: str) -> str:
        if part in self.uncounted:
            return words
        return f"{words} {count(self.rows_of(answer, part).height)}"

    # -- leafing ---------------------------------------------------------------------------

    def _leaf(self, by: int) -> None:
        names = [name for name, _ in self.parts_of(self.answer)] if self.answer else []
        if self.answer is None:
            self.tell("there is no answer to leaf through yet")
        elif len(names) < 2:
            self.tell("there is nothing beside these rows")
        else:
            self._go(names[(names.index(self.part) + by) % len(names)])

    def _go(self, part: str) -> None:
        self.part = part
        if self.answer is not None:
            self.tell("")
            self.rows.go(0)
            self.show_answer(self.answer)

    @on(SectionsLine.Picked)
    def pick_part(self, event: SectionsLine.Picked) -> None:
        """A click on the name of a part shows it."""
        if self.answer is not None:
            self._go(self.parts_of(self.answer)[event.number][0])

    def action_part(self) -> None:
        self._leaf(1)

    def action_part_before(self) -> None:
        self._leaf(-1)
