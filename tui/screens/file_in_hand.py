"""The file in hand: its path, what a row of it is, what was said about it, and what came of it."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Input

from tui import figures
from tui.completion import PathSuggester, entries
from tui.screens.base import RoomScreen
from tui.screens.dialogs import ChoiceDialog
from tui.screens.file_options import FileOptionsDialog, Said, options_named
from tui.screens.report_words import report_words
from tui.session import Job
from tui.widgets.lines import Words
from tui.widgets.rows import RowsView

if TYPE_CHECKING:
    from ledger.intake.options import ReadOptions
    from ledger.intake.read import Reading
    from ledger.intake.report import Report

_WORD = "unknown_word"
KINDS = (
    ("attempts", "attempts: one row a shot, made or missed"),
    ("box", "box: one row a player and game, makes and attempts"),
    ("totals", "totals: one row a player and season, makes and attempts"),
    ("tags", "tags: what was seen of an attempt"),
    ("players", "players: body and team of a player"),
    ("shortlist", "shortlist: players to keep an eye on"),
)


class FileScreen(RoomScreen):
    """Chooses a file, checks it, says what came of it."""

    kind = "intake"

    def __init__(self) -> None:
        super().__init__()
        self._kind = "attempts"
        self._path: Path | None = None
        self._said: dict[Path, Said] = {}
        self._reading: Reading | None = None
        self._report: Report | None = None
        self._refusal = ""
        self._stored = False
        # What is told together with what the next check gives.
        self._lead = ""

    def compose_body(self) -> ComposeResult:
        with Horizontal(classes="field"):
            yield Words("file", classes="label")
            yield Input(id="path", suggester=PathSuggester(), select_on_focus=False,
                        placeholder="type its path, → completes, enter")  # fmt: skip
        yield Words(id="entries", classes="hidden")
        yield Words(classes="headline", id="result")
        yield Words(classes="notes", id="columns")
        yield RowsView(id="rows")

    def on_mount(self) -> None:
        self._say_kind()
        self.query_one("#path", Input).focus()

    def entered(self) -> None:
        if self._path is None:
            self.query_one("#path", Input).focus()

    @property
    def said(self) -> Said:
        """What was said about the file in hand."""
        return self._said.get(self._path, Said()) if self._path else Said()

    def options(self) -> ReadOptions:
        """The same as options of the command."""
        return self.said.options()

    def _say_kind(self) -> None:
        said = self.said.words()
        more = f"; said of it: {said}" if said else ""
        words = dict(KINDS)[self._kind]
        self.query_one("#sentence", Words).say(f"A row is taken as {words}{more}")

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
        path = Path(typed).expanduser()
        # A name that is too long is no file either, not a fault.
        if os.path.exists(path):
            self.take(path)
            return
        self._put_away()
        self.tell(f"{typed}: there is no such file", trouble=True)

    def _put_away(self) -> None:
        """No file is in hand: what stood here was of another one than the line says."""
        self._path = self._reading = self._report = None
        self._refusal, self._stored = "", False
        for name in ("#result", "#columns"):
            self.query_one(name, Words).say("")
        self.show_reading()

    def take(self, path: Path, said: Said | None = None) -> None:
        """Take a file in hand and check it."""
        self._path = path
        if said is not None:
            self._said[path] = said
        line = self.query_one("#path", Input)
        if Path(line.value.strip()).expanduser() != path:
            # It was not typed: nothing is to be offered for it.
            with line.prevent(Input.Changed):
                line.value = str(path)
        self.check_again()

    def check_again(self) -> None:
        """Read the file again, by what is said of it now."""
        if self._path is None:
            return
        self.tell("")
        self._reading = self._report = None
        self._refusal = ""
        self._stored = False
        self._say_kind()
        self._say_entries("")
        self.query_one("#result", Words).say(f"checking {self._path.name} …")
        self.query_one("#columns", Words).say("")
        session = self.program.session
        for job in [j for j in self.jobs if j.kind in ("preview", "check")]:
            session.stop(job)
            self.jobs.remove(job)
        options = self.options()
        self.await_job(session.preview(self, self._path, self._kind, options))
        self.await_job(session.bring_in(self, self._path, self._kind, options, check=True))

    # -- what came of it -------------------------------------------------------------------

    def done_preview(self, job: Job, reading: Reading) -> None:
        """The file is read: its columns, its first records, what is refused."""
        self._reading = reading
        self.say_notes(*reading.warnings)
        self.show_reading()
        self.query_one(RowsView).focus()

    def show_reading(self) -> None:
        """Show the rows of what was read, none where nothing was."""

    def say_notes(self, *lines: str) -> None:
        """How the columns are understood, and what the ledger wants a reader to know."""
        used = self._reading.mapping if self._reading else {}
        named = [c if c == field else f"{c} → {field}" for c, field in used.items()]
        said = map(self.told_here, lines)
        self.query_one("#columns", Words).say(*said, f"Columns: {', '.join(named)}")

    def notes(self) -> list[str]:
        """What the ledger wants a reader to know of the file in hand."""
        said = self._report or self._reading
        lines = [self._refusal] if self._refusal else []
        return [*lines, *(said.warnings if said else ())]

    def done_check(self, job: Job, report: Report) -> None:
        """It is known what would happen."""
        self._report = report
        self._say_report(report)
        wanted = options_named(*report.warnings)
        if job.about["rejects"] is not None:
            self.tell(f"saved {job.about['rejects']}; mend it and bring it in")
        elif report.duplicate_of is not None:
            self.tell(f"{self._lead}it is in the ledger already: there is nothing to add")
        elif not report.stored and report.rejected:
            self.tell(f"{self._lead}nothing of it can be stored yet: {self._mending_words()}")
        elif report.rejected and not wanted:
            adds = f"{self.key('store')} adds the other rows"
            self.tell(f"{self._lead}nothing is stored yet: {adds}; {self._mending_words()}")
        elif wanted:
            more = f"{self.key('say_more')} says more about it ({wanted[0]})"
            more += f"; {self.key('mend')} mends the chosen row" if report.rejected else ""
            self.tell(f"{self._lead}nothing is stored yet: {self.key('store')} adds it; {more}")
        else:
            adds = f"{self.key('store')} adds it to the ledger"
            self.tell(f"{self._lead}nothing is stored yet: {adds}")
        self._lead = ""

    def _mending_words(self) -> str:
        reasons = self._report.reasons if self._report else {}
        says = f"{self.key('say_more')} says what a word means, " if _WORD in reasons else ""
        return f"{says}{self.key('mend')} mends the chosen row"

    def done_store(self, job: Job, report: Report) -> None:
        """It is stored."""
        self._report = report
        self._stored = True
        self._say_report(report)
        if report.source is None:
            self.tell("it is in the ledger already: nothing was added")
        else:
            self.tell(f"stored as source {report.source}; {self.key('undo')} takes it back")
        self.reread_facts()

    def done_undo(self, job: Job, result: object) -> None:
        """Something is taken back: what would be stored is another question now."""
        super().done_undo(job, result)
        if self._stored:
            self.check_again()
            self._lead = f"source {job.about['source']} is taken back; "

    def _say_report(self, report: Report) -> None:
        counts, *more = report_words(report, stored=self._stored)
        self.query_one("#result", Words).say(counts)
        lines = [str(n) for n in report.contradicting_lines]
        if lines:
            more.append(f"Lines that contradict the ledger: {figures.listed(lines, 8)}.")
        self.say_notes(*more, *report.warnings)

    def failed(self, job: Job, line: str) -> None:
        for other in [j for j in self.jobs if j.kind == "check"]:
            self.program.session.stop(other)
            self.jobs.remove(other)
        self.query_one("#result", Words).say(self.told_here(line))
        if job.kind not in ("preview", "check"):
            return
        self.show_reading()
        wanted = options_named(line)
        if wanted:
            self.tell(f"nothing is stored: {self.key('say_more')} says it ({', '.join(wanted)})")
        elif "--as " in line:
            self.tell(f"nothing is stored: {self.key('kind')} says what a row of it is")
        else:
            return
        # The keys are for the screen now, not for the path.
        self._refusal = line
        self.query_one(RowsView).focus()

    # -- saying more -----------------------------------------------------------------------

    def action_path(self) -> None:
        self.query_one("#path", Input).focus()

    def action_kind(self) -> None:
        def chosen(kind: str | None) -> None:
            if kind and kind != self._kind:
                self._kind = kind
                self._say_kind()
                self.check_again()

        self.app.push_screen(ChoiceDialog("What is a row of the file?", KINDS, self._kind), chosen)

    def action_say_more(self) -> None:
        if self._path is None:
            self.tell(f"choose a file first: {self.key('path')} goes to its path, enter checks it")
            return
        path = self._path

        def said(more: Said | None) -> None:
            if more is not None and more != self.said:
                self.take(path, more)

        asking = [line for line in (*self.notes(), *self._fixes()) if options_named(line)]
        wanted = options_named(*asking)
        first = wanted[0] if wanted else "map"
        shown = " ".join(asking[:1]) or self._refusal
        self.app.push_screen(FileOptionsDialog(self._kind, self.said, shown, first), said)

    def _fixes(self) -> list[str]:
        """What would mend the refused rows."""
        refused = self._reading.rejects if self._reading else None
        if refused is None:
            return []
        return refused["fix"].drop_nulls().unique(maintain_order=True).to_list()

    def action_again(self) -> None:
        self.check_again()

    def action_back(self) -> None:
        path = self.query_one("#path", Input)
        if self.focused is path and (self._reading is not None or self._refusal):
            self.query_one(RowsView).focus()
        else:
            super().action_back()
