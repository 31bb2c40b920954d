"""Shortlists: players to keep an eye on. What is dropped stays, with the day it was dropped."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ledger.errors import UseError
from ledger.store import journal
from ledger.store.journal import Hand
from ledger.store.names import Named, find_player, tidy, written_form
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_LONGEST_NAME = 200


@dataclass(frozen=True, slots=True)
class Listing:
    """What came of adding players to a shortlist, or dropping them."""

    name: str
    changed: tuple[Named, ...]
    unchanged: tuple[Named, ...]
    dropped: bool = False

    def words(self) -> str:
        """What was done, in a sentence."""
        deed, rest = ("dropped from", "not on it") if self.dropped else ("put on", "on it already")
        names = ", ".join(p.name for p in self.changed) or "nobody"
        also = f"; {rest}: {', '.join(p.name for p in self.unchanged)}" if self.unchanged else ""
        return f"{names} {deed} {self.name}{also}"


def list_add(
    con: DuckDBPyConnection,
    hand: Hand,
    name: str,
    players: Sequence[str],
    *,
    league: str | None = None,
    note: str | None = None,
    source_id: int | None = None,
) -> Listing:
    """Put players on a shortlist, which is made if there is none of that name.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        name: the shortlist's name, told from others without case.
        players: names of players.
        league: the league they are looked for in.
        note: a note kept with each of them.
        source_id: the source that brought them.

    Raises:
        UseError: if a name is not one player, or the list's name is a lot's.
    """
    found = [find_player(con, p, league) for p in players]
    shortlist = _shortlist(con, name) or _new_shortlist(con, hand, name)
    there = _entries(con, shortlist)
    changed, unchanged = [], []
    for player in dict.fromkeys(found):
        row = {"shortlist_id": shortlist.id, "player_id": player.id, "note": note}
        if player.id not in there:
            more = {"source_id": source_id, "at_time": hand.clock()}
            con.execute(sql("registers", "add_entry"), {**row, **more})
            _journal_entry(con, hand, shortlist, player, "list add", None, note or "")
            changed.append(player)
            continue
        row["player_id"] = there[player.id]
        old = con.execute(
            sql("registers", "entry"), {k: row[k] for k in ("shortlist_id", "player_id")}
        ).fetchone()
        if note and old and old[0] != note:
            con.execute(sql("registers", "note_entry"), row)
            _journal_entry(con, hand, shortlist, player, "list note", old[0], note)
            changed.append(player)
        else:
            unchanged.append(player)
    return Listing(shortlist.name, tuple(changed), tuple(unchanged))


def list_drop(
    con: DuckDBPyConnection,
    hand: Hand,
    name: str,
    players: Sequence[str],
    *,
    league: str | None = None,
) -> Listing:
    """Take players off a shortlist; the entry is kept with the day it was dropped.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        name: the shortlist's name.
        players: names of players.
        league: the league they are looked for in.

    Raises:
        UseError: if there is no such shortlist, or a name is not one player.
    """
    found = [find_player(con, p, league) for p in players]
    shortlist = _shortlist(con, name)
    if shortlist is None:
        raise UseError(
            f"there is no shortlist {name!r}: offglass list {name!r} add PLAYER makes it"
        )
    there = _entries(con, shortlist)
    changed, unchanged = [], []
    for player in dict.fromkeys(found):
        if player.id not in there:
            unchanged.append(player)
            continue
        row = {"shortlist_id": shortlist.id, "player_id": there[player.id]}
        con.execute(sql("registers", "drop_entry"), {**row, "at_time": hand.clock()})
        _journal_entry(con, hand, shortlist, player, "list drop", player.name, None)
        changed.append(player)
    return Listing(shortlist.name, tuple(changed), tuple(unchanged), dropped=True)


def new_list_name(con: DuckDBPyConnection, name: str) -> str:
    """A name for a new shortlist or lot: both are asked for by `--list`, so no two share one.

    Raises:
        UseError: if it is taken or cannot be one.
    """
    called = tidy(name)
    if not called or len(called) > _LONGEST_NAME:
        raise UseError(f"a list needs a name of 1 to {_LONGEST_NAME} letters")
    for _, other, _, kind in con.execute(sql("names", "lists")).fetchall():
        if written_form(str(other)) == written_form(called):
            raise UseError(f"there is already a {kind} {other!r}: choose another name")
    return called


def next_id(con: DuckDBPyConnection, statement: str) -> int:
    """The id the next row of a register gets."""
    found = con.execute(sql("registers", statement)).fetchone()
    assert found is not None
    return int(found[0])


def _new_shortlist(con: DuckDBPyConnection, hand: Hand, name: str) -> Named:
    called = new_list_name(con, name)
    number = next_id(con, "next_shortlist")
    con.execute(
        sql("registers", "add_shortlist"),
        {"id": number, "name": called, "at_time": hand.clock()},
    )
    return Named(number, called, "shortlist")


def _shortlist(con: DuckDBPyConnection, name: str) -> Named | None:
    form = written_form(name)
    for number, called, _, kind in con.execute(sql("names", "lists")).fetchall():
        if written_form(str(called)) == form:
            if kind == "lot":
                raise UseError(
                    f"{called!r} is a lot, drawn once and left as it is: use another name"
                )
            return Named(int(number), str(called), "shortlist")
    return None


def _entries(con: DuckDBPyConnection, shortlist: Named) -> dict[int, int]:
    rows = con.execute(
        sql("registers", "people_of_entries"), {"shortlist_id": shortlist.id}
    ).fetchall()
    return {int(person): int(player) for player, person in rows}


def _journal_entry(
    con: DuckDBPyConnection,
    hand: Hand,
    shortlist: Named,
    player: Named,
    action: str,
    old: str | None,
    new: str | None,
) -> None:
    journal.record(
        con, hand.clock, hand.who, action, table="shortlist_entry", row_id=player.id,
        field=shortlist.name, old=old, new=new,
    )  # fmt: skip
