"""Words, profiles, rumours, notes, decisions and films of the other ledger.

Each comes in as far as it is not there. What is there in another sense stays as it is, and is
listed.
"""

from __future__ import annotations

import polars as pl

from ledger.store import changes, frames, journal
from ledger.store.merge.lists import Lists
from ledger.store.names import written_form
from ledger.store.statements import sql
from ledger.store.words import UNCLEAR, coded_fields, readings_of, resolve_written

_LONGEST_PROFILE = 2**20
# What stays where it was made, by its table and what people call it. Draws for watching twice are
# made anew from the tags that came.
_STAY = (
    ("trial", "trials"),
    ("consent", "consents"),
    ("deck_item", "items of a deck"),
)


class Registers(Lists):
    """Brings what people entered beside the records, as `Lists` brings lists."""

    def bring(self, games: dict[int, int], techniques: dict[str, str]) -> None:
        """Bring everything.

        Args:
            games: the other ledger's games, number to id here.
            techniques: its techniques, to what they are called here.
        """
        self._words(techniques)
        self._profiles()
        self.lots()
        self._rumours()
        self.shortlists()
        self._notes()
        self._decisions()
        self._films(games)
        for table, what in _STAY:
            if len(self._other[table]):
                self._brought.leave(
                    f"{len(self._other[table])} {what}: they stay with who made them"
                )

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
