"""A file in: looked at and checked first, stored on a second yes, then its report."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Input

from tui import figures
from tui.actions import bindings_of
from tui.screens.base import RoomScreen
from tui.screens.completion import PathSuggester, entries
from tui.screens.dialogs import ChoiceDialog, PromptDialog, TextDialog
from tui.session import Job
from tui.widgets.columns import Row, ShownColumn
from tui.widgets.lines import Words
from tui.widgets.rows import RowsView

if TYPE_CHECKING:
    from ledger.intake.read import Reading
    from ledger.intake.report import Report

KINDS = (
    ("attempts", "attempts: one row a shot, made or missed"),
    ("box", "box: one row a player and game, makes and attempts"),
    ("totals", "totals: one row a player and season, makes and attempts"),
    ("tags", "tags: what was seen of an attempt"),
    ("players", "players: body and team of a player"),
    ("shortlist", "shortlist: players to keep an eye on"),
)
_FIRST = 50


class IntakeScreen(RoomScreen):
    """The path, the kind, what would be stored, what is refused and why."""

    kind = "intake"
    heading = "Bring in a file"
    BINDINGS = bindings_of("intake")

    def __init__(self) -> None:
        super().__init__()
        self._kind = "attempts"
        self._path: Path | None = None
        self._reading: Reading | None = None
        self._report: Report | None = None
        self._stored = False
        self._refused_shown = False

    def compose_body(self) -> ComposeResult:
        with Horizontal(classes="field"):
            yield Words("file", classes="label")
            yield Input(id="path", suggester=PathSuggester(), select_on_focus=False,
                        placeholder="type a path; → completes; enter checks it")  # fmt: skip
        yield Words(id="entries", classes="hidden")
        yield Words(classes="headline", id="result")
        yield Words(classes="notes", id="columns")
        yield RowsView(id="rows")

    def on_mount(self) -> None:
        super().on_mount()
        self._say_kind()
        self.query_one("#path", Input).focus()

    def entered(self) -> None:
        if self._path is None:
            self.query_one("#path", Input).focus()

    def _say_kind(self) -> None:
        words = dict(KINDS)[self._kind]
        self.query_one("#sentence", Words).say(f"A row is taken as {words}")

    # -- the path --------------------------------------------------------------------------

    @on(Input.Changed, "#path")
    def typing(self, event: Input.Changed) -> None:
        """Show how the path could go on."""
        found = entries(event.value) if event.value else []
        names = [Path(f).name + ("/" if f.endswith("/") else "") for f in found]
        self._say_entries("   ".join(names))

    def _say_entries(self, words: str) -> None:
        line = self.query_one("#entries", Words)
        line.say(words)
        line.set_class(not words, "hidden")

    @on(Input.Submitted, "#path")
    def check(self, event: Input.Submitted) -> None:
        """Enter: look at the file and check it against the ledger."""
        typed = event.value.strip()
        if not typed:
            return
        self._path = Path(typed).expanduser()
        self._check()

    def _check(self) -> None:
        if self._path is None:
            return
        self.tell("")
        self._reading = self._report = None
        self._stored = False
        self._say_entries("")
        self.query_one("#result", Words).say(f"checking {self._path.name} …")
        self.query_one("#columns", Words).say("")
        session = self.program.session
        for job in self.jobs:
            session.stop(job)
        self.jobs.clear()
        self.await_job(session.preview(self, self._path, self._kind))
        self.await_job(session.bring_in(self, self._path, self._kind, check=True))

    def done_preview(self, job: Job, reading: Reading) -> None:
        """The file is read: its columns, its first records, what is refused."""
        self._reading = reading
        self._refused_shown = reading.rejects.height > 0
        self._say_notes(reading.warnings)
        self._list()
        self.query_one(RowsView).focus()

    def _say_notes(self, warnings: Sequence[str]) -> None:
        """How the columns are understood, and what the ledger wants a reader to know."""
        assert self._reading is not None
        used = self._reading.mapping
        named = [
            column if column == field else f"{column} → {field}" for column, field in used.items()
        ]
        self.query_one("#columns", Words).say(f"Columns: {', '.join(named)}", *warnings)

    def done_check(self, job: Job, report: Report) -> None:
        """It is known what would happen."""
        self._report = report
        self._say_report(report, "would be stored")
        if job.about["rejects"] is not None:
            self.tell(f"saved {job.about['rejects']}; mend it and bring it in")
        elif report.duplicate_of is not None:
            self.tell("it is in the ledger already: there is nothing to add")
        else:
            self.tell("nothing is stored yet: a adds it to the ledger")

    def done_store(self, job: Job, report: Report) -> None:
        """It is stored."""
        self._report = report
        self._stored = True
        self._say_report(report, "stored")
        if report.source is None:
            self.tell("it is in the ledger already: nothing was added")
        else:
            self.tell(f"stored as source {report.source}; u takes it back")
        self.reread_facts()

    def _say_report(self, report: Report, stored_words: str) -> None:
        self.query_one("#result", Words).say(_counts(report, stored_words))
        lines = report.contradicting_lines
        more = [f"lines that contradict the ledger: {figures.listed([str(n) for n in lines], 8)}"]
        self._say_notes([*report.warnings, *(more if lines else [])])

    def failed(self, job: Job, line: str) -> None:
        self.query_one("#result", Words).say(line)
        self.tell("")
        for other in [j for j in self.jobs if j.kind == "check"]:
            self.program.session.stop(other)
            self.jobs.remove(other)

    # -- rows ------------------------------------------------------------------------------

    def _list(self) -> None:
        if self._reading is None:
            return
        rows = self.query_one(RowsView)
        if self._refused_shown:
            rows.show(self._reading.rejects, _REFUSED, identity=("line",))
        else:
            frame = self._reading.frame.head(_FIRST)
            rows.show(frame, tuple(_column(c, i) for i, c in enumerate(frame.columns)))

    def action_listing(self) -> None:
        self._refused_shown = not self._refused_shown
        self._list()
        what = "the refused rows" if self._refused_shown else f"the first {_FIRST} records"
        self.tell(f"shown are {what}")

    # -- actions ---------------------------------------------------------------------------

    def action_row(self) -> None:
        row = self.query_one(RowsView).chosen()
        if row is None:
            self.tell("there is no row")
            return
        lines = [f"{name}: {figures.cell(value)}" for name, value in row.items()]
        self.app.push_screen(TextDialog(f"Line {row['line']}", lines))

    def action_path(self) -> None:
        self.query_one("#path", Input).focus()

    def action_kind(self) -> None:
        def chosen(kind: str | None) -> None:
            if kind and kind != self._kind:
                self._kind = kind
                self._say_kind()
                self._check()

        self.app.push_screen(ChoiceDialog("What is a row of the file?", KINDS, self._kind), chosen)

    def action_store(self) -> None:
        if self._path is None or self._report is None:
            self.tell("choose a file first: e goes to its path, enter checks it")
        elif self._stored:
            self.tell("it is stored already; u takes it back")
        else:
            self.tell("")
            session = self.program.session
            self.await_job(session.bring_in(self, self._path, self._kind, check=False))

    def action_save_refused(self) -> None:
        if self._path is None or self._reading is None or not self._reading.rejects.height:
            self.tell("no row was refused")
            return
        source = self._path

        def typed(text: str | None) -> None:
            if text:
                rejects = Path(text).expanduser()
                self.await_job(
                    self.program.session.bring_in(
                        self, source, self._kind, check=True, rejects=rejects
                    )
                )

        usual = str(source.with_name(f"{source.stem}-refused.csv"))
        self.app.push_screen(
            PromptDialog("Save the refused rows as", usual, suggester=PathSuggester()), typed
        )

    def action_again(self) -> None:
        self._check()

    def action_back(self) -> None:
        path = self.query_one("#path", Input)
        if self.focused is path and self._reading is not None:
            self.query_one(RowsView).focus()
        else:
            super().action_back()


def _counts(report: Report, stored_words: str) -> str:
    told = report.as_dict()
    parts = [f"{figures.count(told['stored'])} {stored_words}"]
    for name, words in (
        ("rejected", "refused"),
        ("skipped", "hold no record"),
        ("already_there", "already there"),
        ("contradicting", "contradict the ledger"),
    ):
        if told[name]:
            parts.append(f"{figures.count(told[name])} {words}")
    return f"{figures.plural(told['rows'], 'row')}: {', '.join(parts)}."


def _column(name: str, place: int) -> ShownColumn:
    def words(row: Row) -> str:
        value = row[name]
        return "" if value is None else figures.cell(value)

    return ShownColumn(name, words, least=4, most=18, drop=place)


_REFUSED = (
    ShownColumn("line", lambda r: str(r["line"]), least=4, most=8, right=True),
    ShownColumn("column", lambda r: r["column"] or "", least=6, most=16),
    ShownColumn("value", lambda r: r["value"] or "", least=5, most=24),
    ShownColumn("why", lambda r: r["reason"].replace("_", " "), least=8, most=20),
    ShownColumn("what mends it", lambda r: r["fix"] or "", least=12, most=90),
)
