"""The game or practice session in hand on the scoresheet: how it is opened, and gone on with."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from ledger.questions.wording import counted
from tui.cohorts import Whom
from tui.screens.form import FormDialog, Told
from tui.screens.player_windows import consent_form
from tui.screens.sheet_windows import Opened, open_asked, sheet_form
from tui.screens.typing_room import TypingRoom
from tui.session import Job
from tui.trip_line import Teams

if TYPE_CHECKING:
    from ledger.intake.scoresheet import Sheet
    from ledger.questions.practising import Practice


class SheetInHand(TypingRoom):
    """Opens what is typed; the last one again when the program starts."""

    def __init__(self) -> None:
        super().__init__()
        self.sheet: Sheet | None = None
        self.practice: Practice | None = None
        self.teams = Teams(("", ""), ((), ()))
        self.tally: dict[tuple[str, str], tuple[int, int]] = {}
        self.shots: list[tuple[str, bool]] = []
        self._seen: int | None = None
        self._opened: Opened | None = None
        # Whether the ledger is to be read once more when all that waits is stored.
        self._to_read = False

    def entered(self) -> None:
        """The first time, what was typed last is opened again; later, what others changed."""
        self.line.focus()
        if self._seen == self.program.changes:
            return
        first, self._seen = self._seen is None, self.program.changes
        last = self.program.memory.last() if first else None
        if last is not None and last.asked:
            self.asked, self.period = dict(last.asked), last.period
            self.game, self.trial = dict(last.game), last.trial
            self.aside.extend(last.waiting)
            self.line.bring(last.line)
        if self.asked:
            self.open_again()
        else:
            self.show_work()

    # -- opening ---------------------------------------------------------------------------

    def open_again(self) -> None:
        """Read the game, or the session, as the ledger has it now."""
        asked = dict(self.asked)
        self.await_job(
            self.program.session.do(
                self, "sheet", "opening it", lambda book: open_asked(book, asked), puts=self.puts
            )
        )

    def action_sheet(self) -> None:
        today = f"{datetime.now(UTC).astimezone():%Y-%m-%d}"
        form = sheet_form(
            self.game, self.trial, today, self._take_opened, practice=self.practice is not None
        )
        self.app.push_screen(FormDialog(form), self._chosen)

    def _take_opened(self, opened: Opened) -> None:
        self._opened = opened

    def _chosen(self, told: Told | None) -> None:
        if told is not None and self._opened is not None:
            self.period = None
            self.show_opened(self._opened)

    def done_sheet(self, job: Job, opened: Opened) -> None:
        """The ledger has been read; what was typed meanwhile is not in it."""
        if job.about["puts"] == self.puts:
            self.show_opened(opened)
        elif len(self.outbox):
            self._to_read = True
        else:
            self.open_again()

    def after_storing(self) -> None:
        super().after_storing()
        if self._to_read and not len(self.outbox):
            self._to_read = False
            self.open_again()
        self.show_work()

    def show_opened(self, opened: Opened) -> None:
        """Take a game or a session in hand."""
        sheet = opened.sheet
        assert sheet is not None
        self.asked, self.sheet, self.practice = opened.asked, sheet, opened.practice
        if opened.practice is None:
            self.game = dict(opened.asked)
        else:
            self.trial = opened.practice.trial.name
        self.tally = dict(sheet.known.tally)
        self.shots = [(s.technique or "", s.made) for s in sheet.known.shots]
        self.line.per_key = self.practice is not None
        if self.practice is None:
            facts = sheet.facts
            self.teams = Teams(
                (facts.home, facts.away),
                (sheet.line_ups.get(facts.home, ()), sheet.line_ups.get(facts.away, ())),
                sheet.techniques,
            )
            self.period = self.period or sheet.known.period
        self.tell(self._welcome(sheet))
        self.show_work()
        if self.practice is not None and not self.practice.consented:
            self._ask_consent(self.practice)

    def _welcome(self, sheet: Sheet) -> str:
        many = counted(len(self.aside), "line")
        more = f"; {many} put aside, {self.key('retype')} brings one back" if self.aside else ""
        there = len(sheet.known.shots)
        if not there:
            return f"nothing of it is stored yet{more}"
        if sheet.known.files:
            said = f"{there} came with {sheet.known.files[0]}: only what it lacks is added"
        else:
            said = f"{there} are stored, it goes on after them"
            said = "1 is stored, it goes on after it" if there == 1 else said
        return f"{said}{more}"

    def _ask_consent(self, practice: Practice) -> None:
        trial = practice.trial
        form = consent_form(Whom(trial.player, trial.league), f"the trial {trial.name}")

        def told(done: Told | None) -> None:
            if done is None:
                self.tell(f"without consent no practice of {trial.player} is stored")
            else:
                self.open_again()

        self.offer(FormDialog(form), told)

    def show_work(self) -> None:
        """Everything that depends on what is in hand."""
