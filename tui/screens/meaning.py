"""Screens on which it can be said which attempts are meant and what is studied."""

from __future__ import annotations

from ledger.cohort import BOARD_ASSISTED
from tui.cohorts import Meant
from tui.screens.base import RoomScreen
from tui.screens.cohort import CohortEditor
from tui.screens.dialogs import ChoiceDialog
from tui.session import Job


class MeaningScreen(RoomScreen):
    """Shares the cohort and the studied technique with the other screens."""

    def action_cohort(self) -> None:
        meant = self.program.meant
        self.app.push_screen(CohortEditor(meant.now, meant.others()), self.mean)

    def mean(self, meant: Meant | None) -> None:
        """Mean other attempts from now on; None leaves it as it is."""
        if meant is not None and self.program.meant.change(meant):
            self.tell("")
            self.entered()

    def action_cohort_before(self) -> None:
        if self.program.meant.back():
            self.tell("")
            self.entered()
        else:
            self.tell(
                f"these are the first attempts that were meant; {self.key('cohort')} changes them"
            )

    def action_technique(self) -> None:
        self.await_job(self.program.session.choices(self, "technique"))

    def done_choices(self, job: Job, names: list[str]) -> None:
        """The ledger's techniques have come."""
        now = self.program.meant.now
        choices = [(BOARD_ASSISTED, "off the backboard: every technique that uses it")]
        choices += [(name, name) for name in names if name != BOARD_ASSISTED]

        def chosen(name: str | None) -> None:
            if name:
                self.mean(Meant(now.cohort, (name,)))

        current = now.focus[0] if len(now.focus) == 1 else ""
        self.offer(ChoiceDialog("Which technique is studied?", choices, current), chosen)
