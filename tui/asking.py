"""What a screen can ask of the ledger: each is a job, and the screen gets a message of it."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from textual.message_pump import MessagePump

from tui.jobs import Job

if TYPE_CHECKING:
    from ledger.intake.options import ReadOptions
    from ledger.questions.answer import Answer
    from tui.cohorts import Meant
    from tui.mended import Mended
    from tui.session import BookLike, Hears


class Asking:
    """The jobs of the screens; who works through them is another matter."""

    @abstractmethod
    def queue(self, job: Job) -> Job:
        """Put a job where it waits its turn."""

    def do(
        self,
        owner: MessagePump,
        kind: str,
        words: str,
        call: Callable[[BookLike], Any],
        *,
        behind: bool = False,
        keeps: bool = False,
        **about: Any,
    ) -> Job:
        """Do something with the book; the owner's `done_<kind>` gets what `call` gives."""
        return self.queue(Job(kind, words, owner, call, behind=behind, keeps=keeps, about=about))

    def do_telling(
        self,
        owner: MessagePump,
        kind: str,
        words: str,
        call: Callable[[BookLike, Hears], Any],
        *,
        behind: bool = False,
        **about: Any,
    ) -> Job:
        """Do something that says how far it is; stopping it ends it the next time it does."""
        job = Job(kind, words, owner, lambda book: call(book, job.hear), behind, about=about)
        return self.queue(job)

    def ask(
        self,
        owner: MessagePump,
        question: str,
        meant: Meant,
        options: Mapping[str, Any],
        *,
        behind: bool = False,
    ) -> Job:
        """Ask a question; the result is an Answer."""
        given = {k: v for k, v in options.items() if v is not None}

        def ask(book: BookLike, hears: Hears) -> Answer:
            return book.ask(
                question, focus=meant.focus, cohort=meant.cohort, progress=hears, **given
            )

        return self.do_telling(owner, "ask", "counting", ask, behind=behind, question=question)

    def contents(self, owner: MessagePump) -> Job:
        """Ask what the ledger holds."""
        return self.queue(Job("contents", "opening the ledger", owner, lambda b: b.contents()))

    def choices(self, owner: MessagePump, field_name: str) -> Job:
        """Ask for the names that complete a field; the result is a list of texts."""
        return self.queue(
            Job(
                "choices",
                "looking up names",
                owner,
                lambda book: [str(n) for n in book.choices(field_name)],
                about={"field": field_name},
            )
        )

    def preview(
        self, owner: MessagePump, path: Path, kind: str, options: ReadOptions | None = None
    ) -> Job:
        """Read a file: header, mapping, records, what is refused."""
        return self.queue(
            Job(
                "preview",
                "reading the file",
                owner,
                lambda book: book.read_file(path, kind, options),
            )
        )

    def bring_in(
        self,
        owner: MessagePump,
        path: Path,
        kind: str,
        options: ReadOptions | None = None,
        *,
        check: bool,
        rejects: Path | None = None,
    ) -> Job:
        """Check a file against the ledger, or store it; the result is the report."""
        return self.queue(
            Job(
                "check" if check else "store",
                "checking the file" if check else "storing",
                owner,
                lambda book: book.import_file(path, kind, options, check=check, rejects=rejects),
                about={"rejects": rejects},
            )
        )

    def mend(self, owner: MessagePump, path: Path, encoding: str, row: Mended, target: Path) -> Job:
        """Copy a file with one row typed right; the result is the copy's path."""

        def copy(_book: BookLike) -> Path:
            from tui.mended import write_mended

            return write_mended(path, encoding, row, target)

        return self.queue(Job("mend", "copying the file", owner, copy))

    def undo(
        self, owner: MessagePump, source: int, *, again: bool = False, yes: bool = False
    ) -> Job:
        """Take a source back, or bring it back."""
        return self.queue(
            Job(
                "undo",
                "bringing it back" if again else "taking it back",
                owner,
                lambda book: book.undo(source, again=again, yes=yes),
                about={"source": source, "again": again, "yes": yes},
            )
        )
