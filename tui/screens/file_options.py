"""What the user says about a file beside the file, as a short form: the command's own options."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input

from ledger import resources
from ledger.errors import UseError
from tui.completion import PART, NameSuggester, matches, offered
from tui.remedies import told_here
from tui.screens.dialogs import Dialog
from tui.widgets.lines import Words

if TYPE_CHECKING:
    from ledger.intake.options import ReadOptions

# Each option: its name in the command and in every refusal, and what to type.
_HINTS = {
    "map": "COLUMN=FIELD; …",
    "set": "FIELD=VALUE; …",
    "word": "FIELD:TEXT=VALUE; …",
    "dates": "dmy, mdy, ymd, or for example %d.%m.%Y",
    "encoding": "for example cp1252",
    "drawn": "yes: players drawn by lot; empty: no",
    "tagger": "who watched",
}
_DATES = ("dmy", "mdy", "ymd")
_ENCODINGS = ("cp1252", "cp1250", "cp1251", "cp949", "shift_jis", "gb18030", "utf-8")
# Columns of saved refused rows; nobody maps to them.
_OURS = ("guarded", "beyond_header", "refused_by")
_YES = ("yes", "y", "1")
_NO = ("", "no", "n", "0")
_NAMED = re.compile(r"--(map|set|word|dates|encoding|drawn|tagger)\b")


@dataclass(frozen=True, slots=True)
class Said:
    """What was typed about a file, option by option; empty where nothing was."""

    map: str = ""
    set: str = ""
    word: str = ""
    dates: str = ""
    encoding: str = ""
    drawn: str = ""
    tagger: str = ""

    def options(self) -> ReadOptions:
        """The same as the command understands it.

        Raises:
            UseError: if one of them has another form.
        """
        from ledger.intake.options import typed

        if self.drawn not in (*_YES, *_NO):
            raise UseError(f"drawn: {self.drawn!r} says neither; type yes, or leave it empty")
        return typed(
            _several(self.map),
            _several(self.set),
            _several(self.word),
            encoding=self.encoding or None,
            dates=self.dates or None,
            drawn=self.drawn in _YES,
            tagger=self.tagger or None,
        )

    def words(self) -> str:
        """All that was said in one line; empty where nothing was."""
        said = ((f.name, getattr(self, f.name)) for f in fields(self))
        return ", ".join(f"{name} {value}" for name, value in said if value)

    def of_refused_rows(self) -> Said:
        """What is still to be said of the saved refused rows, whose columns are fields already."""
        return replace(self, map="", set="", encoding="")

    def of_mended_rows(self) -> Said:
        """What is still to be said of mended rows under the file's own columns."""
        return replace(self, encoding="")


def options_named(*lines: str) -> tuple[str, ...]:
    """The options that refusals and warnings ask for, each once.

    >>> options_named("r.csv: 03/04/2024; type --dates dmy or --dates mdy")
    ('dates',)
    """
    return tuple(dict.fromkeys(name for line in lines for name in _NAMED.findall(line)))


class FileOptionsDialog(Dialog[Said]):
    """One line an option; enter takes them all and reads the file again."""

    BINDINGS = [
        Binding("down", "move(1)", show=False),
        Binding("up", "move(-1)", show=False),
        Binding("f9", "empty", show=False, priority=True),
    ]

    def __init__(self, kind: str, said: Said, asked_for: str, first: str = "map") -> None:
        super().__init__()
        self._said = said
        self._asked_for = asked_for
        self._first = first
        self._fields = tuple(
            (field["name"], bool(field.get("coded")))
            for field in resources.schema(kind)["fields"]
            if field["name"] not in _OURS
        )

    def compose(self) -> ComposeResult:
        with Vertical(classes="box"):
            yield Words("What the file does not say itself", classes="title")
            yield Words(
                told_here(self._asked_for, lambda _: "", {name: f'"{name}"' for name in _HINTS}),
                id="asked-for",
                classes="" if self._asked_for else "hidden",
            )
            with VerticalScroll(can_focus=False, id="fields"):
                for name, hint in _HINTS.items():
                    with Horizontal(classes="field"):
                        yield Words(name, classes="label")
                        value = getattr(self._said, name)
                        yield Input(value, placeholder=hint, id=f"{name}-option",
                                    suggester=NameSuggester(self._choices(name)),
                                    select_on_focus=False)  # fmt: skip
            yield Words(id="matches")
            yield Words("enter reads it again, → completes, tab next, F9 empties all, "
                        "esc leaves it")  # fmt: skip

    def on_mount(self) -> None:
        self._fit()
        self.query_one(f"#{self._first}-option", Input).focus()

    def on_resize(self) -> None:
        self._fit()

    def _fit(self) -> None:
        lines = self.app.size.height
        self.query_one("#asked-for").styles.max_height = max(1, min(4, lines - 14))
        self.query_one("#fields").styles.height = min(len(_HINTS), max(3, lines - 8))

    # -- completion ------------------------------------------------------------------------

    def _choices(self, name: str) -> Callable[[], list[str]]:
        def known() -> list[str]:
            if name == "dates":
                return list(_DATES)
            if name == "encoding":
                return list(_ENCODINGS)
            if name == "drawn":
                return ["yes"]
            if name == "set":
                return [f"{field}=" for field, _ in self._fields]
            if name == "word":
                return [f"{field}:" for field, coded in self._fields if coded]
            return []

        return known

    def _offered(self, name: str, typed: str) -> str:
        part = typed.rpartition(PART)[2]
        if name == "map":
            names = [field for field, _ in self._fields]
            found = matches(part.rpartition("=")[2], names) if "=" in part else names
            return f"fields: {'  '.join(found)}" if found else ""
        if name in ("set", "word") and ("=" in part or ":" in part):
            return ""
        known = self._choices(name)()
        return offered(typed, known, most=len(known))

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        self._show_offered()

    @on(Input.Changed)
    def _show_offered(self) -> None:
        if isinstance(self.focused, Input) and self.focused.id:
            name = self.focused.id.removesuffix("-option")
            self.query_one("#matches", Words).say(self._offered(name, self.focused.value) or " ")

    # -- leaving ---------------------------------------------------------------------------

    def _typed(self, name: str) -> str:
        return _bare(name, self.query_one(f"#{name}-option", Input).value)

    def action_move(self, by: int) -> None:
        (self.focus_next if by > 0 else self.focus_previous)(Input)

    def action_empty(self) -> None:
        for line in self.query(Input):
            line.value = ""

    @on(Input.Submitted)
    def take(self) -> None:
        """Enter in any line takes them all, if the command would."""
        said = Said(**{name: self._typed(name) for name in _HINTS})
        try:
            said.options()
        except UseError as error:
            self.query_one("#matches", Words).say(error.message)
        else:
            self.dismiss(said)


def _bare(name: str, text: str) -> str:
    """What was typed without the option's own name, which the refusals show."""
    bare = text.strip().removeprefix(f"--{name}").strip()
    quoted = len(bare) > 1 and bare[0] == bare[-1] and bare[0] in "'\""
    return bare[1:-1] if quoted else bare


def _several(text: str) -> list[str]:
    return [part for part in text.split(PART) if part.strip()]
