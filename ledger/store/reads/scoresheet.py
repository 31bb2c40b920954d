"""What a person who types a game in is shown: names to choose from, line-ups, the game so far."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.store import frames, joined
from ledger.store.names import written_form
from ledger.store.records import CLOCK_ORDERS_FROM
from ledger.store.rederive import BY_HAND
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection


@dataclass(frozen=True, slots=True)
class Competitions:
    """Names that a game may have.

    Attributes:
        leagues: all of the ledger.
        seasons: those with games, by league, the newest first.
        teams: by league.
    """

    leagues: tuple[str, ...]
    seasons: Mapping[str, tuple[str, ...]]
    teams: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Shirt:
    """A player of a line-up; `number` is empty where none is known."""

    number: str
    name: str


@dataclass(frozen=True, slots=True)
class FoundGame:
    """A game of the ledger.

    Attributes:
        id: its row.
        label: what tells it from others of its day, or nothing.
        stage: part of the season.
        home: home team, or nothing.
        away: the visitors, or nothing.
        teams: those with attempts in it.
    """

    id: int
    label: str
    stage: str
    home: str
    away: str
    teams: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Shot:
    """One attempt of a game so far."""

    attempt: int
    person_id: int
    player: str
    team: str
    made: bool
    trip_shot: int | None
    trip_of: int | None
    period: int | None
    place: int | None
    technique: str | None


@dataclass(frozen=True, slots=True)
class SoFar:
    """What a game holds.

    Attributes:
        shots: its free throws in their order; those without one last.
        counts: made and attempts of each person (`person_id`).
        files: what else than typing brought attempts of it, such as `halma.csv`.
    """

    shots: tuple[Shot, ...] = ()
    counts: Mapping[int, tuple[int, int]] = field(default_factory=dict)
    files: tuple[str, ...] = ()

    @property
    def tally(self) -> dict[tuple[str, str], tuple[int, int]]:
        """Made and attempts by name and team, as they stand in the shots."""
        return {(s.player, s.team): self.counts[s.person_id] for s in self.shots}

    @property
    def next_place(self) -> int:
        """The place in the game that the next attempt gets."""
        return 1 + max((s.place for s in self.shots if s.place is not None), default=0)

    @property
    def period(self) -> int | None:
        """The period of the last attempt that has one."""
        return next((s.period for s in reversed(self.shots) if s.period is not None), None)


class Scoresheets:
    """The reads of a scoresheet.

    Args:
        connection: as `LedgerFile.reading()` gives it, its views in place.
    """

    def __init__(self, connection: DuckDBPyConnection) -> None:
        self._con = connection

    def competitions(self) -> Competitions:
        """Leagues, seasons and teams there are."""
        return Competitions(
            tuple(str(name) for (name,) in self._rows("leagues")),
            _grouped(self._rows("seasons")),
            _grouped(self._rows("teams")),
        )

    def line_up(self, league: str, season_key: str, team: str) -> tuple[Shirt, ...]:
        """Who was with a team in a season: those with a number in its order, then the others."""
        asked = {
            "league": written_form(league), "season": season_key, "team": written_form(team),
        }  # fmt: skip
        return tuple(Shirt(str(n), str(name)) for n, name in self._rows("line_up", asked))

    def games(self, league: str, season_key: str, day: date) -> list[FoundGame]:
        """The games of a league and season on a day."""
        asked = {"league": written_form(league), "season": season_key, "date": day}
        return [
            FoundGame(int(number), label or "", str(stage), home or "", away or "",
                      tuple(teams or ()))
            for number, label, stage, home, away, teams in self._rows("games", asked)
        ]  # fmt: skip

    def so_far(self, game_id: int) -> SoFar:
        """What a game holds, with all games that are one with it."""
        wanted = pl.DataFrame({"game_id": [game_id]}, schema={"game_id": pl.Int32})
        games = joined.ones(self._con).with_others(wanted)
        with frames.lent(self._con, wanted=games):
            asked = {"clock_orders_from": CLOCK_ORDERS_FROM}
            shots = tuple(Shot(*row) for row in self._rows("so_far", asked))
            brought = self._rows("brought")
        counts: dict[int, tuple[int, int]] = {}
        for shot in shots:
            made, attempts = counts.get(shot.person_id, (0, 0))
            counts[shot.person_id] = made + shot.made, attempts + 1
        files = tuple(str(file) for _, kind, file in brought if kind not in BY_HAND)
        return SoFar(shots, counts, files)

    def techniques(self) -> tuple[str, ...]:
        """The names of all techniques, in the ledger's order."""
        rows = self._con.execute(sql("names", "techniques")).fetchall()
        return tuple(str(name) for _, name, *_ in rows)

    def newest_team(self, person_id: int) -> tuple[str, str, str] | None:
        """League, season and team of a person's newest game."""
        rows = self._rows("newest", {"person_id": person_id})
        return (str(rows[0][0]), str(rows[0][1]), str(rows[0][2])) if rows else None

    def _rows(self, name: str, values: dict[str, Any] | None = None) -> list[tuple[Any, ...]]:
        return self._con.execute(sql("reads/scoresheet", name), values or {}).fetchall()


def _grouped(rows: list[tuple[Any, ...]]) -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    for league, name in rows:
        found.setdefault(str(league), []).append(str(name))
    return {league: tuple(names) for league, names in found.items()}
