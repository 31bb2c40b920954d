"""What a person changes through the book: records typed, mended, taken back, and what is beside.

Each change is a source of its own that can be taken back and brought in again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from ledger.cohort import Cohort
from ledger.listing import Listing
from ledger.planning import Planning
from ledger.scoring import Scoring
from ledger.watching import Watching

if TYPE_CHECKING:
    from ledger.intake.entry import Entered
    from ledger.intake.read import ReadOptions
    from ledger.store.ledger_file import LedgerFile
    from ledger.store.lots import Lot
    from ledger.store.trace import Traced


class Changing(Listing, Planning, Scoring, Watching):
    """The changing half of a book, over its ledger file."""

    _file: LedgerFile

    # -- records --------------------------------------------------------------------------------

    def add(
        self,
        kind: str,
        rows: Sequence[Mapping[str, str]],
        options: ReadOptions | None = None,
        *,
        attempt: int | None = None,
    ) -> Entered:
        """Store typed records, all or none, as one source.

        Args:
            kind: attempts or tags.
            rows: field to value as typed, a mapping a record.
            options: words, dates and the tagger, as for a file.
            attempt: the ledger's number of the attempt a tag is of.

        Raises:
            UseError: naming the field that is missing, unknown or cannot be.
        """
        from ledger.intake.entry import enter

        return enter(self._file, kind, rows, options, attempt=attempt)

    def add_trip(
        self, made: str, fields: Mapping[str, str], options: ReadOptions | None = None
    ) -> Entered:
        """Store one visit to the line: its results in order, such as `yes,no`, and its fields."""
        from ledger.intake.entry import enter, trip_rows

        return enter(self._file, "attempts", trip_rows(made, fields), options)

    def add_lines(self, kind: str, data: bytes, options: ReadOptions | None = None) -> Entered:
        """Store CSV rows that were typed or piped; rows that cannot be are told of as in a file."""
        from ledger.intake.entry import enter_lines

        return enter_lines(self._file, kind, data, options)

    def settle(self, attempt: int, technique: str) -> str:
        """Settle the technique of an attempt above its tags; what was done, in words."""
        from ledger.intake.settling import settle

        return settle(self._file, attempt, technique).words()

    def undo(self, source: int, *, again: bool = False, yes: bool = False) -> str:
        """Take a source back, or bring it in again; what was done, in words.

        Args:
            source: its number.
            again: bring back one that was taken back.
            yes: also where tags of others go with it.

        Raises:
            UseError: if there is no such source, or tags of others would go and `yes` is not given.
        """
        from ledger.store import undo

        with self._file.changing("offglass undo") as con:
            if again:
                return undo.bring_back(con, self._file, source)
            return undo.take_back(con, self._file, source, yes=yes)

    def correct(self, kind: str, record: int | str, changes: Mapping[str, str], *, why: str) -> str:
        """Mend a record: what was done, in words.

        Args:
            kind: attempt, player, game or team.
            record: its number, or a name or label that only one has.
            changes: field to new value, as text.
            why: the reason, kept in the journal.
        """
        from ledger.intake.amend import amend

        return amend(self._file, kind, record, changes, why=why)

    def journal(
        self, *, limit: int | None = None, source: int | None = None, player: str | None = None
    ) -> list[dict[str, Any]]:
        """Who changed what, oldest first; with `limit` only the newest entries.

        Args:
            limit: so many of the newest.
            source: only those of a source.
            player: only those about a player himself.
        """
        from ledger.store.journal import entries
        from ledger.store.names import find_player

        with self._file.reading() as con:
            person = find_player(con, player).id if player else None
            return entries(con, limit=limit, source_id=source, person_id=person)

    def last_source(self) -> int:
        """The number of the newest source, 0 where there is none."""
        from ledger.store.reads import Reads

        with self._file.reading() as con:
            return Reads(con).facts()["last_source"]

    def source(self, number: int) -> Traced:
        """One source whole: its counts, mapping, notes, refused rows and what it changed.

        Raises:
            UseError: if there is none of that number.
        """
        from ledger.store.trace import trace

        with self._file.reading() as con:
            return trace(con, number)

    # -- what the ledger is told beside the records --------------------------------------------

    def lot(
        self, name: str, *, league: str, season: str, players: int, seed: int | None = None
    ) -> Lot:
        """Draw and save a random list of players of a league-season without a tag yet."""
        from ledger.store.lots import draw_lot

        with self._file.changing("offglass lot") as con:
            return draw_lot(con, self._file, name, league, season, players, seed)

    def rumour(
        self,
        text: str,
        *,
        season: str,
        league: str | None = None,
        player: str | None = None,
        seen: str | date | None = None,
        where: str | None = None,
    ) -> None:
        """Store what raised the question; its season is never used as its own proof."""
        from ledger.store.registers import add_rumour

        day = Cohort.of(date_from=seen).date_from
        with self._file.changing("offglass rumour") as con:
            add_rumour(
                con,
                self._file,
                text,
                season,
                league=league,
                player=player,
                seen=day,
                where=where,
            )

    def add_technique(
        self,
        name: str,
        *,
        uses_board: bool = False,
        groups: Sequence[str] = (),
        rule: str | None = None,
    ) -> None:
        """Add a technique; tags that were waiting for its name get it."""
        from ledger.store.registers import add_technique

        with self._file.changing("offglass technique") as con:
            add_technique(
                con, self._file, name, uses_board=uses_board, groups=groups, rule_note=rule
            )

    def write_rule(self, technique: str, text: str) -> str:
        """Write down what the rules say about a technique; gives its name as the ledger has it."""
        from ledger.store.registers import write_rule

        with self._file.changing("offglass technique") as con:
            return write_rule(con, self._file, technique, text).name

    def add_word(self, field: str, text: str, value: str) -> None:
        """Say what a word of a coded field means, for this ledger from now on."""
        from ledger.store.registers import add_word

        with self._file.changing("offglass word") as con:
            add_word(con, self._file, field, text, value)

    def shortlist(
        self,
        name: str,
        players: Iterable[str],
        *,
        add: bool = True,
        league: str | None = None,
        note: str | None = None,
    ) -> str:
        """Put players on a shortlist or drop them from it; what was done, in words.

        Args:
            name: the list's name; it is made where there is none.
            players: their names.
            add: put them on it, or else drop them.
            league: where a name is more than one player's.
            note: why they are on it, kept with each of them.
        """
        from ledger.store.shortlists import list_add, list_drop

        with self._file.changing("offglass list") as con:
            if not add:
                return list_drop(con, self._file, name, list(players), league=league).words()
            return list_add(con, self._file, name, list(players), league=league, note=note).words()

    def note(
        self,
        text: str,
        *,
        player: str | None = None,
        league: str | None = None,
        date: str | date | None = None,
    ) -> str:
        """Write down what a number cannot say; what was done, in words."""
        from ledger.store.notes import add_note

        day = Cohort.of(date_from=date).date_from
        with self._file.changing("offglass note") as con:
            source, of = add_note(con, self._file, text, player=player, league=league, day=day)
        return f"noted{f' of {of}' if of else ''}; to take it back: offglass undo {source}"

    def decide(
        self,
        player: str,
        choice: str,
        *,
        why: str,
        review: str | date | None = None,
        league: str | None = None,
    ) -> str:
        """Write down what was decided about a player: try, wait or stop; in words."""
        from ledger.store.notes import decide

        day = Cohort.of(date_from=review).date_from
        with self._file.changing("offglass decide") as con:
            source, of = decide(con, self._file, player, choice, why=why, review=day, league=league)
        look = f", to be looked at again on {day}" if day else ""
        return f"{of}: {choice}{look}; to take it back: offglass undo {source}"

    def notes(
        self, player: str | None = None, *, league: str | None = None
    ) -> list[dict[str, Any]]:
        """Notes and decisions in the order they were written, of a player or all.

        Returns:
            `source, player, league, date, said, why, who, when` a row; `said` of a decision is
            try, wait or stop, and `date` the day to look again.
        """
        from ledger.store.names import find_player
        from ledger.store.notes import told

        with self._file.reading() as con:
            person = find_player(con, player, league).id if player else None
            return told(con, person)

    def same(self, names: Sequence[str], *, kind: str = "player", within: str | None = None) -> str:
        """Say that several names are one player, team or league; what was done, in words."""
        from ledger.store.same import same

        with self._file.changing("offglass same") as con:
            return same(con, self._file, names, kind=kind, within=within).words()

    def apart(
        self, names: Sequence[str], *, kind: str = "player", within: str | None = None
    ) -> str:
        """Say that several names are not one; what was done, in words."""
        from ledger.store.same import apart

        with self._file.changing("offglass same") as con:
            return apart(con, self._file, names, kind=kind, within=within).words()
