"""A screen on which what is typed goes to the ledger beside the typing, each thing in its order.

What the ledger refuses comes back to the screen; what cannot be stored now waits and is tried
again.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.timer import Timer

from tui.outbox import Came, Outbox
from tui.screens.base import RoomScreen
from tui.session import BookLike, Job, JobFailed

if TYPE_CHECKING:
    from ledger.store.reads import Contents

_AGAIN_S = 3.0
# What the ledger holds is counted anew once nothing was typed for a moment.
_PAUSE_S = 1.0


class StoringRoom(RoomScreen):
    """What waits to be stored, and what came of it."""

    def __init__(self) -> None:
        super().__init__()
        self.outbox = Outbox()
        self._again = False
        self._changed = False
        self._counting: Timer | None = None

    @property
    def storing(self) -> bool:
        """Whether the ledger is at it."""
        return any(job.kind == "typed" for job in self.jobs)

    def send(self) -> None:
        """Send what waits to the ledger, unless it is about to fetch it."""
        about_to = any(job.kind == "typed" and job.since is None for job in self.jobs)
        if len(self.outbox) and not about_to:
            session = self.program.session
            self.await_job(session.do(self, "typed", "storing", self.store_waiting, keeps=True))

    def store_waiting(self, book: BookLike) -> list[Came]:
        """Store all that waits; in the thread of the ledger."""
        return self.outbox.store(book, self.one_less)

    def one_less(self) -> None:
        """One thing waits no longer; in the thread of the ledger."""

    def done_typed(self, job: Job, came: list[Came]) -> None:
        """Some of it is stored, or refused."""
        if came:
            self.trouble_is_over()
        for one in came:
            if one.refused:
                self.refused(one)
            else:
                self._changed = True
                self.came(one)
        self.after_storing()
        self.send()
        if self._changed:
            self._count_soon()

    # -- the top line ----------------------------------------------------------------------

    def _count_soon(self) -> None:
        if self._counting is not None:
            self._counting.stop()
        self._counting = self.set_timer(_PAUSE_S, self.count_anew)

    def count_anew(self) -> None:
        """Ask what the ledger holds now, for the top line alone."""
        if self._changed and not len(self.outbox) and not self.jobs:
            words = "looking what the ledger holds"
            session = self.program.session
            self.await_job(
                session.do(self, "holds", words, lambda book: book.contents(), behind=True)
            )

    def done_holds(self, job: Job, facts: Contents) -> None:
        """What it holds now; that something has changed is told when this screen is left."""
        self.program.show_facts(facts)

    def came(self, one: Came) -> None:
        """Something typed is in the ledger."""

    def refused(self, one: Came) -> None:
        """The ledger does not take it."""

    def after_storing(self) -> None:
        """What is shown may be old now."""

    def on_job_failed(self, message: JobFailed) -> None:
        job = message.job
        if job.kind not in ("typed", "holds") or job not in self.jobs:
            return
        if job.kind == "holds":
            # It is counted again after the next thing that is typed.
            self.jobs.remove(job)
            return
        # What is not waited for any more is left alone by what every screen does.
        self.jobs.remove(job)
        self.app.bell()
        waits = f"{len(self.outbox)} typed, not stored yet"
        self.tell(f"{message.line}; {waits}, tried again", trouble=True)
        if not self._again:
            self._again = True
            self.set_timer(_AGAIN_S, self.try_to_store)

    def try_to_store(self) -> None:
        """Try once more."""
        self._again = False
        self.send()

    def on_screen_suspend(self) -> None:
        """What other screens tell is read anew once, when this one is left."""
        # A window over the screen is no leaving.
        if self._changed and self.is_mounted and self not in self.app.screen_stack:
            self._changed = False
            self.reread_facts()
