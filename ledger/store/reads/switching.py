"""What the question of who changed fetches: players' games in order."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ledger.store.statements import sql

if TYPE_CHECKING:
    import polars as pl
    from duckdb import DuckDBPyConnection

    from ledger.store.reads.scope import Scope


class Switching:
    """The reads of one question.

    Args:
        connection: as `LedgerFile.reading()` gives it, its views in place.
    """

    def __init__(self, connection: DuckDBPyConnection) -> None:
        self._con = connection

    def persons(self, where: Scope, players: Sequence[int]) -> list[int]:
        """The persons with an attempt in a scope who are one of these player rows."""
        text = where.statement(sql("reads/switching", "persons"))
        found = self._con.execute(text, where.bound(text, players=list(players))).fetchall()
        return [int(row[0]) for row in found]

    def games(
        self, where: Scope, focus: Sequence[int], besides: Sequence[int] = ()
    ) -> pl.DataFrame:
        """The games of every player with a tag, one row per person and game, in order.

        Args:
            where: which attempts.
            focus: numbers of the techniques that are studied.
            besides: persons whose games are wanted without a tag too.

        Returns:
            `person_id, player, game_id, league_id, league, season_id, season, start_year, team,
            date, attempts, made, tagged, focus_tags, focus_made`.
        """
        text = where.statement(sql("reads/switching", "games"))
        return self._frame(text, where.bound(text, focus=list(focus), besides=list(besides)))

    def days(self, where: Scope) -> pl.DataFrame:
        """`league_id, season_id, person_id, date, attempts, made` of everybody in a scope."""
        text = where.statement(sql("reads/switching", "days"))
        return self._frame(text, where.bound(text))

    def _frame(self, text: str, values: dict[str, object]) -> pl.DataFrame:
        import polars as pl

        return pl.DataFrame(self._con.sql(text, params=values))
