"""What the question of a trip's worth fetches: trips by kind, and who got the live misses."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.reads.scope import Scope


@dataclass(frozen=True, slots=True)
class Trips:
    """Trips of a scope.

    Attributes:
        of_kind: trips by kind: one, two, three, one_and_one; only those there are.
        dead: trips after technical or flagrant fouls.
        unknown: attempts whose trip, or its kind, is not known.
    """

    of_kind: dict[str, int]
    dead: int
    unknown: int


@dataclass(frozen=True, slots=True)
class LiveMisses:
    """Live misses, those of them whose rebound is noted, and those of these that were offensive."""

    live: int
    noted: int
    offensive: int


class TripsWorth:
    """The reads of one question.

    Args:
        connection: as `LedgerFile.reading()` gives it, its views in place.
    """

    def __init__(self, connection: DuckDBPyConnection) -> None:
        self._con = connection

    def trips(self, where: Scope) -> Trips:
        """Trips by kind."""
        text = where.statement(sql("reads/trips_worth", "trips"))
        rows = self._con.execute(text, where.bound(text)).fetchall()
        trips = {str(kind): int(trips) for kind, trips, _ in rows}
        unknown = sum(int(attempts) for kind, _, attempts in rows if kind == "unknown")
        known = {k: n for k, n in trips.items() if n and k not in ("dead", "unknown")}
        return Trips(known, trips.get("dead", 0), unknown)

    def live_misses(self, where: Scope) -> LiveMisses:
        """Live misses and who rebounded them."""
        text = where.statement(sql("reads/trips_worth", "live_misses"))
        ((offensive, noted, live),) = self._con.execute(text, where.bound(text)).fetchall()
        return LiveMisses(int(live), int(noted), int(offensive))
