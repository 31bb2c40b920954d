"""What the screens use of a book to write something down, and to read what was written."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from ledger.store.listed import HeldConsent, HeldLot, HeldRumour, Shortlist
    from ledger.store.lots import Lot
    from ledger.store.notes import Decision
    from ledger.store.trials import Trial
    from ledger.telling import DeckItem


class KeepingBook(Protocol):
    """The part of a book behind Lists and its windows."""

    def today(self) -> date: ...
    def last_source(self) -> int: ...
    def lists(self) -> list[Shortlist]: ...
    def lots(self) -> list[HeldLot]: ...
    def rumours(self) -> list[HeldRumour]: ...
    def trials(self) -> list[Trial]: ...
    def consents(self) -> list[HeldConsent]: ...
    def decisions(self) -> list[Decision]: ...
    def reviews_due(self, on: date | None = None) -> list[Decision]: ...
    def notes(
        self, player: str | None = None, *, league: str | None = None
    ) -> list[dict[str, Any]]: ...
    def deck(self) -> list[DeckItem]: ...
    def drop_from_deck(self, number: int) -> str: ...
    def move_in_deck(self, number: int, place: int) -> str: ...
    def export_deck(
        self,
        path: Any,
        *,
        cohort: Any = None,
        focus: Any = None,
        theme: str = ...,
        template: Any = None,
        progress: Callable[[float], None] | None = None,
    ) -> Path: ...
    def shortlist(
        self,
        name: str,
        players: Iterable[str],
        *,
        add: bool = True,
        league: str | None = None,
        note: str | None = None,
    ) -> str: ...
    def lot(
        self, name: str, *, league: str, season: str, players: int, seed: int | None = None
    ) -> Lot: ...
    def rumour(
        self,
        text: str,
        *,
        season: str,
        league: str | None = None,
        player: str | None = None,
        seen: str | date | None = None,
        where: str | None = None,
    ) -> None: ...
    def note(
        self,
        text: str,
        *,
        player: str | None = None,
        league: str | None = None,
        date: str | date | None = None,
    ) -> str: ...
    def decide(
        self,
        player: str,
        choice: str,
        *,
        why: str,
        review: str | date | None = None,
        league: str | None = None,
    ) -> str: ...
    def trial(
        self,
        name: str,
        *,
        player: str,
        techniques: str | Sequence[str],
        sessions: int = 12,
        per_session: int = 50,
        practice_only: int = 0,
        seed: int | None = None,
        league: str | None = None,
    ) -> Trial: ...
    def consent(
        self,
        player: str,
        *,
        given_by: str,
        on: str | date,
        until: str | date | None = None,
        purpose: str,
        league: str | None = None,
    ) -> str: ...
