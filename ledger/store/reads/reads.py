"""What questions fetch: few set-based statements, polars frames out.

Nobody above the store touches a connection; this object is made for one use of an open ledger and
keeps no data, only the ledger's names once they were needed.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ledger.store.reads.agreeing import Agreeing
from ledger.store.reads.candidates import Candidates
from ledger.store.reads.contents import Contents, LeagueSeason, Rumour, SourceLine
from ledger.store.reads.directory import Directory
from ledger.store.reads.missing import Missing
from ledger.store.reads.one_player import OnePlayer
from ledger.store.reads.scope import Scope, scope
from ledger.store.reads.switching import Switching
from ledger.store.reads.trials import Trials
from ledger.store.reads.trips_worth import TripsWorth
from ledger.store.reads.watching import Watching
from ledger.store.statements import sql

if TYPE_CHECKING:
    import polars as pl
    from duckdb import DuckDBPyConnection

    from ledger.cohort import Cohort
    from ledger.store.doubled import TeamPair

_LAST_SOURCES = 5
_REFUSED_SHOWN = 1000
_LINES_SHOWN = 1000


class Reads:
    """The reads of one open ledger.

    Args:
        connection: as `LedgerFile.reading()` gives it, its views in place.
    """

    def __init__(self, connection: DuckDBPyConnection) -> None:
        self._con = connection
        self.names = Directory(connection)
        self.switching = Switching(connection)
        self.missing = Missing(connection)
        self.agreeing = Agreeing(connection)
        self.trials = Trials(connection)
        self.trips_worth = TripsWorth(connection)
        self.candidates = Candidates(connection)
        self.one_player = OnePlayer(connection)
        self.watching = Watching(connection)

    def scope(self, cohort: Cohort) -> Scope:
        """What a cohort means in this ledger.

        Raises:
            UseError: for a name the ledger does not know, with near ones.
        """
        return scope(cohort, self.names)

    def choices(self, field: str) -> list[str]:
        """The names the ledger holds for a filter, in order, each once.

        Raises:
            UseError: if the filter has no names.
        """
        return self.names.choices(field)

    def leagues(self) -> tuple[str, ...]:
        """The leagues in the order in which they came, so that a new one is always the last."""
        rows = sorted(self.names.rows("leagues"), key=lambda row: int(row["one_id"]))
        return tuple(dict.fromkeys(str(row["name"]) for row in rows))

    def player_seasons(self, where: Scope, focus: Sequence[int]) -> pl.DataFrame:
        """One row per league, season, person and team of a scope.

        Args:
            where: which attempts.
            focus: numbers of the techniques that are studied.

        Returns:
            `league_id, league, season_id, season, start_year, person_id, player, position, team_id,
            team, first_date, last_date, game_attempts, game_made, filled_attempts, filled_made,
            short_totals, tagged, tagged_made, focus_tags, unclear, disputed, picked,
            first_tag_game, last_tag_game`, ordered by league, year, player and first day.
            `filled_` is what season totals add; `short_totals` counts totals below the games;
            `picked` counts attempts whose technique is known but was picked by result.
        """
        text = where.statement(sql("reads/player_seasons"))
        return self._frame(text, where.bound(text, focus=list(focus)))

    def doubled(self) -> pl.DataFrame:
        """Player-seasons that two names of one team may count twice.

        Returns:
            `league_id, season_id, person_id, total_team_id, game_team_id, attempts`.
        """
        from ledger.store import doubled

        return doubled.rows(self._con)

    def team_pairs(self, found: pl.DataFrame) -> list[TeamPair]:
        """The pairs of teams of some rows of `doubled`, those with the most players first."""
        from ledger.store import doubled

        return doubled.pairs(self._con, found)

    def lots(self) -> pl.DataFrame:
        """Everybody in the frame of a lot: `league_id, season_id, person_id, drawn`."""
        return self._frame(sql("reads/drawn", "lots"))

    def first_tags(self) -> pl.DataFrame:
        """Each tagged player-season's first tag, only where a source was declared as drawn by lot.

        Returns:
            `league_id, season_id, person_id, first_tag, drawn`: the tag's number, and whether the
            source it came with was declared so; no rows where no source was.
        """
        # Looking at every tag is worth it only where some source declared anything.
        declared = self._number(sql("reads/drawn", "any_declared")) > 0
        return self._frame(sql("reads/drawn", "first_tags"), {"look": declared})

    def rumours(self) -> pl.DataFrame:
        """What raised the question, in the order it was stored; without league_id: every league.

        Returns:
            `text, season_id, season, league_id, league, person_id, player, seen, place`.
        """
        return self._frame(sql("reads/facts", "rumours"))

    def practice(self, where: Scope) -> int:
        """How many attempts of practice the other filters of a scope would take in."""
        return self.how_many(where.practice())

    def how_many(self, where: Scope) -> int:
        """How many attempts a scope takes in."""
        text = where.statement(sql("reads/facts", "how_many"))
        return self._number(text, where.bound(text))

    def counts(self, where: Scope) -> dict[str, int]:
        """`attempts, players, games, tagged, made` of a scope."""
        text = where.statement(sql("reads/facts", "counts"))
        return {k: int(v) for k, v in self._rows(text, where.bound(text))[0].items()}

    def by_season(self, where: Scope) -> pl.DataFrame:
        """`league, season, start_year, attempts, tagged` of a scope, league by league."""
        text = where.statement(sql("reads/facts", "by_season"))
        return self._frame(text, where.bound(text))

    def attempts(self, where: Scope, limit: int | None = None) -> pl.DataFrame:
        """The records of a scope by league, day, game and order, at most `limit` of them."""
        text = where.statement(sql("reads/attempts"))
        return self._frame(text, where.bound(text, most=limit))

    def on_film(self, where: Scope) -> pl.DataFrame:
        """`id, made` of the attempts of a scope that are on film, by number."""
        text = where.statement(sql("reads/clips", "on_film"))
        return self._frame(text, where.bound(text))

    def sources(self, numbers: Sequence[int] = ()) -> pl.DataFrame:
        """Sources by number, all or some."""
        values = {"all": not numbers, "source": list(numbers)}
        return self._frame(sql("reads/sources", "sources"), values)

    def refused(self, numbers: Sequence[int] = ()) -> pl.DataFrame:
        """Refused rows with their reasons, the first 1,000 of each source."""
        values = {"all": not numbers, "source": list(numbers), "most": _REFUSED_SHOWN}
        return self._frame(sql("reads/sources", "refused"), values)

    def journal(self, numbers: Sequence[int] = ()) -> list[dict[str, Any]]:
        """Who changed what, the newest first and the newest 1,000 only; of all or some sources."""
        from ledger.store.journal import entries, shown, told

        found = [
            line
            for number in numbers or (None,)
            for line in entries(self._con, limit=_LINES_SHOWN, source_id=number)
        ]
        newest = sorted(found, key=lambda line: int(line["id"]), reverse=True)[:_LINES_SHOWN]
        return [{"line": line["id"], **told(shown(line))} for line in newest]

    def facts(self) -> dict[str, int]:
        """`last_source, attempts, tagged` of the whole ledger."""
        return {k: int(v) for k, v in self._rows(sql("reads/facts", "facts"))[0].items()}

    def contents(self) -> Contents:
        """What the ledger holds, for a first screen."""
        leagues = tuple(LeagueSeason(**row) for row in self._rows(sql("reads/facts", "contents")))
        last = self._rows(sql("reads/facts", "last_sources"), {"most": _LAST_SOURCES})
        held = self._rows(sql("reads/facts", "held"))[0]
        rumours = self._rows(sql("reads/facts", "rumours"))
        return Contents(
            leagues=leagues,
            attempts=sum(row.attempts for row in leagues),
            tagged=sum(row.tagged for row in leagues),
            last_sources=tuple(
                SourceLine(row.pop("id"), when=row.pop("at_time"), **row) for row in last
            ),
            rumours=tuple(
                Rumour(r["text"], r["season"], r["league"], r["player"], r["seen"], r["place"])
                for r in rumours
            ),
            **held,
        )

    def _frame(self, text: str, values: dict[str, Any] | None = None) -> pl.DataFrame:
        import polars as pl

        return pl.DataFrame(self._con.sql(text, params=values or {}))

    def _rows(self, text: str, values: dict[str, Any] | None = None) -> list[dict[str, Any]]:
        done = self._con.execute(text, values or {})
        names = [column[0] for column in done.description or ()]
        return [dict(zip(names, row, strict=True)) for row in done.fetchall()]

    def _number(self, text: str, values: dict[str, Any] | None = None) -> int:
        return int(self._con.execute(text, values or {}).fetchall()[0][0])
