"""Screens of a question that can be told more than which attempts are meant."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, ClassVar

from ledger.questions.registry import QUESTIONS
from ledger.questions.told import told
from tui.remedies import nouns_of
from tui.screens.choices import ChoicesDialog, read_typed, window_for
from tui.screens.dialogs import ChoiceDialog
from tui.screens.finding import FindingScreen
from tui.widgets.lines import Words

if TYPE_CHECKING:
    from ledger.questions.answer import Answer
    from ledger.questions.options import Option


class ChoosingScreen(FindingScreen):
    """Says what its question was told, and changes it.

    Everything goes by the options of the registry; `options` holds those that are not the usual.
    """

    question: ClassVar[str] = ""
    # Options that the sentence of the screen says already.
    in_sentence: ClassVar[tuple[str, ...]] = ()

    def __init__(self) -> None:
        super().__init__()
        self.options: dict[str, Any] = {}
        self.answer: Answer | None = None

    def told_line(self) -> Words:
        """The line that says it, under the sentence."""
        return Words(classes="told", id="told")

    @property
    def choices(self) -> tuple[Option, ...]:
        """The options of the question."""
        question = QUESTIONS.get(self.question)
        return question.options if question else ()

    def own_options(self) -> Mapping[str, str]:
        return nouns_of(self.choices)

    def say_told(self, answer: Answer | None = None) -> None:
        """Say what the question was told, or is going to be before there is an answer."""
        asked = answer.asked if answer else self.options
        notes = answer.notes if answer else ()
        items = told(self.choices, asked, notes, without=self.in_sentence)
        line = self.query_one("#told", Words)
        line.say(f"{self.key('choose')} changes: {'; '.join(items)}" if items else "")
        line.set_class(not items, "hidden")

    def option(self, name: str) -> Option | None:
        """The option of that name, or whose name begins so where it ends in `_`."""
        return next(
            (o for o in self.choices if o.name == name or (name[-1] == "_" and name in o.name[:4])),
            None,
        )

    # -- actions ---------------------------------------------------------------------------

    def action_choose(self) -> None:
        if not self.choices:
            self.tell("this question is told nothing but which attempts are meant")
            return

        def chosen(given: dict[str, Any] | None) -> None:
            if given is not None and given != self.options:
                self.options = given
                self.entered()

        asked = self.answer.asked if self.answer else {}
        self.app.push_screen(ChoicesDialog(self.heading, self.choices, self.options, asked), chosen)

    def action_by(self) -> None:
        self.change("by")

    def action_minimum(self) -> None:
        self.change("min_")

    def action_order(self) -> None:
        """Order by what the question offers, else by one of the columns."""
        if not self.change("order"):
            self.order_by_column()

    def change(self, name: str) -> bool:
        """Change the option of that name; False where the question has none."""
        option = self.option(name)
        if option is None:
            return False

        def changed(text: str | None) -> None:
            if text is not None:
                self.take(option, text)

        asked = self.answer.asked if self.answer else {}
        value = self.options.get(option.name, asked.get(option.name))
        self.app.push_screen(window_for(option, value), changed)
        return True

    def take(self, option: Option, text: str) -> None:
        """Tell the question an option from now on; empty for the usual."""
        value = read_typed(option, text)
        if value is None:
            self.options.pop(option.name, None)
        else:
            self.options[option.name] = value
        self.entered()

    def order_by_column(self) -> None:
        """Let the user choose the column that orders the rows."""
        choices = tuple((c.sorts or "", c.title) for c in self.rows.columns if c.sorts)

        def chosen(name: str | None) -> None:
            if name:
                self.rows.turn_order(name)

        if choices:
            current = self.rows.ordered[0] if self.rows.ordered else ""
            self.app.push_screen(ChoiceDialog("Order the rows by", choices, current), chosen)
