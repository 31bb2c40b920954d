"""A sitting of watching: what stores a tag, or takes one back, in the source that grows with it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ledger.errors import LedgerBusy, SittingClosed

if TYPE_CHECKING:
    from tui.session import BookLike
    from tui.typed_file import TypedFile


@dataclass(frozen=True, slots=True, eq=False)
class Deed:
    """Something to be done with the ledger; it stands in a file until it is done or refused.

    Attributes:
        entry: what it is.
        typed: the file.
        do: does it.
    """

    entry: Mapping[str, Any]
    typed: TypedFile
    do: Callable[[BookLike], Any]

    def __post_init__(self) -> None:
        self.typed.put(self.entry)

    def __call__(self, book: BookLike) -> Any:
        """Do it, in the thread of the ledger."""
        try:
            result = self.do(book)
        except LedgerBusy:
            raise
        except BaseException:
            self.forget()
            raise
        self.forget()
        return result

    def forget(self) -> None:
        """It is done, or no longer meant."""
        self.typed.drop(self.entry)


@dataclass
class Sitting:
    """The source that grows with what is typed; its number is known once something is stored.

    Attributes:
        kind: the kind of queue.
        words: what it is called.
        typed: the file in which it stands until it is stored.
        number: the source.
    """

    kind: str
    words: str
    typed: TypedFile
    number: int | None = None

    def tag(self, attempt: int, fields: Mapping[str, str]) -> Deed:
        """What stores a tag; in a new sitting, where this one was taken back meanwhile."""
        said = {"kind": self.kind, "words": self.words}

        def store(book: BookLike) -> Any:
            try:
                done = book.tag(self.number, attempt, fields, **said)
            except SittingClosed:
                done = book.tag(None, attempt, fields, **said)
            self.number = done.sitting
            return done

        return Deed({"attempt": attempt, "fields": dict(fields), **said}, self.typed, store)

    def untag(self, attempt: int) -> Deed:
        """What takes a tag back."""

        def take_back(book: BookLike) -> Any:
            assert self.number is not None, "nothing was stored in this sitting"
            return book.untag(self.number, attempt)

        return Deed({"attempt": attempt, "untag": self.number}, self.typed, take_back)
