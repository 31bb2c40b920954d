"""What the screens use of a book to watch attempts and to mend their records."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from ledger.questions.film import Film, GameToWatch, Offered
    from ledger.store.tagging import Tagged


class WatchingBook(Protocol):
    """The part of a book behind Watch."""

    def film(
        self,
        kind: str,
        *,
        cohort: Any = None,
        name: str | None = None,
        player: str | None = None,
        game: int | str | None = None,
        date: Any = None,
        league: str | None = None,
        later: Iterable[int] = (),
        most: int = ...,
        focus: Any = None,
    ) -> Film: ...
    def films(self, *, cohort: Any = None) -> list[Offered]: ...
    def games_to_watch(self, *, cohort: Any = None) -> list[GameToWatch]: ...
    def tag(
        self,
        sitting: int | None,
        attempt: int,
        fields: Mapping[str, str],
        *,
        kind: str | None = None,
        words: str = "",
    ) -> Tagged: ...
    def untag(self, sitting: int, attempt: int) -> Tagged: ...
    def correct(
        self, kind: str, record: int | str, changes: Mapping[str, str], *, why: str
    ) -> str: ...
