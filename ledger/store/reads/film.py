"""The attempts one person is to watch, one after another, and where on the film they may be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from ledger.store import frames
from ledger.store.statements import sql

if TYPE_CHECKING:
    import polars as pl
    from duckdb import DuckDBPyConnection

    from ledger.store.reads.scope import Scope


@dataclass(frozen=True, slots=True)
class ToWatch:
    """One attempt to watch; nothing that anybody has seen of it.

    Attributes:
        attempt: the ledger's number.
        game_id: the number of the game.
        game: what it is called.
        date: its day.
        league: its league.
        season: its season.
        home: the home team, where it is known.
        away: the other one.
        video: where the film is, if it is said.
        period: of the game.
        clock_s: seconds left in it.
        team: the shooter's.
        player: the shooter.
        number: on his shirt.
        made: the recorded result.
        shot: free_throw, two or three.
        trip_shot: the how manieth of its visit to the line.
        trip_of: of how many.
        trip_kind: what the visit was for.
        live: of a miss, whether its rebound was contested; nothing where that is not known.
    """

    attempt: int
    game_id: int
    game: str
    date: date
    league: str
    season: str
    home: str | None
    away: str | None
    video: str | None
    period: int | None
    clock_s: float | None
    team: str
    player: str
    number: str | None
    made: bool
    shot: str
    trip_shot: int | None
    trip_of: int | None
    trip_kind: str | None
    live: bool | None


@dataclass(frozen=True, slots=True)
class VideoTime:
    """Where on the film a moment of a game was found.

    Attributes:
        game_id: the game.
        period: of the game.
        clock_s: seconds left in it.
        video_s: seconds of the film.
    """

    game_id: int
    period: int
    clock_s: float
    video_s: float


@dataclass(frozen=True, slots=True)
class Queue:
    """What is to be watched.

    Attributes:
        game: only of a game, by its number.
        lot: only of the players of a lot, by its number, in its order.
        misses: only misses.
        again: also what others have watched.
        later: attempts that are left for later, by their numbers.
    """

    game: int | None = None
    lot: int | None = None
    misses: bool = False
    again: bool = False
    later: tuple[int, ...] = ()


# What a sitting of watching is called in the list of sources, before what is watched.
WATCHING = "watching"


class FilmReads:
    """The reads of watching, for one person.

    Args:
        connection: as `LedgerFile.reading()` gives it, its views in place.
        tagger: who watches: what he has a tag of is not offered to him.
    """

    def __init__(self, connection: DuckDBPyConnection, tagger: str) -> None:
        self._con = connection
        self._tagger = tagger

    def counts(self, where: Scope, queue: Queue) -> tuple[int, int]:
        """How many attempts of a queue are left, and how many this person has done."""
        text = self._of_queue(where, "counts")
        left, done = self._rows(text, self._bound(where, text, queue))[0]
        return int(left), int(done)

    def first(self, where: Scope, queue: Queue, most: int) -> list[int]:
        """The numbers of the first attempts of a queue."""
        text = self._of_queue(where, "first")
        return [int(i) for (i,) in self._rows(text, self._bound(where, text, queue, most=most))]

    def of_list(self, where: Scope, planned: pl.DataFrame, later: Sequence[int]) -> list[int]:
        """The unwatched attempts of games and players (`game_id, person_id, place`), in order."""
        text = where.statement(sql("reads/film", "of_list"))
        with frames.lent(self._con, planned=planned):
            rows = self._rows(text, where.bound(text, later=list(later)))
        return [int(i) for (i,) in rows]

    def told(self, numbers: Sequence[int]) -> list[ToWatch]:
        """What is to be known of attempts before they are watched, in the order of the numbers."""
        done = self._con.execute(sql("reads/film", "told"), {"ids": list(numbers)})
        names = [column[0] for column in done.description or ()]
        found = {row[0]: ToWatch(**dict(zip(names, row, strict=True))) for row in done.fetchall()}
        return [found[number] for number in numbers if number in found]

    def times(self, games: Sequence[int]) -> list[VideoTime]:
        """The places on film that this person has typed for some games, oldest first."""
        values = {"tagger": self._tagger, "games": list(games)}
        return [VideoTime(*row) for row in self._rows(sql("reads/film", "times"), values)]

    def since(self, moment: datetime) -> int:
        """How many tags of this person count since a moment (UTC), of those watched one by one."""
        values = {"tagger": self._tagger, "since": moment, "watching": WATCHING}
        return int(self._rows(sql("reads/film", "today"), values)[0][0])

    def lots(self) -> list[tuple[int, str, str, str]]:
        """`id, name, league, season` of the lots, the newest first."""
        return self._rows(sql("reads/film", "lots"), {})

    def games(self, where: Scope, most: int) -> list[dict[str, Any]]:
        """`game_id, game, date, league, home, away, attempts` of games with unwatched ones."""
        text = where.statement(sql("reads/film", "games"))
        done = self._con.execute(text, where.bound(text, most=most))
        names = [column[0] for column in done.description or ()]
        return [dict(zip(names, row, strict=True)) for row in done.fetchall()]

    def games_named(self, game: str, day: date | None, league: str | None) -> list[int]:
        """The numbers of the games of that name, day and league."""
        values = {"game": game, "date": day, "league": league}
        return [int(i) for (i,) in self._rows(sql("reads/film", "game_named"), values)]

    def _of_queue(self, where: Scope, what: str) -> str:
        return "\n".join((where.statement(sql("reads/film", "queue")), sql("reads/film", what)))

    def _bound(self, where: Scope, text: str, queue: Queue, **more: Any) -> dict[str, Any]:
        values: dict[str, Any] = {"game": queue.game, "lot": queue.lot, "misses": queue.misses}
        values |= {"again": queue.again, "later": list(queue.later), "tagger": self._tagger}
        return where.bound(text, **values, **more)

    def _rows(self, text: str, values: dict[str, Any]) -> list[Any]:
        return self._con.execute(text, values).fetchall()
