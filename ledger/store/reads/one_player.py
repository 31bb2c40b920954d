"""What the question of one player fetches."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ledger.store import notes
from ledger.store.statements import sql

if TYPE_CHECKING:
    from collections.abc import Sequence

    import polars as pl
    from duckdb import DuckDBPyConnection

    from ledger.store.notes import Decision, Note
    from ledger.store.reads.scope import Scope


class OnePlayer:
    """The reads of one question.

    Args:
        connection: as `LedgerFile.reading()` gives it, its views in place.
    """

    def __init__(self, connection: DuckDBPyConnection) -> None:
        self._con = connection

    def persons(self, rows: Sequence[int]) -> list[dict[str, Any]]:
        """The persons of some player rows: `person_id, player, leagues, teams, team_ids`."""
        return self._rows("persons", {"player": list(rows)})

    def attempts(self, where: Scope, person: int) -> pl.DataFrame:
        """One person's attempts of a scope in order.

        Returns:
            `attempt, game_id, date, game, league_id, league, season_id, season, team,
            order_in_game, made, technique, technique_id, counts` (its technique is known and was
            not picked by the result), `miss_depth, miss_side`.
        """
        import polars as pl

        text = where.statement(sql("reads/one_player", "attempts"))
        return pl.DataFrame(self._con.sql(text, params=where.bound(text, person=person)))

    def facts(self, person: int) -> dict[str, Any]:
        """`player, leagues, position, height_cm, mass_kg, birth_year, hand` of a person."""
        return self._rows("facts", {"person": person})[0]

    def notes(self, person: int) -> list[Note]:
        """What was written about him, in order."""
        return notes.notes(self._con, person)

    def decisions(self, person: int) -> list[Decision]:
        """What was decided about him, in order."""
        return notes.decisions(self._con, person)

    def _rows(self, name: str, values: dict[str, object]) -> list[dict[str, Any]]:
        done = self._con.execute(sql("reads/one_player", name), values)
        names = [column[0] for column in done.description or ()]
        return [dict(zip(names, row, strict=True)) for row in done.fetchall()]
