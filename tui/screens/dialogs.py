"""Small windows over a screen: a text to read, a choice, a line to type, a yes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, TypeVar, cast

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.suggester import Suggester
from textual.widgets import Input, OptionList
from textual.widgets.input import Selection
from textual.widgets.option_list import Option

from tui.keys import with_layouts
from tui.widgets.lines import Words, plain, wrapped

if TYPE_CHECKING:
    from tui.app import OffglassApp
    from tui.session import Session

T = TypeVar("T")


class Dialog(ModalScreen[T]):
    """A window that `escape` closes without effect."""

    BINDINGS = [Binding("escape", "leave", show=False)]

    @property
    def session(self) -> Session:
        """Who asks the ledger."""
        return cast("OffglassApp", self.app).session

    def action_leave(self) -> None:
        self.dismiss(None)

    def on_resize(self) -> None:
        self.set_class(self.app.size.height < 20 or self.app.size.width < 60, "low")


# Keys have so many cells before the words that say what they do.
KEYS_LEAD = 13


class TextDialog(Dialog[None]):
    """A text to read; any of its keys closes it.

    Args:
        title_words: its title.
        paragraphs: the text.
        lead: so many cells at the left of a paragraph stand alone: its further lines keep clear of
            them.
    """

    BINDINGS = [
        Binding("enter,q,question_mark,f1,f10,w,f9,5", "leave", show=False),
        Binding("down", "go(1)", show=False),
        Binding("up", "go(-1)", show=False),
        Binding("pagedown,space", "go(10)", show=False),
        Binding("pageup", "go(-10)", show=False),
    ]

    def __init__(self, title_words: str, paragraphs: Sequence[str], *, lead: int = 0) -> None:
        super().__init__()
        self._title_words = title_words
        self._paragraphs = tuple(paragraphs)
        self._lead = lead

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Words(self._title_words, classes="title")
            with VerticalScroll(id="text"):
                yield Words(*self._paragraphs)
            yield Words("esc closes", classes="label-line")

    def on_mount(self) -> None:
        self._fit()

    def on_resize(self) -> None:
        self._fit()

    def _fit(self) -> None:
        self.query_one("#text").styles.max_height = max(3, self.app.size.height - 5)
        if self._lead:
            # The box with its lines, the blanks beside the words, the scroll bar.
            wide = self.app.size.width
            cells = (wide if wide < 60 else min(100, wide * 9 // 10)) - 7
            lines = [line for p in self._paragraphs for line in _hanging(p, self._lead, cells)]
            self.query_one("#text Words", Words).say(*lines)

    def action_go(self, lines: int) -> None:
        self.query_one("#text", VerticalScroll).scroll_relative(y=lines, animate=False)


class ChoiceDialog(Dialog[str]):
    """One of several; gives its id."""

    BINDINGS = [Binding(str(n), f"choose({n})", show=False) for n in range(1, 10)]

    def __init__(
        self, title_words: str, choices: Sequence[tuple[str, str]], current: str = ""
    ) -> None:
        super().__init__()
        self._title_words = title_words
        self._choices = tuple(choices)
        self._current = current

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Words(self._title_words, classes="title")
            rows = (
                f"{'●' if name == self._current else ' '} {n if n < 10 else ' '} {words}"
                for n, (name, words) in enumerate(self._choices, 1)
            )
            yield OptionList(*(Option(plain(row)) for row in rows), id="choices", markup=False)
            yield Words("enter or its digit chooses, esc leaves it as it is")

    def on_mount(self) -> None:
        listed = self.query_one(OptionList)
        listed.styles.height = min(len(self._choices), max(3, self.app.size.height - 6))
        names = [name for name, _ in self._choices]
        listed.highlighted = names.index(self._current) if self._current in names else 0
        listed.focus()

    @on(OptionList.OptionSelected)
    def choose(self, event: OptionList.OptionSelected) -> None:
        """Enter or a click: that one."""
        self.dismiss(self._choices[event.option_index][0])

    def action_choose(self, number: int) -> None:
        if number <= len(self._choices):
            self.dismiss(self._choices[number - 1][0])


class PromptDialog(Dialog[str]):
    """A line to type.

    Args:
        title_words: what is asked.
        value: what stands there.
        hints: what helps to type it.
        suggester: what completes it.
        part: where what typing replaces begins and ends; where none is said, it replaces all.
    """

    def __init__(
        self,
        title_words: str,
        value: str = "",
        *hints: str,
        suggester: Suggester | None = None,
        part: tuple[int, int] | None = None,
    ) -> None:
        super().__init__()
        self._title_words = title_words
        self._value = value
        self._hints = hints
        self._suggester = suggester
        self._part = part

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Words(self._title_words, classes="title")
            yield Input(self._value, suggester=self._suggester, id="prompt",
                        select_on_focus=self._part is None)  # fmt: skip
            completes = "→ completes, " if self._suggester is not None else ""
            yield Words(*self._hints, f"enter takes it, {completes}esc leaves it as it is")

    def on_mount(self) -> None:
        if self._part is not None:
            self.query_one(Input).selection = Selection(*self._part)
            self.call_after_refresh(self._show_beginning, self._part[1])

    def _show_beginning(self, ends: int) -> None:
        """Scroll back what was scrolled for the end of the line, if the part is in sight then."""
        line = self.query_one(Input)
        if ends < line.scrollable_content_region.width:
            line.scroll_to(x=0, animate=False, immediate=True)

    @on(Input.Submitted)
    def take(self, event: Input.Submitted) -> None:
        """Enter: what is typed."""
        self.dismiss(event.value)


class ConfirmDialog(Dialog[bool]):
    """A question that only an explicit yes answers."""

    BINDINGS = [
        Binding(",".join((*with_layouts(("y",)), "1", "f7")), "answer(True)", show=False),
        Binding(",".join((*with_layouts(("n",)), "0")), "answer(False)", show=False),
    ]

    def __init__(self, *paragraphs: str, yes: str = "yes") -> None:
        super().__init__()
        self._paragraphs = paragraphs
        self._yes = yes

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Words(*self._paragraphs)
            yield Words(f"y or 1: {self._yes}     n or esc: leave everything as it is")

    def action_answer(self, yes: bool) -> None:
        self.dismiss(yes)


def _hanging(paragraph: str, lead: int, cells: int) -> list[str]:
    head, words = paragraph[:lead], paragraph[lead:]
    if not words or not head.endswith("  "):
        return [paragraph]
    first, *rest = wrapped(words, max(10, cells - lead), 99)
    return [head + first, *(" " * lead + line for line in rest)]
