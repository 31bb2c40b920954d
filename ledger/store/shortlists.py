"""Shortlists: players to keep an eye on. What is dropped stays, with the day it was dropped."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ledger.errors import UseError
from ledger.store import changes
from ledger.store.journal import Hand
from ledger.store.names import Named, find_list, find_player, tidy, written_form
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
) -> Listing:
    """Put players on a shortlist, which is made if there is none of that name.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        name: the shortlist's name, told from others without case.
        players: names of players.
        league: the league they are looked for in.
        note: a note kept with each of them.

    Raises:
        UseError: if a name is not one player, or the list's name is a lot's.
    """
    found = list(dict.fromkeys(find_player(con, p, league) for p in players))
    shortlist = _shortlist(con, name)
    there = _entries(con, shortlist) if shortlist else {}
    fresh = [p for p in found if p.id not in there]
    noted = [p for p in found if p.id in there and note and there[p.id]["note"] != note]
    if shortlist is None or fresh or noted:
        what = (
            f"{shortlist.name if shortlist else tidy(name)}: {_named([*fresh, *noted])} put on it"
        )
        source_id = changes.begin(con, hand, "list", what)
        shortlist = _kept_shortlist(con, hand, source_id, shortlist, name)
        for player in fresh:
            _add(con, hand, source_id, shortlist, player, note)
        for player in noted:
            with _changing(con, hand, source_id, there[player.id], "list note"):
                row = {"shortlist_id": shortlist.id, "player_id": there[player.id]["player_id"]}
                con.execute(sql("registers", "note_entry"), {**row, "note": note})
    changed = [p for p in found if p in fresh or p in noted]
    return Listing(shortlist.name, tuple(changed), tuple(p for p in found if p not in changed))


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
    asked = list(dict.fromkeys(found))
    changed = [p for p in asked if p.id in there]
    if changed:
        what = f"{shortlist.name}: {_named(changed)} dropped from it"
        source_id = changes.begin(con, hand, "list", what)
    for player in changed:
        with _changing(con, hand, source_id, there[player.id], "list drop"):
            row = {"shortlist_id": shortlist.id, "player_id": there[player.id]["player_id"]}
            con.execute(sql("registers", "drop_entry"), {**row, "at_time": hand.clock()})
    unchanged = [p for p in asked if p.id not in there]
    return Listing(shortlist.name, tuple(changed), tuple(unchanged), dropped=True)


def players_of_list(con: DuckDBPyConnection, name: str) -> list[dict[str, Any]]:
    """The players on a shortlist or a lot, in order: `player`, `league`, `note`.

    Raises:
        UseError: if there is no such list.
    """
    found = find_list(con, name)
    rows = con.execute(sql("registers", f"players_of_{found.place}"), {"id": found.id}).fetchall()
    return [dict(zip(("player", "league", "note"), row, strict=True)) for row in rows]


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


def _kept_shortlist(
    con: DuckDBPyConnection, hand: Hand, source_id: int, there: Named | None, name: str
) -> Named:
    """The shortlist, made if there is none; in either case this source asks for it."""
    if there is not None:
        rows = changes.held(con, "shortlist", {"id": there.id})
        changes.changed(con, hand, source_id, "shortlist", {"id": there.id}, rows, action="list")
        return there
    called = new_list_name(con, name)
    number = changes.next_id(con, "shortlist")
    con.execute(
        sql("registers", "add_shortlist"),
        {"id": number, "name": called, "at_time": hand.clock()},
    )
    changes.changed(con, hand, source_id, "shortlist", {"id": number}, [], action="list")
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


def _entries(con: DuckDBPyConnection, shortlist: Named) -> dict[int, dict[str, Any]]:
    """The entries of a shortlist that stand, by person."""
    found = con.execute(sql("registers", "people_of_entries"), {"shortlist_id": shortlist.id})
    names = [d[0] for d in found.description or []]
    rows = [dict(zip(names, row, strict=True)) for row in found.fetchall()]
    return {int(row.pop("person_id")): row for row in rows}


def _add(
    con: DuckDBPyConnection,
    hand: Hand,
    source_id: int,
    shortlist: Named,
    player: Named,
    note: str | None,
) -> None:
    key: dict[str, Any] = {"shortlist_id": shortlist.id, "player_id": player.id}
    key |= {"source_id": source_id, "at_time": hand.clock()}
    con.execute(sql("registers", "add_entry"), {**key, "note": note})
    changes.changed(con, hand, source_id, "shortlist_entry", key, [], action="list add")


@contextmanager
def _changing(
    con: DuckDBPyConnection, hand: Hand, source_id: int, entry: dict[str, Any], action: str
) -> Iterator[None]:
    """Tell of one entry as it was before and is after."""
    key = {n: entry[n] for n in ("shortlist_id", "player_id", "source_id", "at_time")}
    before = changes.held(con, "shortlist_entry", key)
    yield
    changes.changed(con, hand, source_id, "shortlist_entry", key, before, action=action)


def _named(players: Sequence[Named]) -> str:
    more = f" and {len(players) - 3} more" if len(players) > 3 else ""
    return ", ".join(p.name for p in players[:3]) + more if players else "nobody"
