"""What the question of a trial fetches: its plan, its practice, and the games beside it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from ledger.store import consents, trials
from ledger.store.statements import sql

if TYPE_CHECKING:
    import polars as pl
    from duckdb import DuckDBPyConnection

    from ledger.store.trials import Change, Trial


class Trials:
    """The reads of one question.

    Args:
        connection: as `LedgerFile.reading()` gives it, its views in place.
    """

    def __init__(self, connection: DuckDBPyConnection) -> None:
        self._con = connection

    def planned(self) -> list[Trial]:
        """All trials in the order they were planned."""
        return trials.trials(self._con)

    def find(self, name: str) -> Trial:
        """The trial of that name.

        Raises:
            UseError: if there is none, with near ones.
        """
        return trials.find_trial(self._con, name)

    def changes(self, trial: Trial) -> list[Change]:
        """What was changed in its plan after it was made."""
        return trials.changes_of(self._con, trial)

    def consents(self, trial: Trial) -> list[tuple[date, date | None]]:
        """First and last day of each consent of its player."""
        return [(row[2], row[3]) for row in consents.consents(self._con, trial.person_id)]

    def practice(self, trial: Trial, shots: Sequence[str]) -> pl.DataFrame:
        """All practice of its player, attempt by attempt.

        Returns:
            `attempt, date, made, technique_id` (null where none is agreed or it was picked by its
            result), `miss_depth, miss_side, release_angle_deg, came` (when it was stored, UTC),
            `consented`.
        """
        return self._frame("practice", {"person": trial.person_id, "shot": list(shots)})

    def games(self, trial: Trial, shots: Sequence[str]) -> pl.DataFrame:
        """His games.

        Returns:
            `league_id, league, season_id, season, start_year, technique_id, attempts, made`.
        """
        return self._frame("games", {"person": trial.person_id, "shot": list(shots)})

    def last_day(self) -> date | None:
        """The day of the ledger's last source."""
        rows = self._con.execute(sql("reads/trials", "last_day")).fetchall()
        day: date | None = rows[0][0]
        return day

    def _frame(self, name: str, values: dict[str, object]) -> pl.DataFrame:
        import polars as pl

        return pl.DataFrame(self._con.sql(sql("reads/trials", name), params=values))
