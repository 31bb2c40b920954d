"""What a number cannot say, and what was decided: notes and decisions about players."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from ledger.errors import UseError
from ledger.store import changes
from ledger.store.names import find_league, find_player, tidy
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

CHOICES = ("try", "wait", "stop")
_LONGEST = 10_000


@dataclass(frozen=True, slots=True)
class Note:
    """What somebody wrote about a player, or about nobody in particular.

    Attributes:
        number: its row.
        player: the player's name, or None.
        league: his league, or None.
        date: the day it is about, or None.
        text: what was written.
        who: by whom.
        at_time: when it was written, UTC.
        source: what to take back, or None.
    """

    number: int
    player: str | None
    league: str | None
    date: date | None
    text: str
    who: str
    at_time: datetime
    source: int | None


@dataclass(frozen=True, slots=True)
class Decision:
    """What was decided about a player.

    Attributes:
        number: its row.
        player: the player's name.
        league: his league.
        choice: try, wait or stop.
        why: the reason.
        review: when to look again, or None.
        who: by whom.
        at_time: when, UTC.
        source: what to take back, or None.
        person_id: whom it is about (`live_attempt.person_id`).
        stands: whether no later decision is about him.
    """

    number: int
    player: str
    league: str
    choice: str
    why: str
    review: date | None
    who: str
    at_time: datetime
    source: int | None
    person_id: int
    stands: bool

    def due(self, on: date) -> bool:
        """Whether it is to be looked at again by that day."""
        return self.stands and self.review is not None and self.review <= on


def add_note(
    con: DuckDBPyConnection,
    hand: Hand,
    text: str,
    *,
    player: str | None = None,
    league: str | None = None,
    day: date | None = None,
) -> tuple[int, str]:
    """Write a note down.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        text: the note.
        player: whom it is about.
        league: the league he is looked for in.
        day: the day it is about.

    Returns:
        The source that holds it, and the player's name as the ledger has it, or nothing.

    Raises:
        UseError: for an empty text or an unknown player or league.
    """
    said = _text(text, "a note", "offglass note --player P TEXT")
    within = find_league(con, league).id if league else None
    of = find_player(con, player, within) if player else None
    source_id = changes.begin(con, hand, "note", f"{of.name}: {said}" if of else said)
    number = changes.next_id(con, "note")
    row = {"id": number, "player_id": of.id if of else None, "date": day, "text": said}
    con.execute(sql("notes", "add_note"), row | {"who": hand.who, "at_time": hand.clock()})
    changes.added(con, hand, source_id, "note", number)
    return source_id, of.name if of else ""


def decide(
    con: DuckDBPyConnection,
    hand: Hand,
    player: str,
    choice: str,
    *,
    why: str,
    review: date | None = None,
    league: str | None = None,
) -> tuple[int, str]:
    """Write down what was decided about a player.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        player: whom it is about.
        choice: one of `CHOICES`.
        why: the reason.
        review: when to look again.
        league: the league he is looked for in.

    Returns:
        The source that holds it, and the player's name as the ledger has it.

    Raises:
        UseError: for another choice, no reason, or an unknown player or league.
    """
    if choice not in CHOICES:
        raise UseError(f"{choice!r} is no decision: use {', '.join(CHOICES)}")
    reason = _text(why, "a decision", "--why TEXT")
    within = find_league(con, league).id if league else None
    of = find_player(con, player, within)
    source_id = changes.begin(con, hand, "decision", f"{of.name}: {choice}")
    number = changes.next_id(con, "decision")
    row = {"id": number, "player_id": of.id, "choice": choice, "why": reason, "review": review}
    con.execute(sql("notes", "add_decision"), row | {"who": hand.who, "at_time": hand.clock()})
    changes.added(con, hand, source_id, "decision", number, reason)
    return source_id, of.name


def notes(con: DuckDBPyConnection, person_id: int | None = None) -> list[Note]:
    """Notes in the order they were written: of one person (`live_attempt.person_id`), or all."""
    asked = {"person_id": person_id}
    return [Note(*row) for row in con.execute(sql("notes", "notes"), asked).fetchall()]


def decisions(con: DuckDBPyConnection, person_id: int | None = None) -> list[Decision]:
    """Decisions in the order they were made: of one person, or all."""
    asked = {"person_id": person_id}
    return [Decision(*row) for row in con.execute(sql("notes", "decisions"), asked).fetchall()]


def told(con: DuckDBPyConnection, person_id: int | None = None) -> list[dict[str, Any]]:
    """Notes and decisions as rows of one list, in the order they were written."""
    rows = [
        {
            "source": n.source,
            "player": n.player,
            "league": n.league,
            "date": n.date,
            "said": n.text,
            "why": None,
            "who": n.who,
            "when": n.at_time,
        }
        for n in notes(con, person_id)
    ]
    rows += [
        {
            "source": d.source,
            "player": d.player,
            "league": d.league,
            "date": d.review,
            "said": d.choice,
            "why": d.why,
            "who": d.who,
            "when": d.at_time,
        }
        for d in decisions(con, person_id)
    ]
    return sorted(rows, key=lambda row: (row["when"], row["source"] or 0))


def _text(text: str, what: str, how: str) -> str:
    said = tidy(text)
    if not said or len(said) > _LONGEST:
        raise UseError(f"{what} needs a text of 1 to {_LONGEST} letters: {how}")
    return said
