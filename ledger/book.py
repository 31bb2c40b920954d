"""The book: what `ledger.open` gives, the one door for commands, the terminal and notebooks.

It owns the ledger file, gives questions their cohort, answers their drawer and changes their
sitting. It computes no figure and holds no SQL.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from os import PathLike, fspath
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

from ledger.changing import Changing
from ledger.cohort import Cohort, split_filters
from ledger.errors import UseError
from ledger.store.ledger_file import LedgerFile
from ledger.telling import Telling

if TYPE_CHECKING:
    from ledger.intake.profile import Profile
    from ledger.intake.read import Reading, ReadOptions
    from ledger.intake.report import Report
    from ledger.intake.words import Words
    from ledger.questions.answer import Answer
    from ledger.store.check import Finding
    from ledger.store.merge.report import Merged
    from ledger.store.offers import Offer
    from ledger.store.profiles import Saved
    from ledger.store.reads import Contents
    from ledger.store.share import Shared


class Book(Changing, Telling):
    """One open ledger.

    Every method opens the file when it needs it and says in one line what is wrong: they raise
    `LedgerError` (busy, damaged, newer, not writable) and `UseError` (a name, option or value that
    cannot be used). A change is kept whole or not at all.

    Args:
        path: the ledger file.
        create: make an empty ledger where there is none.
        who: who makes the changes of this sitting; the machine's user unless given.
    """

    def __init__(
        self, path: str | PathLike[str], *, create: bool = False, who: str | None = None
    ) -> None:
        self._file = LedgerFile(fspath(path), create=create, who=who)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def path(self) -> Path:
        """The ledger file."""
        return self._file.path

    @property
    def name(self) -> str:
        """The ledger's file name."""
        return self._file.name

    @property
    def notice(self) -> str | None:
        """What the reader of this ledger should know about the file, such as a missing lock."""
        return self._file.notice

    # -- answers ----------------------------------------------------------------------------

    def ask(
        self,
        question: str,
        *,
        focus: str | Sequence[str] | None = None,
        cohort: Cohort | None = None,
        progress: Callable[[float], None] | None = None,
        **filters_and_options: Any,
    ) -> Answer:
        """Ask a question; see `offglass explain` for what each means.

        Args:
            question: ranking, adopters, uptake, attempts or sources.
            focus: techniques studied, board-assisted unless given.
            cohort: a ready cohort; else it is made from the filters.
            progress: is told how far a long answer is, 0..1.
            **filters_and_options: filters of the cohort (`league=`, `season=`, `from_=`, ...)
                and the question's own options (`by=`, `min_attempts=`, ...).

        Returns:
            The answer: headline, `frame` (polars, documented columns), `more`, `notes`,
            `chart()`. Rates and shares are 0..1, what cannot be given is null with a reason.

        Raises:
            UseError: for an unknown question, filter, option, name or value.
        """
        from ledger.charts.registry import draw
        from ledger.questions import registry

        own = (option.name for option in registry.find(question).options)
        filters, options = split_filters(filters_and_options, own)
        if cohort is not None and filters:
            raise UseError("give either a cohort or its filters, not both")
        meant = cohort if cohort is not None else Cohort.of(**filters)
        studied = (focus,) if isinstance(focus, str) else focus
        with self._file.reading() as con:
            return registry.answer(
                question,
                con,
                meant,
                focus=studied,
                options=options,
                ledger=self._file.name,
                drawer=draw,
                progress=progress,
            )

    def contents(self) -> Contents:
        """What the ledger holds: leagues, seasons, coverage, rumours, the last sources."""
        from ledger.store.reads import Reads

        with self._file.reading() as con:
            return Reads(con).contents()

    def choices(self, field: str) -> list[str]:
        """The names the ledger holds for a filter, in order, for completion.

        Raises:
            UseError: if the filter has no names.
        """
        from ledger.store.reads import Reads

        with self._file.reading() as con:
            return Reads(con).choices(field)

    def get_ready_to_draw(self) -> None:
        """Start what draws beside what goes on, where a picture will be wanted soon."""
        from ledger.charts.painter import PAINTER

        PAINTER.get_ready()

    def export_chart(
        self,
        answer: Answer,
        path: str | PathLike[str],
        *,
        theme: str = "light",
        size: str = "wide",
        progress: Callable[[float], None] | None = None,
    ) -> Path:
        """Draw an answer into a file: png, svg, pdf, html or json by its ending.

        Raises:
            UseError: if the question has no chart, or the file cannot be written.
            Stopped: if it was interrupted; nothing is written.
        """
        from ledger.charts.export import export
        from ledger.questions.inquiry import silent

        return export(answer, Path(path), theme=theme, size=size, progress=progress or silent)

    def export_charts(self, wanted: Sequence[tuple[Answer, Path, str]]) -> None:
        """Draw several answers, each as (answer, path, theme), with one start of the drawer."""
        from ledger.charts.export import export_many

        export_many([(answer, path, theme, "wide") for answer, path, theme in wanted])

    # -- records ----------------------------------------------------------------------------

    def import_file(
        self,
        path: str | PathLike[str],
        kind: str | None = None,
        options: ReadOptions | None = None,
        *,
        check: bool = False,
        rejects: Path | None = None,
    ) -> Report:
        """Bring one file in, as one source and one transaction.

        Args:
            path: the file; it is read once into a private copy and never handed to a library.
            kind: attempts, box, totals, tags, players or shortlist; that of the profile, else
                attempts, unless given.
            options: what the user said about the file.
            check: say what would happen and store nothing.
            rejects: where to write the refused rows, to be mended and imported again.

        Raises:
            RefusedInput: if the file is refused whole; nothing of it is stored.
        """
        from ledger.intake.bring import bring

        return bring(self._file, Path(path), kind, options, check=check, rejects=rejects)

    def preview(
        self, path: str | PathLike[str], kind: str | None = None, options: ReadOptions | None = None
    ) -> Report:
        """What `import_file` would do with a file; stores nothing."""
        return self.import_file(path, kind, options, check=True)

    def read_file(
        self, path: str | PathLike[str], kind: str | None = None, options: ReadOptions | None = None
    ) -> Reading:
        """A file's rows as they would be stored and those refused, by the words of this ledger.

        Raises:
            RefusedInput: if the file is refused whole.
        """
        from ledger.intake.bring import words_of
        from ledger.intake.read import read

        return read(path, kind, options, words_of(self._file))

    def offers(self) -> list[Offer]:
        """Names that may be one player or team, and why; `same` and `apart` settle one."""
        from ledger.store.offers import offers

        with self._file.reading() as con:
            return offers(con)

    def players_of_list(self, name: str) -> list[dict[str, Any]]:
        """The players on a shortlist or a lot, in order: `player`, `league`, `note`.

        Raises:
            UseError: if there is no such list.
        """
        from ledger.store.shortlists import players_of_list

        with self._file.reading() as con:
            return players_of_list(con, name)

    def words(self) -> Words:
        """What words of coded fields mean in this ledger."""
        from ledger.intake.bring import words_of

        return words_of(self._file)

    def profiles(self) -> tuple[Saved, ...]:
        """The mapping profiles of this ledger: `name`, `body` (TOML), `who`, `when`."""
        from ledger.store.profiles import listed

        with self._file.reading() as con:
            return listed(con)

    def profile(self, name: str) -> Profile:
        """A mapping profile by its name, else by the path of its file.

        Raises:
            UseError: if there is none, or it cannot be used.
        """
        from ledger.intake.profile.keeping import named

        return named(self._file, name)

    def save_profile(self, text: str, where: str = "the profile") -> Saved:
        """Keep a mapping profile under the name it gives itself, for the next files.

        Args:
            text: its TOML.
            where: what to call the text in messages.

        Raises:
            UseError: if it is no profile, or has questions open.
        """
        from ledger.intake.profile.keeping import keep

        return keep(self._file, text, where)

    # -- the ledger as a whole -----------------------------------------------------------------

    def check(self) -> list[Finding]:
        """Whether the ledger is whole: nothing where it is."""
        from ledger.store.check import check

        return check(self._file)

    def backup(self, target: str | PathLike[str]) -> Path:
        """Write a safe copy; an existing file is never overwritten."""
        from ledger.store.backup import backup

        return backup(self._file, Path(target))

    def export(self, folder: str | PathLike[str]) -> Path:
        """Write the whole ledger as a Data Package into a new or empty folder."""
        from ledger.store.package import export

        return export(self._file, Path(folder))

    def merge(self, other: str | PathLike[str]) -> Merged:
        """Bring a colleague's ledger in, as one source that can be taken back.

        Args:
            other: its file, which is only read, in a process of its own.

        Returns:
            What became of every row; `words()`, `contradictions`, `not_taken`.

        Raises:
            UseError: if it is this ledger itself.
            LedgerError: if it is busy, damaged, newer or none.
        """
        from ledger.store.merge.merge import merge

        return merge(self._file, other)

    def export_share(
        self, folder: str | PathLike[str], *, cohort: Cohort | None = None, **filters: Any
    ) -> Shared:
        """Write attempts and tags of a cohort for other people, taggers as A, B and so on.

        Args:
            folder: a new or empty one.
            cohort: a ready cohort; else it is made from the filters.
            **filters: as for `ask`.

        Returns:
            What left: `folder`, `rows`, `taggers`, `minors`, `lines`.

        Raises:
            UseError: for a folder or name that cannot be used, practice, or an empty cohort.
        """
        from ledger.store.share import export_share

        return export_share(self._file, folder, cohort or Cohort.of(**filters))

    def release(self) -> bool:
        """Let the idle file go, so that others may change it; opened again when needed."""
        return self._file.release()

    def idle_s(self) -> float:
        """Seconds since the file was last used, 0 while it is in use or closed."""
        return self._file.idle_s()

    def interrupt(self) -> None:
        """Stop what is running, from any thread; a change then keeps nothing."""
        from ledger.charts.painter import PAINTER

        self._file.interrupt()
        PAINTER.stop()

    def discard_unused(self) -> bool:
        """Remove a ledger in which nothing was ever changed; whether it is gone.

        Raises:
            LedgerError: if somebody else has it.
        """
        from ledger.store.unused import discard_unused

        return discard_unused(self._file)

    def close(self) -> None:
        """Stop what is running and let the file go for good."""
        self._file.close()


def load_package(folder: Path, path: Path) -> Path:
    """Make a new ledger at `path` from an exported Data Package."""
    from ledger.store.package import load

    return load(folder, path)
