"""What the question of where misses go fetches: watched attempts by what was seen of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ledger.store.statements import sql

if TYPE_CHECKING:
    import polars as pl
    from duckdb import DuckDBPyConnection

    from ledger.store.reads.scope import Scope


class Missing:
    """The reads of one question.

    Args:
        connection: as `LedgerFile.reading()` gives it, its views in place.
    """

    def __init__(self, connection: DuckDBPyConnection) -> None:
        self._con = connection

    def seen(self, where: Scope) -> pl.DataFrame:
        """Attempts with a tag, counted by everything that was seen alike.

        Args:
            where: which attempts.

        Returns:
            `league_id, season_id, person_id, player, league, season, technique_id, technique,
            place` (empty where the technique is not agreed), `made, picked` (by result), `live`
            (live, dead, unknown; empty for a make), `rebound_by, depth, side, zone, differ` (tags
            of depth or side that disagree), `height, falling, attempts`.
        """
        import polars as pl

        text = where.statement(sql("reads/missing"))
        return pl.DataFrame(self._con.sql(text, params=where.bound(text)))
