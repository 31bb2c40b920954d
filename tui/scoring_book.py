"""What the scoresheet uses of a book: games and practice typed in trip by trip."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from ledger.intake.scoresheet import Sheet
    from ledger.intake.trip import GameFacts, Scored, TakenBack, Trip
    from ledger.questions.practising import Practice
    from ledger.store.reads.scoresheet import Competitions


class ScoringBook(Protocol):
    """The part of a book behind the scoresheet."""

    def competitions(self) -> Competitions: ...
    def open_sheet(self, facts: GameFacts) -> Sheet: ...
    def open_practice(self, trial: str, day: str) -> tuple[Practice, Sheet]: ...
    def score(self, sheet: Sheet, trip: Trip) -> Scored: ...
    def take_back_trip(self, sheet: Sheet) -> TakenBack: ...
    def add_line_up(self, sheet: Sheet, team: str, shirts: Sequence[tuple[str, str]]) -> Any: ...
    def add_lines(self, kind: str, data: bytes, options: Any = None) -> Any: ...
