"""The editor of the cohort: which attempts are meant, one line a filter."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input

from ledger.cohort import BOARD_ASSISTED, SHOTS, STAGES, Cohort
from ledger.errors import UseError
from ledger.safe_text import safe
from tui.cohorts import Meant
from tui.completion import PART, NameSuggester, offered
from tui.screens.dialogs import ChoiceDialog, Dialog
from tui.session import JobDone, JobFailed
from tui.widgets.lines import Words

# Each filter: its outside name, the field whose names complete it, what to type.
_FIELDS = (
    ("league", "league", "several are parted by ;"),
    ("season", "season", "for example 2024-25, or 2019-20..2024-25"),
    ("player", "player", "several are parted by ;"),
    ("team", "team", "teams of the shooters"),
    ("position", "position", "in the league's own words"),
    ("stage", "", "empty: all but practice"),
    ("shot", "", "empty: free throws"),
    ("from", "", "the first day, for example 2024-10-31"),
    ("to", "", "the last day, for example 2025-04-30"),
    ("opponent", "team", "the other teams"),
    ("list", "list", "a shortlist or a lot"),
    ("technique", "technique", "only attempts shot so"),
    ("period", "", "for example 1; 2"),
    ("spot", "spot", "places on the floor"),
    ("source", "", "numbers of sources"),
)
_FIXED = {"stage": STAGES, "shot": SHOTS}
_STUDIED = "studied"


class CohortEditor(Dialog[Meant]):
    """Filters as typed lines with completion; enter takes them all."""

    BINDINGS = [
        Binding("down", "move(1)", show=False),
        Binding("up", "move(-1)", show=False),
        Binding("f9", "empty", show=False, priority=True),
        Binding("f3", "earlier", show=False, priority=True),
    ]

    def __init__(self, meant: Meant, others: Sequence[Meant] = ()) -> None:
        super().__init__()
        self._meant = meant
        self._others = tuple(others)
        self._names: dict[str, list[str]] = {}
        self._asked: set[str] = set()

    def compose(self) -> ComposeResult:
        asked = self._meant.cohort.asked()
        with Vertical(classes="box"):
            yield Words("Which attempts are meant?", classes="title")
            with VerticalScroll(can_focus=False, id="fields"):
                for name, field, hint in _FIELDS:
                    value = asked.get(name, "")
                    yield from self._field(name, name, field or name, _joined(value), hint)
                focus = "; ".join(self._meant.focus)
                yield from self._field(_STUDIED, "studying", "technique", focus, BOARD_ASSISTED)
            yield Words(id="matches")
            before = ", F3 those meant before" if self._others else ""
            yield Words(f"enter takes it, → completes, F9 empties all{before}, esc leaves it")

    def _field(self, name: str, label: str, field: str, value: str, hint: str) -> ComposeResult:
        with Horizontal(classes="field"):
            yield Words(label, classes="label")
            suggester = NameSuggester(lambda: self._known(name, field))
            # Ids stay apart from Textual's own by their ending.
            yield Input(value, placeholder=hint, suggester=suggester, id=f"{name}-filter",
                        select_on_focus=False)  # fmt: skip

    def on_mount(self) -> None:
        self._fit()
        self.query_one("#league-filter", Input).focus()

    def on_resize(self) -> None:
        self._fit()

    def _fit(self) -> None:
        room = max(3, self.app.size.height - 7)
        self.query_one("#fields").styles.height = min(len(_FIELDS) + 1, room)

    # -- completion ------------------------------------------------------------------------

    def _known(self, name: str, field: str) -> list[str]:
        names = list(_FIXED[name]) if name in _FIXED else self._names.get(field, [])
        return list(dict.fromkeys([BOARD_ASSISTED, *names])) if name == _STUDIED else names

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        name = self._focused_name()
        field = _field_of(name)
        if field and field not in self._asked:
            self._asked.add(field)
            self.session.choices(self, field)
        self._show_matches()

    def on_job_done(self, message: JobDone) -> None:
        self._names[message.job.about["field"]] = [safe(str(n)) for n in message.result]
        self._show_matches()

    def on_job_failed(self, message: JobFailed) -> None:
        self.query_one("#matches", Words).say(message.line)

    @on(Input.Changed)
    def _changed(self) -> None:
        self._show_matches()

    def _focused_name(self) -> str:
        return (self.focused.id or "").removesuffix("-filter") if self.focused else ""

    def _show_matches(self) -> None:
        name = self._focused_name()
        if not name or not isinstance(self.focused, Input):
            return
        words = offered(self.focused.value, self._known(name, _field_of(name)))
        self.query_one("#matches", Words).say(words or " ")

    # -- leaving ---------------------------------------------------------------------------

    def action_move(self, by: int) -> None:
        (self.focus_next if by > 0 else self.focus_previous)(Input)

    def action_empty(self) -> None:
        for line in self.query(Input):
            line.value = BOARD_ASSISTED if line.id == f"{_STUDIED}-filter" else ""

    def action_earlier(self) -> None:
        """Choose one of those meant before: its lines are filled in."""
        if not self._others:
            self.query_one("#matches", Words).say("nothing else was meant before")
            return
        listed = [(str(n), meant.sentence()) for n, meant in enumerate(self._others)]

        def chosen(number: str | None) -> None:
            if number is not None:
                self._fill(self._others[int(number)])

        self.app.push_screen(ChoiceDialog("Which attempts were meant before?", listed), chosen)

    def _fill(self, meant: Meant) -> None:
        asked = meant.cohort.asked()
        for name, _, _ in _FIELDS:
            self.query_one(f"#{name}-filter", Input).value = _joined(asked.get(name, ""))
        self.query_one(f"#{_STUDIED}-filter", Input).value = "; ".join(meant.focus)

    @on(Input.Submitted)
    def take(self) -> None:
        """Enter in any line takes them all."""
        typed = {name: self._typed(name) for name, _, _ in _FIELDS}
        days = {name: "".join(typed.pop(name)) for name in ("from", "to")}
        studied = self._typed(_STUDIED) or (BOARD_ASSISTED,)
        try:
            cohort = Cohort.of(**typed, **days)
        except UseError as error:
            self.query_one("#matches", Words).say(error.message)
            return
        self.dismiss(Meant(cohort, studied))

    def _typed(self, name: str) -> tuple[str, ...]:
        text = self.query_one(f"#{name}-filter", Input).value
        return tuple(p.strip() for p in text.split(PART) if p.strip())


def _field_of(name: str) -> str:
    if name == _STUDIED:
        return "technique"
    return next((field for n, field, _ in _FIELDS if n == name), "")


def _joined(value: object) -> str:
    return f"{PART} ".join(str(v) for v in value) if isinstance(value, list) else str(value)
