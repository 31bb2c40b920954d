"""What was written down, and the parts of the screen that shows it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from ledger.questions.wording import counted
from tui import figures
from tui.widgets.columns import ShownColumn

if TYPE_CHECKING:
    from ledger.store.listed import HeldConsent, HeldLot, HeldRumour, Shortlist
    from ledger.store.notes import Decision
    from ledger.store.trials import Trial
    from ledger.telling import DeckItem
    from tui.session import BookLike

Key = Callable[[str], str]
Rows = tuple[dict[str, Any], ...]


@dataclass(frozen=True, slots=True)
class Held:
    """Everything that was written down, as the ledger tells it.

    Attributes:
        today: the day by which reviews are due and consents hold.
        due: numbers of the decisions that are to be looked at again.
    """

    today: date
    lists: Sequence[Shortlist]
    lots: Sequence[HeldLot]
    rumours: Sequence[HeldRumour]
    trials: Sequence[Trial]
    consents: Sequence[HeldConsent]
    decisions: Sequence[Decision]
    due: Sequence[Decision]
    notes: Sequence[dict[str, Any]]
    slides: Sequence[DeckItem]


def held_of(book: BookLike) -> Held:
    """Read it all, in the thread of the ledger."""
    return Held(
        today=book.today(),
        lists=book.lists(),
        lots=book.lots(),
        rumours=book.rumours(),
        trials=book.trials(),
        consents=book.consents(),
        decisions=book.decisions(),
        due=book.reviews_due(),
        notes=[row for row in book.notes() if row["why"] is None],
        slides=book.deck(),
    )


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the screen.

    Attributes:
        name: what it is called.
        said: its headline.
        help: what the keys do here.
        rows: each with `title` and `details`, what is read of it when it is opened.
        columns: how they are laid out.
        add: the window that adds to it.
    """

    name: str
    said: str
    help: str
    rows: Rows
    columns: tuple[ShownColumn, ...]
    add: str

    def filled(self) -> tuple[ShownColumn, ...]:
        """The columns in which anything is written."""
        return tuple(c for c in self.columns if any(c.words(row) for row in self.rows))

    def label(self) -> str:
        """Its name and how much is in it."""
        due = sum(bool(row.get("due")) for row in self.rows)
        many = f" {len(self.rows)}" if self.rows else ""
        return f"{self.name}{many}" + (f" ({due} due)" if due else "")


def review_words(due: Sequence[Decision]) -> str:
    """How many reviews are due and whose, in a sentence."""
    if not due:
        return ""
    one = len(due) == 1
    names = figures.listed([d.player for d in due])
    return f"{counted(len(due), 'review')} {'is' if one else 'are'} due: {names}"
