"""Words, profiles, lots, rumours, shortlists, notes, decisions and films of the other ledger.

Each comes in as far as it is not there. What is there in another sense stays as it is, and is
listed.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.store import changes, frames, journal
from ledger.store.merge.brought import Brought
from ledger.store.merge.people import Everybody
from ledger.store.merge.spelling import Spelling, Tables
from ledger.store.names import written_form
from ledger.store.statements import sql
from ledger.store.words import UNCLEAR, coded_fields, readings_of, resolve_written

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

_LONGEST = 10_000
_LONGEST_PROFILE = 2**20
# What stays where it was made, by its table and what people call it.
_STAY = (
    ("trial", "trials"),
    ("consent", "consents"),
    ("deck_item", "items of a deck"),
    ("double_tag", "draws for tagging twice"),
)


class Registers:
    """Brings what people entered beside the records.

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

    def bring(self, games: dict[int, int], techniques: dict[str, str]) -> None:
        """Bring everything.

        Args:
            games: the other ledger's games, number to id here.
            techniques: its techniques, to what they are called here.
        """
        self._words(techniques)
        self._profiles()
        self._lots()
        self._rumours()
        self._shortlists()
        self._notes()
        self._decisions()
        self._films(games)
        for table, what in _STAY:
            if len(self._other[table]):
                self._brought.leave(
                    f"{len(self._other[table])} {what}: they stay with who made them"
                )

    def _rows(self, table: str) -> Iterable[dict[str, Any]]:
        return self._other[table].iter_rows(named=True)

    def _add(self, statement: tuple[str, str], table: str, values: dict[str, Any]) -> None:
        self._con.execute(sql(*statement), values)
        changes.added(self._con, self._hand, self._source_id, table, values["id"])

    def _is(self, number: int | None) -> int | None:
        """The person here that a player there is."""
        player = self._everybody.here.get(number or 0)
        return self._person.get(player) if player is not None else None

    def _fit(self, what: str, *texts: str | None, longest: int = _LONGEST) -> bool:
        long = any(t is not None and (len(t) > longest or "\0" in t) for t in texts)
        if long:
            self._brought.leave(f"{what}: longer than a text may be")
        return not long

    def _words(self, techniques: dict[str, str]) -> None:
        fields = coded_fields()
        here = {
            (field, form): value
            for field, _, form, value in self._con.execute(sql("words", "all")).fetchall()
        }
        for row in self._rows("word"):
            field, text, value = row["field"], row["text"], row["value"]
            if field == "technique":
                value = techniques.get(value, UNCLEAR if value == UNCLEAR else None)
            elif value not in fields.get(field, ()):
                value = None
            key = {"field": field, "normal_form": written_form(text)}
            have = here.get((field, key["normal_form"]))
            if (
                value is None
                or not key["normal_form"]
                or not self._fit("a word", text, longest=200)
            ):
                self._brought.leave(f"word {field}:{text} means {row['value']} there: unknown here")
            elif have is not None and have != value:
                self._brought.leave(f"word {field}:{text} means {value} there, {have} here")
            elif have is None:
                values = {**key, "text": text, "value": value}
                whose = {"who": row["who"], "at_time": row["at_time"]}
                self._con.execute(sql("words", "add"), {**values, **whose})
                changes.changed(self._con, self._hand, self._source_id, "word", key, [])
                if field == "technique":
                    self._read_anew(text, value, key["normal_form"])
                self._brought.count("words")

    def _read_anew(self, text: str, value: str, form: str) -> None:
        """Read tags written so by what the word means now, and keep how they were read before."""
        readings = readings_of(self._con, text)
        if readings is not None:
            journal.record(
                self._con, self._hand.clock, self._hand.who, "read anew", table="word",
                field=form, old=readings, source_id=self._source_id,
            )  # fmt: skip
        resolve_written(self._con, text, value)

    def _profiles(self) -> None:
        have = {
            written_form(name): body
            for name, body in self._con.execute(sql("merge/registers", "profiles")).fetchall()
        }
        for row in self._rows("profile"):
            form = written_form(row["name"])
            if form not in have:
                if not self._fit(f"profile {row['name']}", row["body"], longest=_LONGEST_PROFILE):
                    continue
                number = changes.next_id(self._con, "profile")
                self._add(("merge/registers", "add_profile"), "profile", {**row, "id": number})
                self._brought.count("profiles")
            elif have[form] != row["body"]:
                self._brought.leave(
                    f"profile {row['name']}: there is another one of that name here"
                )

    def _lots(self) -> None:
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

    def _rumours(self) -> None:
        have = set(self._con.execute(sql("merge/registers", "rumours")).fetchall())
        for row in self._rows("rumour"):
            season, league = self._season.get(row["season_id"]), None
            if row["league_id"] is not None:
                league = self._league.get(row["league_id"])
            person = self._is(row["player_id"])
            whole = (row["league_id"] is None) == (league is None)
            if season is None or not whole or (person is None and row["player_id"] is not None):
                self._brought.leave(
                    f"rumour “{row['text'][:80]}”: its player or season is not here"
                )
                continue
            if (row["text"], season, league, person, row["seen"], row["place"]) in have:
                continue
            if self._fit("a rumour", row["text"], row["place"]):
                values = {**row, "id": changes.next_id(self._con, "rumour"), "season_id": season}
                values |= {"league_id": league, "player_id": person}
                self._add(("registers", "add_rumour"), "rumour", values)
                self._brought.count("rumours")

    def _list_names(self) -> dict[str, tuple[int, str]]:
        rows = self._con.execute(sql("names", "lists")).fetchall()
        return {written_form(str(name)): (int(number), kind) for number, name, _, kind in rows}

    def _shortlists(self) -> None:
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

    def _notes(self) -> None:
        have = set(self._con.execute(sql("merge/registers", "notes")).fetchall())
        for row in self._rows("note"):
            person = self._is(row["player_id"])
            if person is None and row["player_id"] is not None:
                self._brought.leave(f"note “{row['text'][:80]}”: its player is not here")
                continue
            said = (person, row["date"], row["text"], row["who"])
            if said not in have and self._fit("a note", row["text"]):
                number = changes.next_id(self._con, "note")
                values = {**row, "id": number, "player_id": person}
                self._add(("merge/registers", "add_note"), "note", values)
                self._brought.count("notes")

    def _decisions(self) -> None:
        have = set(self._con.execute(sql("merge/registers", "decisions")).fetchall())
        for row in self._rows("decision"):
            person = self._is(row["player_id"])
            if person is None:
                who = self._everybody.name(row["player_id"])
                self._brought.leave(f"decision {row['choice']} on {who}: the player is not here")
                continue
            said = (person, row["choice"], row["why"], row["review"], row["who"])
            if said not in have and self._fit("a decision", row["why"], row["choice"]):
                number = changes.next_id(self._con, "decision")
                values = {**row, "id": number, "player_id": person}
                self._add(("merge/registers", "add_decision"), "decision", values)
                self._brought.count("decisions")

    def _films(self, games: dict[int, int]) -> None:
        """Where the film of a game lies, and what its board is like."""
        wanted = pl.DataFrame({"game_id": list(games.values())}, schema={"game_id": pl.Int32})
        here = {
            row["id"]: row
            for row in frames.fetch(
                self._con, ("merge/registers", "games"), wanted=wanted
            ).iter_rows(named=True)
        }
        for row in self._rows("game"):
            own = here.get(games.get(row["id"], 0))
            for field in ("video", "board_type"):
                told = row[field]
                if own is None or told is None or told == own[field]:
                    continue
                if own[field] is not None:
                    self._brought.leave(f"{field} of game {row['label']}: {told[:80]}")
                elif self._fit(f"{field} of game {row['label']}", told):
                    changes.set_field(
                        self._con, self._hand, self._source_id, "game", own["id"], field, told
                    )
                    own[field] = told
                    self._brought.count("films and boards of games")
