"""Queues of attempts to watch: which, in what order, and how they came about.

A queue tells nothing of what anybody has seen of an attempt: a second opinion is given blind.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

from ledger.cohort import Cohort
from ledger.errors import UseError
from ledger.questions import registry, watchlist
from ledger.store.names import did_you_mean, loose_form
from ledger.store.reads import Reads
from ledger.store.reads.film import FilmReads, Queue

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.reads.film import ToWatch, VideoTime

SECOND = "second"
# How a queue came about, as its tags tell it: picked, or picked by result. Lots are drawn and say
# nothing; a second opinion is as the first one was.
PICKED_FOR = {
    "watchlist": "watch list",
    "lot": "",
    SECOND: "",
    "game": "game",
    "player": "player",
    "misses": "result",
    "unwatched": "in order",
}
KINDS = tuple(PICKED_FOR)
_LOTS_OFFERED = 20
_GAMES_OFFERED = 200
_WORDS = {
    "watchlist": "The watch list",
    SECOND: "Second opinions, drawn by chance",
    "misses": "Misses only, for where they go",
    "unwatched": "Everything nobody has watched",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Which queue is meant.

    Attributes:
        kind: one of `KINDS`.
        cohort: which attempts; a lot has its own.
        name: of the lot.
        player: of the player.
        game: its number, or what it is called, told apart by `day` and `league`.
        day: the day of the game.
        league: the league of the game, or of the player.
        later: numbers of attempts that are left for later.
        most: so many at a time.
        focus: techniques that are studied, for the watch list.
    """

    kind: str
    cohort: Cohort
    name: str | None = None
    player: str | None = None
    game: int | str | None = None
    day: date | None = None
    league: str | None = None
    later: tuple[int, ...] = ()
    most: int
    focus: Sequence[str] | None = None


@dataclass(frozen=True, slots=True)
class Film:
    """A queue of attempts to watch, as far as it was fetched.

    Attributes:
        kind: one of `KINDS`.
        words: what it is, for people.
        attempts: the first of those left, in order.
        left: how many are left in all.
        done: how many of it this person has tagged.
        today: how many tags of this person of today count.
        techniques: the ledger's techniques in their order.
        on_board: those of them that use the board.
        times: where on film this person found attempts of these games.
        tagger: who watches.
    """

    kind: str
    words: str
    attempts: tuple[ToWatch, ...]
    left: int
    done: int
    today: int
    techniques: tuple[str, ...]
    on_board: frozenset[str]
    times: tuple[VideoTime, ...]
    tagger: str

    def without(self, numbers: Collection[int]) -> Film:
        """The same where some of its attempts, by their numbers, were tagged since."""
        kept = tuple(a for a in self.attempts if a.attempt not in numbers)
        many = len(self.attempts) - len(kept)
        return replace(
            self, attempts=kept, left=self.left - many, done=self.done + many,
            today=self.today + many,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Offered:
    """A queue that could be watched.

    Attributes:
        kind: one of `KINDS`.
        which: what has to be told beside it.
        words: what it is, for people.
        left: how many attempts are left, or None where that was not counted.
    """

    kind: str
    which: Mapping[str, str]
    words: str
    left: int | None = None


@dataclass(frozen=True, slots=True)
class GameToWatch:
    """A game with attempts that nobody has watched.

    Attributes:
        game_id: its number.
        words: what it is, for people.
        attempts: how many.
    """

    game_id: int
    words: str
    attempts: int


@dataclass(frozen=True, slots=True)
class _Found:
    words: str
    numbers: Sequence[int]
    left: int
    done: int = 0


def film(con: DuckDBPyConnection, asked: Asked, who: str, now: datetime) -> Film:
    """A queue for one person.

    Args:
        con: as `LedgerFile.reading()` gives it.
        asked: which queue.
        who: the person.
        now: UTC.

    Raises:
        UseError: for an unknown kind or name.
    """
    if asked.kind not in PICKED_FOR:
        raise UseError(f"there is no queue {asked.kind!r}: use {', '.join(KINDS)}")
    reads, of_film = Reads(con), FilmReads(con, who)
    if asked.kind == "watchlist":
        found = _of_watchlist(con, of_film, asked)
    elif asked.kind == SECOND:
        found = _second(reads, asked.cohort, who, asked.later)
    else:
        cohort, queue, words = _queue(of_film, asked)
        where = reads.scope(cohort)
        left, done = of_film.counts(where, queue)
        found = _Found(words, of_film.first(where, queue, asked.most), left, done)
    attempts = of_film.told(found.numbers[: asked.most])
    known = reads.names.rows("techniques")
    return Film(
        kind=asked.kind,
        words=_of_game(attempts, asked.game) if asked.kind == "game" else found.words,
        attempts=tuple(attempts),
        left=found.left,
        done=found.done,
        today=of_film.since(_midnight(now)),
        techniques=tuple(str(row["name"]) for row in known),
        on_board=frozenset(str(row["name"]) for row in known if row["uses_board"]),
        times=tuple(of_film.times(sorted({a.game_id for a in attempts}))),
        tagger=who,
    )


def offered(con: DuckDBPyConnection, cohort: Cohort, who: str) -> list[Offered]:
    """The queues there are for a person: watch list, second opinions, lots, misses, everything."""
    reads, of_film = Reads(con), FilmReads(con, who)
    owed = _second(reads, cohort, who, ())
    out = [
        Offered("watchlist", {}, "What to watch next, as the watch list has it"),
        Offered(SECOND, {}, owed.words, owed.left),
    ]
    asked = [
        Asked(kind="lot", cohort=cohort, name=name, most=0)
        for _, name, _, _ in of_film.lots()[:_LOTS_OFFERED]
    ]
    asked += [Asked(kind=kind, cohort=cohort, most=0) for kind in ("misses", "unwatched")]
    for one in asked:
        meant, queue, words = _queue(of_film, one)
        which = {"name": one.name} if one.name else {}
        left = of_film.counts(reads.scope(meant), queue)[0]
        out.append(Offered(one.kind, which, words, left))
    return out


def games(con: DuckDBPyConnection, cohort: Cohort, who: str) -> list[GameToWatch]:
    """The games with attempts that nobody has watched, the newest first, at most 200."""
    rows = FilmReads(con, who).games(Reads(con).scope(cohort), _GAMES_OFFERED)
    return [
        GameToWatch(int(row["game_id"]), _game_words(**row), int(row["attempts"])) for row in rows
    ]


def _queue(of_film: FilmReads, asked: Asked) -> tuple[Cohort, Queue, str]:
    """Which attempts, as a cohort and what a cohort cannot say, and what the queue is called."""
    if asked.kind == "lot":
        return _of_lot(of_film, asked.name or "", asked.later)
    if asked.kind == "game":
        number = _game(of_film, asked)
        return asked.cohort, Queue(game=number, again=True, later=asked.later), ""
    cohort = asked.cohort
    if asked.league:
        cohort = cohort.with_filters(league=asked.league)
    if asked.player:
        cohort = cohort.with_filters(player=asked.player)
    whom = ", ".join(cohort.player)
    if asked.kind == "player":
        if not whom:
            raise UseError("say whom to watch: player=NAME")
        return cohort, Queue(later=asked.later), f"{whom}: what nobody has watched"
    words = _WORDS[asked.kind] + (f": {whom}" if whom else "")
    return cohort, Queue(misses=asked.kind == "misses", later=asked.later), words


def _of_lot(of_film: FilmReads, name: str, later: tuple[int, ...]) -> tuple[Cohort, Queue, str]:
    lots = of_film.lots()
    found = [lot for lot in lots if loose_form(lot[1]) == loose_form(name)]
    if not found:
        near = did_you_mean(name, [lot[1] for lot in lots]) or ": offglass lot draws one"
        raise UseError(f"the ledger has no lot {name!r}{near}")
    number, called, league, season = found[0]
    cohort = Cohort.of(league=league, season=season)
    return cohort, Queue(lot=number, later=later), f"Lot {called}: {league}, {season}"


def _of_watchlist(con: DuckDBPyConnection, of_film: FilmReads, asked: Asked) -> _Found:
    inquiry = registry.inquiry("watchlist", con, asked.cohort, asked.focus)
    planned = watchlist.queue(inquiry)
    if planned.is_empty():
        return _Found(_WORDS["watchlist"], [], 0)
    numbers = of_film.of_list(inquiry.games_only().scope, planned, asked.later)
    return _Found(_WORDS["watchlist"], numbers, len(numbers))


def _second(reads: Reads, cohort: Cohort, who: str, later: tuple[int, ...]) -> _Found:
    owed = reads.watching.second(reads.scope(cohort)).select("attempt", "tagger")
    mine = who.strip().casefold()
    others = [int(n) for n, first in owed.iter_rows() if first.strip().casefold() != mine]
    numbers = [number for number in others if number not in later]
    return _Found(_WORDS[SECOND], numbers, len(numbers))


def _game(of_film: FilmReads, asked: Asked) -> int:
    """The number of the game that is meant."""
    if isinstance(asked.game, int):
        return asked.game
    if not asked.game:
        raise UseError("say which game to watch: game=NUMBER or its name")
    found = of_film.games_named(asked.game, asked.day, asked.league)
    if len(found) != 1:
        said = "there is no game" if not found else f"{len(found)} games are called"
        raise UseError(f"{said} {asked.game!r}: name its day and league, or its number")
    return found[0]


def _of_game(attempts: Sequence[ToWatch], game: int | str | None) -> str:
    if not attempts:
        return f"Game {game}"
    one = attempts[0]
    return _game_words(one.game, one.date, one.home, one.away)


def _game_words(game: str, date: date, home: str | None, away: str | None, **_: object) -> str:
    sides = f"{home} - {away}" if home and away else ""
    return ", ".join(part for part in (game, sides if sides != game else "", str(date)) if part)


def _midnight(now: datetime) -> datetime:
    """When this day began where the person is, as the ledger keeps times."""
    here = now.replace(tzinfo=UTC).astimezone()
    began = here.replace(hour=0, minute=0, second=0, microsecond=0)
    return began.astimezone(UTC).replace(tzinfo=None)
