"""Everything that a question can be told, in one window: each option with its value and its usual.

Driven by the options of the registry alone: a new option of a question is here without a line.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.widgets import Input, OptionList
from textual.widgets.option_list import Option as Entry

from ledger.errors import UseError
from ledger.questions.told import value_words, words_of
from ledger.questions.wording import capital
from ledger.safe_text import safe
from tui.completion import NameSuggester, offered
from tui.remedies import nouns_of, told_here
from tui.screens.dialogs import ChoiceDialog, Dialog
from tui.session import JobDone, JobFailed
from tui.widgets.lines import Words, plain

if TYPE_CHECKING:
    from ledger.questions.options import Option

_MOST_SHOWN = 12
_AS_USUAL = "not given (usual)"


def read_typed(option: Option, text: str) -> Any:
    """What was typed or chosen as the option's value; None for the usual.

    Raises:
        UseError: if it cannot be one.
    """
    clean = text.strip()
    if not clean:
        return None
    many = [name.strip() for name in clean.split(";") if name.strip()]
    value = option.read(many if option.many else clean)
    return None if value == option.default else value


def typed(value: Any) -> str:
    """A value as it is typed."""
    if isinstance(value, list | tuple):
        return "; ".join(str(one) for one in value)
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)


def window_for(option: Option, value: Any) -> Dialog[str]:
    """The window in which an option is chosen or typed."""
    words = words_of(option)
    present = option.default if value is None else value
    if option.type is bool:
        return ChoiceDialog(capital(words.label), _flags(option), "yes" if present else "no")
    if option.choices:
        listed = [(name, value_words(option, name)) for name in option.choices]
        marked = [(n, f"{w} (usual)" if n == option.default else w) for n, w in listed]
        none = [] if option.default is not None else [("", _AS_USUAL)]
        return ChoiceDialog(capital(words.label), [*none, *marked], str(present or ""))
    return OptionPrompt(option, typed(value))


def _flags(option: Option) -> list[tuple[str, str]]:
    usual = "yes" if option.default else "no"
    return [(word, f"{word} (usual)" if word == usual else word) for word in ("yes", "no")]


class OptionPrompt(Dialog[str]):
    """A number or text to type for an option; what it cannot take is said and stays typed."""

    def __init__(self, option: Option, value: str) -> None:
        super().__init__()
        self._option = option
        self._value = value
        self._words = words_of(option)
        self._names: list[str] = []

    def compose(self) -> ComposeResult:
        part = self._words.part
        with Vertical(classes="box"):
            yield Words(capital(self._words.label), classes="title")
            yield Input(self._value, suggester=NameSuggester(lambda: self._names, part),
                        select_on_focus=not self._words.names, id="prompt")  # fmt: skip
            yield Words(id="matches")
            yield Words(self._option.description)
            usual = value_words(self._option, self._option.default)
            completes = "→ completes, " if self._words.names else ""
            yield Words(f"enter takes it, empty is the usual{f' ({usual})' if usual else ''}, "
                        f"{completes}esc leaves it as it is")  # fmt: skip

    def on_mount(self) -> None:
        if self._words.names:
            self.session.choices(self, self._words.names)
        self._say(" ")

    def on_job_done(self, message: JobDone) -> None:
        self._names = [safe(str(name)) for name in message.result]
        self._show_matches()

    def on_job_failed(self, message: JobFailed) -> None:
        self._say(message.line)

    @on(Input.Changed)
    def _show_matches(self) -> None:
        if not self._names:
            return
        typed = self.query_one(Input).value
        self._say(offered(typed, self._names, self._words.part, _MOST_SHOWN) or " ")

    def _say(self, line: str) -> None:
        self.query_one("#matches", Words).say(line)

    @on(Input.Submitted)
    def take(self, event: Input.Submitted) -> None:
        """Enter: what is typed, if the option takes it."""
        try:
            read_typed(self._option, event.value)
        except UseError as error:
            self._say(told_here(error.message, lambda _: "", nouns_of([self._option])))
        else:
            self.dismiss(event.value)


class ChoicesDialog(Dialog[dict[str, Any]]):
    """Every option of a question; gives those that are not the usual."""

    BINDINGS = [
        Binding("f9", "usual", show=False),
        *(Binding(str(n), f"change({n})", show=False) for n in range(1, 10)),
    ]

    def __init__(
        self,
        heading: str,
        options: Sequence[Option],
        given: Mapping[str, Any],
        asked: Mapping[str, Any],
    ) -> None:
        super().__init__()
        self._heading = heading
        self._options = tuple(options)
        self._given = dict(given)
        # What an answer says of a usual value that goes by the other options.
        self._asked = {k: v for k, v in asked.items() if k not in given}

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Words(self._heading, classes="title")
            yield OptionList(id="choices", markup=False)
            yield Words("enter or its digit changes it, F9 takes the usual for all, esc asks so")

    def on_mount(self) -> None:
        self._list()
        self.query_one(OptionList).focus()

    def on_resize(self) -> None:
        self._fit()

    def _fit(self) -> None:
        # Its border, the title, and the hint in two lines stay whatever the options need.
        listed = self.query_one(OptionList)
        listed.styles.height = "auto"
        listed.styles.max_height = max(3, self.app.size.height - 6)

    def _list(self) -> None:
        listed = self.query_one(OptionList)
        at = listed.highlighted or 0
        listed.set_options(
            Entry(plain(f"{number if number < 10 else ' '} {self._line(option)}",
                        f"    {option.description}"))
            for number, option in enumerate(self._options, 1)
        )  # fmt: skip
        listed.highlighted = min(at, len(self._options) - 1)
        self._fit()

    def _line(self, option: Option) -> str:
        label = words_of(option).label
        usual = value_words(option, option.default)
        if option.name not in self._given:
            return f"{label}: {value_words(option, self._asked.get(option.name)) or usual or '–'}"
        value = value_words(option, self._given[option.name])
        return f"● {label}: {value} (usually {usual or 'not given'})"

    @on(OptionList.OptionSelected)
    def chosen(self, event: OptionList.OptionSelected) -> None:
        """Enter or a click: change that one."""
        self._change(self._options[event.option_index])

    def action_change(self, number: int) -> None:
        if number <= len(self._options):
            self.query_one(OptionList).highlighted = number - 1
            self._change(self._options[number - 1])

    def _change(self, option: Option) -> None:
        def changed(text: str | None) -> None:
            if text is None:
                return
            value = read_typed(option, text)
            if value is None:
                self._given.pop(option.name, None)
            else:
                self._given[option.name] = value
            self._asked.pop(option.name, None)
            self._list()

        value = self._given.get(option.name, self._asked.get(option.name))
        self.app.push_screen(window_for(option, value), changed)

    def action_usual(self) -> None:
        self._given.clear()
        self._asked.clear()
        self._list()

    def action_leave(self) -> None:
        self.dismiss(self._given)
