"""A screen on which a queue of attempts is watched: fetching it, storing what was typed of it.

What is typed goes to the ledger in its order, the screen does not wait for it. Nothing of it is
lost: what the ledger refuses comes back to the queue, what cannot be stored now waits.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ledger.cohort import Cohort
from ledger.questions.wording import count, counted
from tui.in_hand import told
from tui.outbox import Came, Typed
from tui.reel import Reel
from tui.screens.storing import StoringRoom
from tui.session import BookLike, Job
from tui.sitting import Deed, Sitting
from tui.typed_file import TypedFile

if TYPE_CHECKING:
    from ledger.questions.film import Film
    from tui.reel import Typed as Watched

# A watch list takes seconds to make: nothing typed should wait for the next part of it.
_MOST = 2000
# A key of a burst must not be in the ledger before it shows that it is one.
_SOON_S = 0.06
# What attempts are meant on other screens does not narrow a game or a player that was chosen.
_OWN = ("lot", "game", "player")


class ReelRoom(StoringRoom):
    """The queue, what is typed of it, and what waits to be stored."""

    def __init__(self) -> None:
        super().__init__()
        self.reel: Reel | None = None
        self.asked: tuple[str, Mapping[str, Any]] | None = None
        self.sitting = Sitting("", "", TypedFile())
        # What could not be stored while the program was being left.
        self._lost: list[str] = []

    # -- the queue -------------------------------------------------------------------------

    def open_queue(self, kind: str, which: Mapping[str, Any]) -> None:
        """Watch another queue; one that is watched already goes on."""
        if self.reel is not None and self.asked == (kind, which):
            return
        self.asked = (kind, dict(which))
        self.reel = None
        if self.is_mounted:
            self.load()

    def load(self) -> None:
        """Fetch the queue from its beginning, as the ledger has it now."""
        if self.asked is None:
            return
        self.send()
        reel = self.reel
        many = len(reel.typed) if reel is not None else 0
        job = self._film("film", "fetching what to watch", (), reel=reel, many=many)
        self.await_job(job)
        self.show_reel()

    def _film(self, kind: str, words: str, later: tuple[int, ...], **more: Any) -> Job:
        assert self.asked is not None
        queue, which = self.asked
        meant = self.program.meant.now
        cohort, focus = meant.cohort, meant.focus
        if queue in _OWN:
            cohort = Cohort(shot=cohort.shot, stage=cohort.stage)
        return self.program.session.do(
            self, kind, words,
            lambda book: book.film(
                queue, cohort=cohort, focus=focus, later=later, most=_MOST, **which
            ),
            asked=self.asked, **more,
        )  # fmt: skip

    def done_film(self, job: Job, film: Film) -> None:
        """The queue has come."""
        if job.about["asked"] != self.asked:
            return
        if (self.sitting.kind, self.sitting.words) != (film.kind, film.words):
            self.sitting = Sitting(film.kind, film.words, self.program.typed)
        before = self.reel if self.reel is job.about["reel"] else None
        since = before.typed[job.about["many"] :] if before is not None else []
        # What was typed while it was fetched was not stored yet: it would come once more.
        self.reel = Reel(film.without({t.attempt.attempt for t in since if not t.left}))
        self.trouble_is_over()
        self.begun()

    def begun(self) -> None:
        """Another attempt is in hand."""

    def show_reel(self) -> None:
        """Show what is in hand."""

    def want_more(self) -> None:
        """Fetch more of the queue before it runs out."""
        reel = self.reel
        if reel is None or not reel.wants_more or any(j.kind == "more" for j in self.jobs):
            return
        # What is typed and not stored yet would come once more.
        aside = (*reel.later, *(int(text) for text in self.outbox.texts() if text))
        self.await_job(self._film("more", "fetching more", aside, behind=True, reel=reel))

    def done_more(self, job: Job, film: Film) -> None:
        """More of the queue has come."""
        if self.reel is not None and job.about["reel"] is self.reel:
            was = self.reel.now
            self.reel.add(film.attempts)
            if was is None:
                self.begun()

    # -- storing ---------------------------------------------------------------------------

    def store(self, one: Watched) -> None:
        """What was typed of an attempt goes to the ledger."""
        number = one.attempt.attempt
        # Bound to its own sitting: another queue may be open before it is stored.
        self._put(str(number), self.sitting.tag(number, one.fields))

    def take_back(self, one: Watched) -> None:
        """What was typed of an attempt last is taken back."""
        number = one.attempt.attempt
        if one.left or self._take_out(str(number)):
            return
        self._put("", self.sitting.untag(number))

    def _take_out(self, text: str) -> bool:
        """Whether the last thing that waits is this one, and now is gone."""
        last = self.outbox.take_last()
        if last is None:
            return False
        if last.text != text:
            self.outbox.put(last)
            return False
        if isinstance(last.store, Deed):
            last.store.forget()
        return True

    def _put(self, text: str, store: Deed) -> None:
        self.outbox.put(Typed(text, store))
        self.set_timer(_SOON_S, self.send)

    def store_waiting(self, book: BookLike) -> list[Came]:
        came = super().store_waiting(book)
        # Nobody hears of it any more where the program is being left.
        self._lost += [f"attempt {c.typed.text}: {c.refused}" for c in came if c.refused]
        return came

    def refused(self, one: Came) -> None:
        """It comes back to the queue."""
        self.app.bell()
        if not one.typed.text:
            self.tell(f"NOT taken back: {one.refused}", trouble=True)
            return
        if self.reel is not None:
            self.reel.come_back(int(one.typed.text))
        self.tell(f"NOT stored: {one.refused}; it comes again", trouble=True)
        self.show_reel()

    def after_storing(self) -> None:
        self._lost.clear()

    def failed(self, job: Job, line: str) -> None:
        if job.kind == "film":
            self.asked = None
            self.show_reel()

    def _try_again(self) -> None:
        """Another process had the ledger while the queue was fetched."""
        if self.is_current and self.reel is None:
            self.load()

    def _tick(self) -> None:
        # Work that stores cannot be stopped: nothing is said of a key that would.
        if not self.storing:
            super()._tick()

    # -- leaving ---------------------------------------------------------------------------

    def stop_jobs(self) -> None:
        for job in [j for j in self.jobs if j.kind in ("film", "films", "games")]:
            self.program.session.stop(job)
            self.jobs.remove(job)
            self.failed(job, "stopped")
        self.tell(f"stopped; {self.key('again')} reads again", trouble=True)

    def action_back(self) -> None:
        if any(j.kind in ("film", "films", "games") for j in self.jobs):
            self.stop_jobs()
        elif self._news:
            self.tell("")
        else:
            self.program.show(self.opened_from)

    def on_screen_suspend(self) -> None:
        if self not in self.app.screen_stack:
            self.program.session.hush(None)

    def leave(self) -> None:
        self.send()

    def ended(self) -> None:
        say = self.program.last_words.append
        waiting = len(self.outbox)
        if waiting:
            say(
                f"{counted(waiting, 'step')} typed, not in the ledger yet: the next start stores it"
            )
        if self._lost:
            more = f" and {count(len(self._lost) - 5)} more" if len(self._lost) > 5 else ""
            say(f"NOT stored, watch again: {'; '.join(self._lost[:5])}{more}")


def before_words(one: Watched) -> str:
    """What was typed before, so that a slip is seen at once."""
    what = "left for later" if one.left else told(one.fields)
    return f"before: {one.attempt.player}: {what}"
