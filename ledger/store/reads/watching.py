"""What the question of what to watch next fetches: unwatched attempts, and second opinions owed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ledger.store.statements import sql

if TYPE_CHECKING:
    import polars as pl
    from duckdb import DuckDBPyConnection

    from ledger.store.reads.scope import Scope


class Watching:
    """The reads of one question.

    Args:
        connection: as `LedgerFile.reading()` gives it, its views in place.
    """

    def __init__(self, connection: DuckDBPyConnection) -> None:
        self._con = connection

    def unwatched(self, where: Scope) -> pl.DataFrame:
        """Attempts without any tag: `game_id, league_id, season_id, person_id, unwatched`."""
        text = where.statement(sql("reads/watching", "unwatched"))
        return self._frame(text, where.bound(text))

    def games(self, numbers: Sequence[int]) -> pl.DataFrame:
        """`game_id, game, date, league, season, home, away, video` of some games, by number."""
        return self._frame(sql("reads/watching", "games"), {"games": list(numbers)})

    def second(self, where: Scope) -> pl.DataFrame:
        """Attempts drawn to be watched twice that one person has watched.

        Returns:
            `attempt, game_id, player, period, clock_s, order_in_game, made, tagger` (who has
            watched it), by day and place in the game; nothing of what he saw.
        """
        text = where.statement(sql("reads/watching", "second"))
        return self._frame(text, where.bound(text))

    def _frame(self, text: str, values: dict[str, Any]) -> pl.DataFrame:
        import polars as pl

        return pl.DataFrame(self._con.sql(text, params=values))
