"""What every screen shares: the work it waits for, its ways to the others, and taking back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING, Any, TypeVar

from ledger.questions.wording import counted
from tui.actions import actions_of, keys_of
from tui.cohorts import Meant
from tui.keys import shown_key
from tui.palette import Offer, offers_of
from tui.screens.bare import BareRoom
from tui.screens.dialogs import KEYS_LEAD, ConfirmDialog, Dialog, TextDialog
from tui.screens.find_window import FindDialog
from tui.session import Job, JobDone, JobFailed
from tui.settings import write_fresh

if TYPE_CHECKING:
    from ledger.store.reads import Contents
    from tui.typed_file import Entry

T = TypeVar("T")

_BUSY_AGAIN_S = 3.0
# Stands for the key of an action that has none on a screen.
_BY_NAME = "by name"


class RoomScreen(BareRoom):
    """A screen of the program, with the work it waits for."""

    def __init__(self) -> None:
        super().__init__()
        self._looking_up: Job | None = None
        # Whether it is asked as the last visit left it, and was not answered since.
        self.restored = False
        # Where escape goes back to.
        self.opened_from = "contents"

    # -- work ------------------------------------------------------------------------------

    def await_job(self, job: Job) -> Job:
        """Remember a job, so that it can be stopped and its message understood."""
        self.jobs.append(job)
        return job

    def on_job_done(self, message: JobDone) -> None:
        job = message.job
        if job not in self.jobs:
            return
        self.jobs.remove(job)
        self._show_status(self._news)
        if job is self._looking_up:
            self._looking_up = None
            self._offer_undo(message.result)
            return
        if job.kind == "ask":
            self.program.restored = self.restored = False
        getattr(self, f"done_{job.kind}")(job, message.result)

    def on_job_failed(self, message: JobFailed) -> None:
        job = message.job
        if job not in self.jobs:
            return
        self.jobs.remove(job)
        if message.busy:
            again = self._try_again
            if job.kind == "left_over":
                again = partial(self._store_left, job.about["left"])
            self.set_timer(_BUSY_AGAIN_S, again)
            self.tell(f"{message.line} (trying again every {_BUSY_AGAIN_S:.0f} s)", trouble=True)
            self.failed(job, message.line)
            return
        refused = message.refused and job.kind == "ask"
        if refused and self.program.forget_restored(self, message.line):
            return
        if job.kind == "undo" and not job.about["yes"] and not job.about["again"]:
            self._second_yes(job, message.line)
            return
        self.tell(message.line, trouble=True)
        self.failed(job, message.line)

    def failed(self, job: Job, line: str) -> None:
        """A job came to nothing."""

    def offer(self, window: Dialog[T], then: Callable[[T | None], None]) -> bool:
        """Open a window for something that was looked up; whether it is open.

        Whoever has gone on meanwhile, to another screen or another window, is not called back:
        what he types there would answer it.
        """
        if self.app.screen is not self:
            return False
        self.app.push_screen(window, then)
        return True

    def _try_again(self) -> None:
        if self.is_current and not self.jobs:
            self.tell("")
            self.action_again()

    def store_left_over(self) -> None:
        """Store what a program that was killed had not stored yet."""
        left = self.program.typed.left_over()
        if left:
            self._store_left(left)

    def _store_left(self, left: list[Entry]) -> None:
        store, words = partial(self.program.typed.store, left), "storing what was typed last time"
        session = self.program.session
        self.await_job(session.do(self, "left_over", words, store, keeps=True, left=left))

    def done_left_over(self, job: Job, line: str) -> None:
        """What was left is stored."""
        self.reread_facts()
        self.tell(line)

    # -- actions of every screen -----------------------------------------------------------

    def action_back(self) -> None:
        if any(not j.behind for j in self.jobs):
            self.stop_jobs()
        elif self._news:
            self.tell("")
        elif self.kind != "contents":
            self.program.show(self.opened_from)

    def stop_jobs(self) -> None:
        """Stop what this screen waits for.

        A question is given up at once, though its arithmetic may run on for a moment; what became
        of a change is said when it is known.
        """
        self.tell(f"stopped; {self.key('again')} reads again", trouble=True)
        for job in [j for j in self.jobs if not j.behind]:
            self.program.session.stop(job)
            if job.since is None or job.kind == "ask":
                self.jobs.remove(job)
                self.failed(job, "stopped")

    def action_contents(self) -> None:
        self.program.show("contents")

    def action_intake(self) -> None:
        self.program.show_beside("intake")

    def action_sources(self) -> None:
        self.program.show_beside("sources")

    def action_lists(self) -> None:
        self.program.show_beside("lists")

    def action_scoresheet(self) -> None:
        self.program.show_beside("scoresheet")

    def action_watch(self) -> None:
        kind, which = self.to_watch()
        self.program.show_watch(kind, **which)

    def to_watch(self) -> tuple[str, dict[str, Any]]:
        """The queue that is meant here, with what tells it; an empty name for the last one."""
        return "", {}

    def action_theme(self) -> None:
        if not self.program.next_theme():
            self.tell("NO_COLOR is set in the environment: the screens stay without colour")

    def action_palette(self) -> None:
        def chosen(offer: Offer | None) -> None:
            if offer is not None:
                offer.run()

        self.app.push_screen(FindDialog(list(offers_of(self.program, self))), chosen)

    def action_quit(self) -> None:
        self.program.exit(0)

    def action_again(self) -> None:
        """Read the ledger again."""
        self.entered()

    def help_lines(self) -> list[str]:
        """The keys of this screen, each with its sentence, and where they can be changed."""
        chosen = self.program.settings.keys
        lines = []
        for action in actions_of(self.kind):
            keys = " ".join(shown_key(k) for k in keys_of(action, chosen, self.kind))
            lines.append(f"{keys or _BY_NAME:<12} {action.help}")
        if any(line.startswith(_BY_NAME) for line in lines):
            lines += ["", f"{_BY_NAME}: {self.key('palette')} finds an action by its words."]
        path = self.program.settings_file
        makes = "" if path.exists() else f" ({self.key('settings') or 'settings'} makes it)"
        return [
            *lines,
            "",
            "Arrows, page up and down, home and end move. The mouse chooses, two clicks open; a "
            "click on a heading orders, one on a key below does what it does.",
            f"Settings, with keys of your own: {path}{makes}",
        ]

    def action_help(self) -> None:
        window = TextDialog("Keys of this screen", self.help_lines(), lead=KEYS_LEAD)
        self.app.push_screen(window)

    def action_settings(self) -> None:
        path = self.program.settings_file
        try:
            made = write_fresh(path)
        except OSError as error:
            self.tell(f"{path} cannot be written: {error.strerror}", trouble=True)
            return
        what = "made, every setting explained in it" if made else "there already"
        self.tell(f"{path} is {what}; what you change there counts from the next start")

    # -- taking back -----------------------------------------------------------------------

    def action_undo(self) -> None:
        self._looking_up = self.await_job(self.program.session.ask(self, "sources", Meant(), {}))

    def _offer_undo(self, answer: Any) -> None:
        live = [r for r in answer.main.rows() if not r.get("taken_back")]
        if not live:
            self.tell("nothing to take back: no source is in the ledger")
            return
        self.confirm_undo(max(live, key=lambda r: r["source"]))

    def confirm_undo(self, row: Mapping[str, Any]) -> None:
        """Ask whether a source is to be taken back, then do it."""

        def decided(yes: bool | None) -> None:
            if yes:
                self.await_job(self.program.session.undo(self, row["source"]))

        # What a person wrote down stores no records: its own words say what it is.
        stored = f": {counted(row['stored'], 'record')}" if row.get("stored") else ""
        self.offer(
            ConfirmDialog(
                f"Take back source {row['source']}?",
                f"{row.get('file') or row.get('kind')}{stored}, by {row.get('who')}, "
                f"{row.get('when')}",
                "It stays listed on Sources and can be brought back.",
                yes="take it back",
            ),
            decided,
        )

    def _second_yes(self, job: Job, line: str) -> None:
        def decided(yes: bool | None) -> None:
            if yes:
                source = job.about["source"]
                self.await_job(self.program.session.undo(self, source, yes=True))

        window = ConfirmDialog(line, "Take it back all the same?", yes="take it back")
        if not self.offer(window, decided):
            self.tell_in_front(f"not taken back: {line}")

    def reread_facts(self) -> None:
        """Something has changed: the top line is told, and every screen asks anew."""
        self.await_job(self.program.session.contents(self))

    def done_contents(self, job: Job, facts: Contents) -> None:
        """What the ledger holds now."""
        self.program.take_facts(facts)
        self.dress()

    def done_undo(self, job: Job, result: Any) -> None:
        """A source is taken back, or brought back."""
        what = "brought back" if job.about["again"] else "taken back"
        self.reread_facts()
        self.tell(f"source {job.about['source']} is {what}")
