"""A window of lines to type: one key stores them, and nothing typed is lost where it cannot."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, Any, Literal

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input

from ledger.errors import UseError
from ledger.safe_text import safe
from tui.completion import NameSuggester, offered
from tui.remedies import told_here
from tui.screens.dialogs import Dialog
from tui.widgets.lines import Words

if TYPE_CHECKING:
    from tui.session import BookLike, Job, JobDone, JobFailed

Typed = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Line:
    """One line to type.

    Attributes:
        name: what it is called in what was typed.
        label: what stands before it, one or two words.
        hint: what is to be typed.
        example: how it may look; never taken for the line.
        empty: what it means to leave it empty.
        value: what it begins with.
        names: the field of the ledger whose names complete it, or empty.
        choices: the only words it takes; a beginning that only one has is enough.
        needed: whether it may not be empty.
        kind: how it is read.
    """

    name: str
    label: str
    hint: str = ""
    value: str = ""
    example: str = ""
    empty: str = ""
    names: str = ""
    choices: tuple[str, ...] = ()
    needed: bool = False
    kind: Literal["text", "day", "number"] = "text"

    @property
    def wanted(self) -> str:
        """What is to be typed, and how it may look."""
        example = f"for example {self.example}" if self.example else ""
        return ", ".join(words for words in (self.hint, example) if words)

    @property
    def says(self) -> str:
        """What stands in it while it is empty."""
        empty = f"empty: {self.empty}" if self.empty else ""
        return "; ".join(words for words in (self.wanted, empty) if words)

    def read(self, text: str) -> Any:
        """What was typed, as text, day or number; None where nothing was.

        Raises:
            UseError: in one line, if it cannot be that.
        """
        said = " ".join(text.split())
        if not said:
            if self.needed:
                raise UseError(f"{self.label}: type {self.wanted or 'it'}")
            return None
        if self.kind == "day":
            try:
                return date.fromisoformat(said)
            except ValueError:
                raise UseError(
                    f"{self.label} takes a day such as 2025-03-31, not {said!r}"
                ) from None
        if self.kind == "number":
            if not (said.isascii() and said.isdigit()):
                raise UseError(f"{self.label} takes a whole number, not {said!r}")
            return int(said)
        if self.choices:
            begun = [c for c in self.choices if c.startswith(said.lower())]
            if len(begun) != 1:
                raise UseError(f"{self.label} takes {', '.join(self.choices)}, not {said!r}")
            return begun[0]
        return said


@dataclass(frozen=True, slots=True)
class Told:
    """What came of it.

    Attributes:
        line: what was done.
        source: what takes it back, or None where nothing was stored.
        kind: what kind of thing it is: list, note, decision, consent, trial, lot or rumour.
        about: whatever the screen needs to go on.
    """

    line: str
    source: int | None = None
    kind: str = ""
    about: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Looked:
    """What the ledger holds already.

    Attributes:
        words: what the writer should see of it.
        names: what completes lines, by the name of the line.
    """

    words: str
    names: Mapping[str, Sequence[str]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Form:
    """What a window asks and what it does with it.

    Attributes:
        heading: its title.
        words: what it is for, and what must be thought of.
        lines: what is typed.
        do: stores it, in the thread of the ledger.
        look: what the ledger holds already that the writer should see, or None.
        first: the line that has the focus, else the first empty one.
        enter: what the enter key does.
    """

    heading: str
    words: tuple[str, ...]
    lines: tuple[Line, ...]
    do: Callable[[BookLike, Typed], Told]
    look: Callable[[BookLike], Looked] | None = None
    first: str = ""
    enter: str = "stores it"


class TypedLine(Input):
    """A line that takes several pasted lines as one: none of them is lost."""

    def _on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        self.insert_text_at_cursor(" ".join(event.text.split()))


class FormDialog(Dialog[Told]):
    """The window; it stays with all that was typed until it is stored or left."""

    BINDINGS = [
        Binding("down", "move(1)", show=False),
        Binding("up", "move(-1)", show=False),
    ]

    def __init__(self, form: Form) -> None:
        super().__init__()
        self.form = form
        self._names: dict[str, list[str]] = {}
        self._asked: set[str] = set()
        self.jobs: list[Job] = []
        self._storing: Job | None = None
        self._trouble = ""

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Words(self.form.heading, classes="title")
            yield Words(
                *self.form.words, id="cautions", classes="" if self.form.words else "hidden"
            )
            yield Words(id="looked", classes="hidden")
            with VerticalScroll(can_focus=False, id="fields"):
                for line in self.form.lines:
                    with Horizontal(classes="field"):
                        yield Words(line.label, classes="label")
                        yield TypedLine(
                            line.value, placeholder=line.says, id=f"{line.name}-typed",
                            suggester=NameSuggester(partial(self._known, line)),
                            # A day that stands there gives way to the day that is typed.
                            select_on_focus=line.kind == "day",
                        )  # fmt: skip
            yield Words(id="matches")
            yield Words(f"enter {self.form.enter}, → completes, tab next, esc leaves it")

    def on_mount(self) -> None:
        self._fit()
        first = self.form.first or next(
            (one.name for one in self.form.lines if not one.value), self.form.lines[0].name
        )
        self.query_one(f"#{first}-typed", Input).focus()
        if self.form.look is not None:
            job = self.session.do(self, "look", "looking it up", self.form.look)
            self.jobs.append(job)

    def on_resize(self) -> None:
        self._fit()

    def _fit(self) -> None:
        # The title, the last line in one or two, what is offered, and the border take the rest.
        cells, lines = self.app.size
        around = 5 if cells < 60 else 7
        fields = min(len(self.form.lines), max(3, lines - around - 2))
        self.query_one("#fields").styles.height = fields
        spare = max(1, lines - around - fields)
        for name in ("#cautions", "#looked"):
            words = self.query_one(name, Words)
            words.styles.max_height = max(1, min(6, spare // 2))
            words.fit()
        self.call_after_refresh(self._spread)

    def _spread(self) -> None:
        """Give the cautions the lines that are left over: they must be read whole if they can."""
        spare = self.app.size.height - self.query_one(".box").outer_size.height - 1
        words = self.query_one("#cautions", Words)
        most = words.styles.max_height
        if spare > 0 and most is not None:
            words.styles.max_height = int(most.value) + spare
            words.fit()

    # -- completion ------------------------------------------------------------------------

    def _known(self, line: Line) -> list[str]:
        return list(line.choices) or self._names.get(line.names or line.name, [])

    def _focused_line(self) -> Line | None:
        name = (self.focused.id or "").removesuffix("-typed") if self.focused else ""
        return next((line for line in self.form.lines if line.name == name), None)

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        line = self._focused_line()
        if line is not None and line.names and line.names not in self._asked:
            self._asked.add(line.names)
            self.jobs.append(self.session.choices(self, line.names))
        self._offer()

    @on(Input.Changed)
    def _changed(self) -> None:
        self._trouble = ""
        self._offer()

    def _offer(self) -> None:
        line = self._focused_line()
        if line is None or self._trouble or not isinstance(self.focused, Input):
            return
        words = offered(self.focused.value, self._known(line))
        self.query_one("#matches", Words).say(words or " ")

    # -- work ------------------------------------------------------------------------------

    def on_job_done(self, message: JobDone) -> None:
        job = message.job
        self._is_over(job)
        if job.kind == "choices":
            self._names[job.about["field"]] = [safe(str(n)) for n in message.result]
            self._offer()
        elif job.kind == "look":
            self._show_looked(message.result)
        elif job is self._storing:
            self.dismiss(message.result)

    def _is_over(self, job: Job) -> None:
        if job in self.jobs:
            self.jobs.remove(job)

    def _show_looked(self, looked: Looked) -> None:
        for name, known in looked.names.items():
            self._names[name] = [safe(one) for one in known]
        place = self.query_one("#looked", Words)
        place.say(looked.words)
        place.set_class(not looked.words, "hidden")
        self._offer()
        self._fit()

    def on_job_failed(self, message: JobFailed) -> None:
        self._is_over(message.job)
        if message.job is self._storing:
            self._storing = None
            again = "; enter tries again" if message.busy else ""
            self._refuse(f"{message.line}{again}")
        elif message.job.kind != "look":
            self._refuse(message.line)

    def _refuse(self, line: str) -> None:
        """Say what cannot be, until something else is typed."""
        labels = {one.name: one.label for one in self.form.lines}
        line = told_here(line, lambda _: "", labels)
        self._trouble = line
        self.query_one("#matches", Words).say(line)

    # -- leaving ---------------------------------------------------------------------------

    def action_move(self, by: int) -> None:
        (self.focus_next if by > 0 else self.focus_previous)(Input)

    def action_leave(self) -> None:
        if self._storing is None:
            self.dismiss(None)
        elif self._storing.since is None:
            self.session.stop(self._storing)
            self._is_over(self._storing)
            self._storing = None
            self._refuse("stopped; nothing of it is stored, enter stores it")

    @on(Input.Submitted)
    def take(self) -> None:
        """Enter in any line takes them all; where one is needed or wrong, it goes there."""
        if self._storing is not None:
            return
        typed: dict[str, Any] = {}
        for line in self.form.lines:
            place = self.query_one(f"#{line.name}-typed", Input)
            try:
                typed[line.name] = line.read(place.value)
            except UseError as error:
                self._refuse(error.message)
                place.focus()
                return
        do = self.form.do
        self.query_one("#matches", Words).say("storing …")
        self._storing = self.session.do(
            self, "keep", "storing", lambda book: do(book, typed), keeps=True
        )
        self.jobs.append(self._storing)
