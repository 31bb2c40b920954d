"""What the question of the tags' own quality fetches: who said what of the same attempts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ledger.store.statements import sql

if TYPE_CHECKING:
    import polars as pl
    from duckdb import DuckDBPyConnection

    from ledger.store.reads.scope import Scope


class Agreeing:
    """The reads of one question.

    Args:
        connection: as `LedgerFile.reading()` gives it, its views in place.
    """

    def __init__(self, connection: DuckDBPyConnection) -> None:
        self._con = connection

    def opinions(self, where: Scope) -> pl.DataFrame:
        """Every tag of attempts with several, without those that settle a dispute.

        Args:
            where: which attempts.

        Returns:
            `attempt, game_id, tagger, technique, first_contact, contact_height, contact_side,
            down_at_board, backspin, miss_depth, miss_side, rebound_zone, picked` (by result),
            empty where a tag says nothing.
        """
        text = where.statement(sql("reads/agreeing", "opinions"))
        return self._frame(text, where.bound(text))

    def named(self, attempts: Sequence[int]) -> pl.DataFrame:
        """`attempt, player, date, league, season, game, disputed` of some attempts, in order."""
        return self._frame(sql("reads/agreeing", "named"), {"attempts": list(attempts)})

    def ruled(self, attempts: Sequence[int]) -> pl.DataFrame:
        """`attempt, miss_depth, miss_side`: of those ruled on, whether a ruling names it."""
        return self._frame(sql("reads/agreeing", "ruled"), {"attempts": list(attempts)})

    def watched(self, where: Scope) -> tuple[int, int]:
        """How many attempts of a scope have a technique told, and by how many people."""
        text = where.statement(sql("reads/agreeing", "watched"))
        attempts, taggers = self._frame(text, where.bound(text)).row(0)
        return int(attempts), int(taggers)

    def _frame(self, text: str, values: dict[str, Any]) -> pl.DataFrame:
        import polars as pl

        return pl.DataFrame(self._con.sql(text, params=values))
