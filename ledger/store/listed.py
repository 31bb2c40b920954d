"""What was written down about players, as it stands: lists, lots, the rumour, consents."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from ledger.store.notes import Decision, decisions
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection


@dataclass(frozen=True, slots=True)
class OnList:
    """A player on a shortlist.

    Attributes:
        player: his name.
        league: his league.
        note: what was written when he was put on it, or None.
        put: when, UTC.
        who: by whom, or None.
        source: what to take back, or None.
        decision: the last that was decided about him, or None.
    """

    player: str
    league: str
    note: str | None
    put: datetime
    who: str | None
    source: int | None
    decision: Decision | None


@dataclass(frozen=True, slots=True)
class Shortlist:
    """A shortlist with those who are on it, in the order they were put there."""

    name: str
    made: datetime
    players: tuple[OnList, ...]


@dataclass(frozen=True, slots=True)
class Drawn:
    """A player of a lot, and how far he is watched.

    Attributes:
        place: his place in the order of watching.
        player: his name.
        league: his league.
        attempts: free throws in games of the lot's league and season.
        watched: those with an agreed technique that was not picked by its result.
        unwatched: those that nobody has looked at.
    """

    place: int
    player: str
    league: str
    attempts: int
    watched: int
    unwatched: int

    @property
    def unclear(self) -> int:
        """Those looked at without a technique that counts: cannot tell, disputed, picked."""
        return self.attempts - self.watched - self.unwatched


@dataclass(frozen=True, slots=True)
class HeldLot:
    """A saved random list.

    Attributes:
        name: as typed.
        league: the league it was drawn in.
        season: the season.
        seed: what draws the same list again.
        frame: how many players it was drawn from.
        who: who drew it.
        at_time: when, UTC.
        source: what to take back, or None.
        players: those drawn, in the order to watch them.
    """

    name: str
    league: str
    season: str
    seed: int
    frame: int
    who: str
    at_time: datetime
    source: int | None
    players: tuple[Drawn, ...]

    @property
    def attempts(self) -> int:
        """Free throws of all who were drawn."""
        return sum(player.attempts for player in self.players)

    @property
    def unwatched(self) -> int:
        """Those that nobody has looked at."""
        return sum(player.unwatched for player in self.players)

    @property
    def done(self) -> int:
        """Players of whom nothing is left to watch."""
        return sum(not player.unwatched for player in self.players)


@dataclass(frozen=True, slots=True)
class HeldRumour:
    """What raised the question.

    Attributes:
        text: the rumour in a sentence.
        season: the season it is about.
        league: its league, or None.
        player: who was noticed, or None.
        seen: the day, or None.
        place: where, or None.
        who: who wrote it down.
        at_time: when, UTC.
        source: what to take back, or None.
    """

    text: str
    season: str
    league: str | None
    player: str | None
    seen: date | None
    place: str | None
    who: str
    at_time: datetime
    source: int | None


@dataclass(frozen=True, slots=True)
class HeldConsent:
    """Somebody's yes to records of practice.

    Attributes:
        player: whose practice.
        league: his league.
        given_by: player or guardian.
        given_on: the first day it holds for.
        until: the last one, or None.
        purpose: what for.
        who: who wrote it down.
        at_time: when, UTC.
        source: what to take back, or None.
    """

    player: str
    league: str
    given_by: str
    given_on: date
    until: date | None
    purpose: str
    who: str
    at_time: datetime
    source: int | None

    def holds(self, on: date) -> bool:
        """Whether records of that day may be stored by it."""
        return self.given_on <= on and (self.until is None or on <= self.until)


def shortlists(con: DuckDBPyConnection) -> list[Shortlist]:
    """All shortlists in the order they were made, with those who are on them now."""
    decided = {d.person_id: d for d in decisions(con) if d.stands}
    entries = _rows(con, "entries")
    return [
        Shortlist(
            row["name"],
            row["at_time"],
            tuple(
                OnList(
                    e["player"], e["league"], e["note"], e["put"], e["who"], e["source"],
                    decided.get(e["person_id"]),
                )
                for e in entries
                if e["shortlist_id"] == row["id"]
            ),
        )
        for row in _rows(con, "shortlists")
    ]  # fmt: skip


def lots(con: DuckDBPyConnection) -> list[HeldLot]:
    """All lots in the order they were drawn."""
    held = _rows(con, "lots")
    # Counting what is watched looks at every attempt.
    drawn = _rows(con, "drawn") if held else []
    out = []
    for row in held:
        number = row.pop("id")
        players = [dict(d) for d in drawn if d["lot_id"] == number]
        for player in players:
            del player["lot_id"]
        out.append(HeldLot(**row, players=tuple(Drawn(**player) for player in players)))
    return out


def rumours(con: DuckDBPyConnection) -> list[HeldRumour]:
    """What raised the question, in the order it was written down."""
    return [HeldRumour(**row) for row in _rows(con, "rumours")]


def consents(con: DuckDBPyConnection) -> list[HeldConsent]:
    """All consents by their first day."""
    return [HeldConsent(**row) for row in _rows(con, "consents")]


def _rows(con: DuckDBPyConnection, name: str) -> list[dict[str, Any]]:
    done = con.execute(sql("reads/listing", name))
    names = [column[0] for column in done.description or ()]
    return [dict(zip(names, row, strict=True)) for row in done.fetchall()]
