"""What was written down about players, read through the book: lists, lots, decisions, consents."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ledger.store.ledger_file import LedgerFile
    from ledger.store.listed import HeldConsent, HeldLot, HeldRumour, Shortlist
    from ledger.store.notes import Decision


class Listing:
    """The part of a book that tells what was written down, over its ledger file."""

    _file: LedgerFile

    def today(self) -> date:
        """The day of the ledger's clock (UTC), by which reviews are due."""
        return self._file.clock().date()

    def lists(self) -> list[Shortlist]:
        """Shortlists in the order they were made: `name`, `made`, `players`.

        Each player has `player`, `league`, `note`, `put`, `who`, `source` and the last `decision`
        about him.
        """
        from ledger.store.listed import shortlists

        with self._file.reading() as con:
            return shortlists(con)

    def lots(self) -> list[HeldLot]:
        """Lots in the order they were drawn, each player with how far he is watched."""
        from ledger.store.listed import lots

        with self._file.reading() as con:
            return lots(con)

    def rumours(self) -> list[HeldRumour]:
        """What raised the question, in the order it was written down."""
        from ledger.store.listed import rumours

        with self._file.reading() as con:
            return rumours(con)

    def consents(self) -> list[HeldConsent]:
        """Who agreed to records of practice, by the first day."""
        from ledger.store.listed import consents

        with self._file.reading() as con:
            return consents(con)

    def decisions(self) -> list[Decision]:
        """Decisions in the order they were made; `stands` where no later one is about him."""
        from ledger.store.notes import decisions

        with self._file.reading() as con:
            return decisions(con)

    def reviews_due(self, on: date | None = None) -> list[Decision]:
        """Decisions that stand and are to be looked at again, the longest due first.

        Args:
            on: the day that is meant; today unless given.
        """
        day = on or self.today()
        due = [decision for decision in self.decisions() if decision.due(day)]
        return sorted(due, key=lambda decision: (decision.review or day, decision.number))
