"""What a ledger holds: the facts of the first screen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class LeagueSeason:
    """What there is of one league, season and kind of shot; practice is not in it."""

    league: str
    season: str
    start_year: int
    shot: str
    attempts: int
    tagged: int
    players: int


@dataclass(frozen=True, slots=True)
class Rumour:
    """What raised the question, as it was stored."""

    text: str
    season: str
    league: str | None
    player: str | None
    seen: date | None
    place: str | None


@dataclass(frozen=True, slots=True)
class SourceLine:
    """One source in a line; `when` is UTC, `2025-03-01 12:00:00`."""

    number: int
    file: str
    kind: str
    rows: int
    stored: int
    rejected: int
    who: str
    when: str
    taken_back: bool


@dataclass(frozen=True, slots=True)
class LeagueHeld:
    """What there is of one league and kind of shot.

    Attributes:
        league: its name.
        shot: the kind of shot.
        attempts: attempts of all seasons.
        tagged: those of them with an agreed technique.
        seasons: its seasons in order of year.
    """

    league: str
    shot: str
    attempts: int
    tagged: int
    seasons: tuple[LeagueSeason, ...]

    @property
    def coverage(self) -> float:
        """Tagged attempts of all, 0 to 1."""
        return self.tagged / self.attempts if self.attempts else 0.0


@dataclass(frozen=True, slots=True)
class Contents:
    """What a ledger holds.

    Attributes:
        leagues: league-seasons by kind of shot, in order of league and year.
        attempts: attempts of games, all shots.
        tagged: those of them with an agreed technique.
        practice: attempts of practice.
        totals: rows of season totals.
        players: persons, spellings that are one counted once.
        games: games, practice aside.
        sources: sources, those taken back included.
        last_sources: the newest first.
        rumours: what raised the question, in the order it was stored.
        changes: how often the ledger was changed; tells whether anything is new.
        last_change: when, in UTC, or None.
    """

    leagues: tuple[LeagueSeason, ...]
    attempts: int
    tagged: int
    practice: int
    totals: int
    players: int
    games: int
    sources: int
    last_sources: tuple[SourceLine, ...]
    rumours: tuple[Rumour, ...]
    changes: int
    last_change: str | None

    @property
    def coverage(self) -> float:
        """Tagged attempts of all, 0 to 1."""
        return self.tagged / self.attempts if self.attempts else 0.0

    def by_league(self) -> tuple[LeagueHeld, ...]:
        """The league-seasons of each league and kind of shot together, in their order."""
        found: dict[tuple[str, str], list[LeagueSeason]] = {}
        for row in self.leagues:
            found.setdefault((row.league, row.shot), []).append(row)
        return tuple(
            LeagueHeld(
                league,
                shot,
                sum(row.attempts for row in rows),
                sum(row.tagged for row in rows),
                tuple(sorted(rows, key=lambda row: row.start_year)),
            )
            for (league, shot), rows in found.items()
        )
