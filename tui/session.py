"""The only holder of the ledger: every query waits its turn in one thread beside the screens.

A screen asks by one of the methods of `Asking` and gets a job; when the job is done or failed, the
screen gets a message. What the user waits for goes before what is only fetched ahead. The ledger
is let go after two seconds without a query, so that commands in a shell work beside the screens.
"""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, Any, Protocol

from textual.message import Message
from textual.message_pump import MessagePump

from ledger.errors import LedgerBusy, OffglassError, Stopped, UseError
from tui.asking import Asking
from tui.jobs import Job, JobDone, JobFailed, fault_words
from tui.keeping_book import KeepingBook
from tui.scoring_book import ScoringBook
from tui.watching_book import WatchingBook

if TYPE_CHECKING:
    from textual.app import App

    from ledger.intake.read import Reading
    from ledger.questions.answer import Answer
    from ledger.store.reads import Contents

IDLE_S = 2.0
# Is told how far work is, 0..1.
Hears = Callable[[float], None]


class BookLike(KeepingBook, ScoringBook, WatchingBook, Protocol):
    """What the screens use of a book."""

    def ask(
        self,
        question: str,
        *,
        focus: Any = None,
        cohort: Any = None,
        progress: Hears | None = None,
        **filters_and_options: Any,
    ) -> Answer: ...
    def contents(self) -> Contents: ...
    def choices(self, field: str) -> list[str]: ...
    def import_file(
        self,
        path: Any,
        kind: str = ...,
        options: Any = None,
        *,
        check: bool = False,
        rejects: Path | None = None,
    ) -> Any: ...
    def read_file(self, path: Any, kind: str = ..., options: Any = None) -> Reading: ...
    def settle(self, attempt: int, technique: str) -> str: ...
    def undo(self, source: int, *, again: bool = False, yes: bool = False) -> str: ...
    def export_chart(
        self,
        answer: Answer,
        path: Any,
        *,
        theme: str = ...,
        size: str = ...,
        progress: Hears | None = None,
    ) -> Path: ...
    def export_slide(
        self, answer: Answer, path: Any, *, theme: str = ..., template: Any = None
    ) -> Path: ...
    def put_in_deck(self, answer: Answer) -> str: ...
    def release(self) -> bool: ...
    def interrupt(self) -> None: ...
    def close(self) -> None: ...


class Session(Asking):
    """The queue of jobs and the thread that works through it."""

    def __init__(self, open_book: Callable[[], BookLike]) -> None:
        self._open_book = open_book
        self._turn = threading.Condition()
        self._front: deque[Job] = deque()
        self._behind: deque[Job] = deque()
        self._running: Job | None = None
        self._book: BookLike | None = None
        self._ending = False
        # Whose work may be fetched ahead while somebody types, everybody's otherwise.
        self._only: MessagePump | None = None
        # Whether the ledger may be attached: from the first job until it is let go.
        self._held = False
        self.ended = threading.Event()

    def start(self, app: App[Any]) -> None:
        """Begin working, in a thread worker of the app."""
        app.run_worker(self._work, thread=True, group="ledger", exit_on_error=False)

    # -- stopping --------------------------------------------------------------------------

    def stop(self, job: Job) -> None:
        """Stop a job: it is forgotten while it waits, interrupted while it runs."""
        with self._turn:
            job.stopped = True
            for queue in (self._front, self._behind):
                if job in queue:
                    queue.remove(job)
            if self._running is job:
                self._interrupt()

    def end(self) -> None:
        """Stop everything but what stores; the thread then closes the ledger and ends."""
        with self._turn:
            self._ending = True
            self._front = deque(job for job in self._front if job.keeps)
            self._behind.clear()
            if self._running is not None and not self._running.keeps:
                self._running.stopped = True
                self._interrupt()
            self._turn.notify_all()

    # -- the thread ------------------------------------------------------------------------

    def queue(self, job: Job) -> Job:
        """Put a job where it waits its turn."""
        with self._turn:
            if job.keeps:
                # What stores what was typed does not wait for questions.
                at = (n for n, other in enumerate(self._front) if other.can_wait)
                self._front.insert(next(at, len(self._front)), job)
            else:
                (self._behind if job.behind else self._front).append(job)
            running = self._running
            if running is not None and running.gives_way_to(job):
                self._put_off(running)
            self._turn.notify_all()
        return job

    def _put_off(self, running: Job) -> None:
        """Interrupt a question that runs: it is asked again when its turn comes."""
        if not running.stopped:
            running.put_off = True
            self._interrupt()

    def _interrupt(self) -> None:
        if self._book is not None:
            self._book.interrupt()

    def hush(self, owner: MessagePump | None) -> None:
        """While somebody types, nothing else is fetched ahead: it would make the typed wait.

        Args:
            owner: the screen on which is typed, or None where that is over.
        """
        with self._turn:
            self._only = owner
            running = self._running
            others = owner is not None and running is not None and running.owner is not owner
            if others and running is not None and running.behind:
                self._put_off(running)
            self._turn.notify_all()

    def _ahead(self) -> Job | None:
        """The next of what is only fetched ahead."""
        owner = self._only
        return next((j for j in self._behind if owner is None or j.owner is owner), None)

    def _again(self, job: Job) -> bool:
        """Whether a job was put off; it waits for its turn then."""
        with self._turn:
            if not job.put_off or job.stopped or self._ending:
                return False
            job.put_off, job.since, job.part = False, None, 0.0
            if job.behind:
                self._behind.appendleft(job)
            else:
                # Behind all that is to be stored, before all other questions.
                kept = [n for n, other in enumerate(self._front, 1) if not other.can_wait]
                self._front.insert(max(kept, default=0), job)
            return True

    def _next(self) -> Job | None:
        """The next job; None when the ledger has been idle for a while or all ends."""
        with self._turn:
            self._running = None
            until = monotonic() + IDLE_S
            while not (self._front or self._ahead() or self._ending):
                rest = until - monotonic()
                if not self._held:
                    self._turn.wait()
                elif rest <= 0 or not self._turn.wait(rest):
                    return None
            if self._ending and not self._front:
                return None
            job = self._front.popleft() if self._front else self._ahead()
            assert job is not None
            if job.behind:
                self._behind.remove(job)
            job.since = monotonic()
            self._running = job
            self._held = True
            return job

    def _work(self) -> None:
        while True:
            job = self._next()
            if job is not None:
                self._do(job)
            elif self._ending:
                break
            else:
                self._held = False
                if self._book is not None:
                    self._book.release()
        try:
            if self._book is not None:
                self._book.close()
        finally:
            self.ended.set()

    def _do(self, job: Job) -> None:
        try:
            if self._book is None:
                self._book = self._open_book()
            if job.stopped:
                raise Stopped("stopped")
            result = job.call(self._book)
        except LedgerBusy as error:
            self._tell(job, JobFailed(job, error.message, busy=True))
        except OffglassError as error:
            if isinstance(error, Stopped) and self._again(job):
                return
            line = "stopped; nothing of it is kept" if job.stopped else error.message
            refused = isinstance(error, UseError) and not job.stopped
            self._tell(job, JobFailed(job, line, refused=refused))
        except OSError as error:
            self._tell(job, JobFailed(job, f"{error.strerror or error}: {error.filename or ''}"))
        except Exception as error:
            self._tell(job, JobFailed(job, "stopped" if job.stopped else fault_words(error)))
        else:
            self._tell(job, JobDone(job, result))

    def _tell(self, job: Job, message: Message) -> None:
        if not self._ending:
            job.owner.post_message(message)


__all__ = ["BookLike", "Hears", "Job", "JobDone", "JobFailed", "Session"]
