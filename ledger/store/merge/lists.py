"""Lots and shortlists of the other ledger, and what bringing any register needs."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from ledger.store import changes, frames
from ledger.store.merge.brought import Brought
from ledger.store.merge.people import Everybody
from ledger.store.merge.spelling import Spelling, Tables
from ledger.store.names import written_form
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

LONGEST = 10_000


class Lists:
    """Brings lots and shortlists.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who merges, and when.
        other: the other ledger's tables.
        spelling: what its things are called here.
        everybody: who its players are here.
        source_id: the merge.
        brought: counts what came and lists what did not.
    """

    def __init__(
        self,
        con: DuckDBPyConnection,
        hand: Hand,
        other: Tables,
        spelling: Spelling,
        everybody: Everybody,
        source_id: int,
        brought: Brought,
    ) -> None:
        self._con, self._hand, self._other = con, hand, other
        self._everybody, self._source_id, self._brought = everybody, source_id, brought
        known = frames.fetch(con, ("merge/registers", "persons"))
        self._person = dict(known.iter_rows())
        leagues = frames.fetch(con, ("commit/identity", "leagues"))
        forms = dict(zip(leagues["normal_form"], leagues["id"], strict=True))
        self._league = {n: forms.get(written_form(name)) for n, name in spelling.leagues.items()}
        seasons = dict(frames.fetch(con, ("commit/identity", "seasons")).iter_rows())
        by_form = {form: number for number, form in seasons.items()}
        self._season = {
            n: by_form.get(form)
            for n, form in other["season"].select("id", "normal_form").iter_rows()
        }

    def _rows(self, table: str) -> Iterable[dict[str, Any]]:
        return self._other[table].iter_rows(named=True)

    def _add(self, statement: tuple[str, str], table: str, values: dict[str, Any]) -> None:
        self._con.execute(sql(*statement), values)
        changes.added(self._con, self._hand, self._source_id, table, values["id"])

    def _is(self, number: int | None) -> int | None:
        """The person here that a player there is."""
        player = self._everybody.here.get(number or 0)
        return self._person.get(player) if player is not None else None

    def _fit(self, what: str, *texts: str | None, longest: int = LONGEST) -> bool:
        long = any(t is not None and (len(t) > longest or "\0" in t) for t in texts)
        if long:
            self._brought.leave(f"{what}: longer than a text may be")
        return not long

    def lots(self) -> None:
        """Bring lots, everybody of their frame with them."""
        names = self._list_names()
        here = {
            written_form(r[1]): r
            for r in self._con.execute(sql("merge/registers", "lots")).fetchall()
        }
        drawn: dict[int, list[dict[str, Any]]] = {}
        for row in self._rows("lot_player"):
            drawn.setdefault(row["lot_id"], []).append(row)
        for lot in self._rows("lot"):
            form, frame = written_form(lot["name"]), drawn.get(lot["id"], [])
            people = [(self._is(r["player_id"]), r["attempts"], r["place"]) for r in frame]
            place = (self._league.get(lot["league_id"]), self._season.get(lot["season_id"]))
            if form in here and self._same_lot(here[form], place, lot["seed"], people):
                continue
            if form in names:
                self._brought.leave(f"lot {lot['name']}: there is another list of that name here")
            elif None in place or any(p[0] is None for p in people):
                self._brought.leave(f"lot {lot['name']}: its league or players are not all here")
            else:
                self._add_lot(lot, place, people)

    def _same_lot(
        self, own: Any, place: tuple[Any, Any], seed: int, people: list[tuple[Any, int, Any]]
    ) -> bool:
        rows = self._con.execute(sql("merge/registers", "lot_players"), {"lot_id": own[0]})
        return (own[2], own[3], own[4]) == (*place, seed) and set(rows.fetchall()) == set(people)

    def _add_lot(
        self, lot: dict[str, Any], place: tuple[Any, Any], people: list[tuple[Any, int, Any]]
    ) -> None:
        number = changes.next_id(self._con, "lot")
        values = {**lot, "id": number, "league_id": place[0], "season_id": place[1]}
        self._add(("registers", "add_lot"), "lot", values)
        columns = list(zip(*people, strict=True)) or [(), (), ()]
        self._con.execute(
            sql("registers", "add_lot_players"),
            {
                "lot_id": number,
                "players": list(columns[0]),
                "attempts": list(columns[1]),
                "places": list(columns[2]),
            },
        )
        key = {"lot_id": number}
        changes.changed(self._con, self._hand, self._source_id, "lot_player", key, [])
        self._brought.count("lots")

    def _list_names(self) -> dict[str, tuple[int, str]]:
        rows = self._con.execute(sql("names", "lists")).fetchall()
        return {written_form(str(name)): (int(number), kind) for number, name, _, kind in rows}

    def shortlists(self) -> None:
        """Bring lists, and who is on them and was never on them here."""
        entries: dict[int, list[dict[str, Any]]] = {}
        for row in self._rows("shortlist_entry"):
            if row["dropped"] is None:
                entries.setdefault(row["shortlist_id"], []).append(row)
        for listed in self._rows("shortlist"):
            own = self._list_names().get(written_form(listed["name"]))
            if own is not None and own[1] == "lot":
                self._brought.leave(f"list {listed['name']}: a lot has that name here")
                continue
            if own is None:
                number = changes.next_id(self._con, "shortlist")
                values = {**listed, "id": number}
                self._add(("registers", "add_shortlist"), "shortlist", values)
                own = (number, "shortlist")
            self._entries(listed["name"], own[0], entries.get(listed["id"], []))

    def _entries(self, name: str, number: int, rows: list[dict[str, Any]]) -> None:
        asked = {"shortlist_id": number}
        here = {
            person: (note, live)
            for person, note, live in self._con.execute(
                sql("merge/registers", "entries"), asked
            ).fetchall()
        }
        for row in rows:
            person, who = self._is(row["player_id"]), self._everybody.name(row["player_id"])
            if person is None:
                self._brought.leave(f"{who} on the list {name}: several players have the name")
            elif person not in here:
                if not self._fit(f"{who} on the list {name}", row["note"]):
                    continue
                key = {**asked, "player_id": person, "at_time": row["at_time"]}
                key["source_id"] = self._source_id
                self._con.execute(sql("registers", "add_entry"), {**key, "note": row["note"]})
                changes.changed(self._con, self._hand, self._source_id, "shortlist_entry", key, [])
                here[person] = (row["note"], True)
                self._brought.count("players on lists")
            elif not here[person][1]:
                self._brought.leave(f"{who} on the list {name}: dropped from it here")
            elif row["note"] and row["note"] != here[person][0]:
                self._brought.leave(f"note on {who} in the list {name}: {row['note'][:80]}")
