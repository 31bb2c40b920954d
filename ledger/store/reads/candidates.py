"""What the question of who should try it fetches: a list's players, and how they shoot and miss."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ledger.store.statements import sql

if TYPE_CHECKING:
    import polars as pl
    from duckdb import DuckDBPyConnection

    from ledger.store.reads.scope import Scope


class Candidates:
    """The reads of one question.

    Args:
        connection: as `LedgerFile.reading()` gives it, its views in place.
    """

    def __init__(self, connection: DuckDBPyConnection) -> None:
        self._con = connection

    def listed(self, shortlists: Sequence[int], lots: Sequence[int]) -> pl.DataFrame:
        """`person_id, player, league, height_cm, mass_kg, hand` of those on some lists, by name.

        Args:
            shortlists: numbers of shortlists.
            lots: numbers of lots; those drawn count.
        """
        values: dict[str, object] = {"shortlists": list(shortlists), "lots": list(lots)}
        return self._frame(sql("reads/candidates", "listed"), values)

    def shooting(self, where: Scope) -> pl.DataFrame:
        """How often each person shoots.

        Returns:
            `person_id, games, game_attempts, two_shot_trips, three_shot_trips, of_known_trips`
            (attempts whose trip is known), `live_if_missed` (of those, whose miss would be live).
        """
        return self._scoped("shooting", where)

    def seen(self, where: Scope) -> pl.DataFrame:
        """What tags say of each person's misses and of what the ball touched first.

        Returns:
            `person_id, depth_seen, long, short, side_seen, left_missed, right_missed, contact_seen,
            board_first`; the numbers seen are those that the others are parts of.
        """
        return self._scoped("seen", where)

    def _scoped(self, name: str, where: Scope) -> pl.DataFrame:
        text = where.statement(sql("reads/candidates", name))
        return self._frame(text, where.bound(text))

    def _frame(self, text: str, values: dict[str, object]) -> pl.DataFrame:
        import polars as pl

        return pl.DataFrame(self._con.sql(text, params=values))
