"""What is typed of an attempt while watching: read by the same rules as a file of tags."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ledger import resources
from ledger.errors import UseError
from ledger.intake import findings
from ledger.intake.bring import read_words
from ledger.intake.entry import NAME, refusal
from ledger.intake.options import ReadOptions
from ledger.intake.read import read_rows
from ledger.intake.words import Words
from ledger.store import sitting, tagging
from ledger.store.records import TAG
from ledger.store.statements import sql
from ledger.store.tagging import Standing

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.ledger_file import LedgerFile
    from ledger.store.tagging import Tagged

_KIND = "tags"
_DEED = "offglass, watching"
# Few techniques and nine ways to miss: what is typed again and again is read once.
_MOST_KEPT = 4096
# Which attempt is meant is told beside the fields.
_NOT_TYPED = {
    *("attempt_id", "attempt", "league", "season", "date", "game", "team", "player", "shot", "nth"),
    *("guarded", "beyond_header", "refused_by"),
}


class TagDesk:
    """Where one person types tags into a ledger, sitting by sitting.

    Args:
        ledger: the ledger.
    """

    def __init__(self, ledger: LedgerFile) -> None:
        self._ledger = ledger
        self._words: tuple[object, Words] | None = None
        self._techniques: dict[str, int] = {}
        # The connection and its last change when this desk was left, and where the sitting stood.
        self._as_left: tuple[object, int | None] = (None, None)
        self._standing: tuple[int, Standing] | None = None
        self._read: dict[tuple[tuple[str, str], ...], dict[str, Any]] = {}

    def tag(
        self,
        source: int | None,
        attempt: int,
        fields: Mapping[str, str],
        *,
        what: str,
        tagger: str | None = None,
        second: bool = False,
    ) -> Tagged:
        """Store a tag, in a sitting that is open or in a new one.

        Args:
            source: the sitting, or none to begin one.
            attempt: the ledger's number of the attempt.
            fields: field to value as typed.
            what: what a new sitting is called in the list of sources.
            tagger: who watched; the person at the ledger unless given.
            second: whether it is a second opinion on an attempt that was drawn for one.

        Raises:
            UseError: naming the field that is unknown or cannot be; nothing is stored then.
        """
        ledger = self._ledger
        with ledger.changing(_DEED, touches=tagging.TOUCHES) as con:
            said = self._said(con, fields)
            who = tagger or said.get("tagger") or ledger.who
            number = sitting.begin(con, ledger, what) if source is None else source
            technique = self._techniques.get(said.get("technique", ""))
            standing = self._stands(con, number)
            done = tagging.add_tag(
                con, ledger, number, attempt, said, technique, who, standing, second=second
            )
        self._as_left = (con, ledger.last_kept)
        self._standing = (number, standing.next())
        return done

    def untag(self, source: int, attempt: int, *, tagger: str | None = None) -> Tagged:
        """Take the last tag of an attempt out of a sitting; the one before it counts again.

        Raises:
            UseError: if there is none.
        """
        ledger = self._ledger
        with ledger.changing(_DEED, touches=tagging.TOUCHES) as con:
            done = tagging.drop_tag(con, ledger, source, attempt, tagger or ledger.who)
        self._as_left, self._standing = (con, ledger.last_kept), None
        return done

    def _is_as_left(self, con: DuckDBPyConnection) -> bool:
        """Whether nothing was changed since: this connection lets nobody else in."""
        return self._as_left == (con, self._ledger.last_kept)

    def _stands(self, con: DuckDBPyConnection, source: int) -> Standing:
        if self._standing is not None and self._is_as_left(con) and self._standing[0] == source:
            return self._standing[1]
        return Standing.of(con, source)

    def _said(self, con: DuckDBPyConnection, fields: Mapping[str, str]) -> dict[str, Any]:
        words = self._words_now(con)
        key = tuple(sorted(fields.items()))
        if key not in self._read:
            if len(self._read) >= _MOST_KEPT:
                self._read.clear()
            self._read[key] = read(fields, words)
        return self._read[key]

    def _words_now(self, con: DuckDBPyConnection) -> Words:
        """The ledger's words, read again only where some were added, changed or taken back."""
        if self._words is not None and self._is_as_left(con):
            return self._words[1]
        words = con.execute(sql("tagging", "state_of_words")).fetchall()
        named = con.execute(sql("tagging", "techniques")).fetchall()
        if self._words is None or self._words[0] != (words, named):
            self._words = ((words, named), read_words(con))
            self._techniques = {str(name): int(number) for number, name in named}
            self._read.clear()
        return self._words[1]


def read(fields: Mapping[str, str], words: Words) -> dict[str, Any]:
    """The typed columns of one tag, those that are not said left out.

    Args:
        fields: field to value as typed.
        words: what words of coded fields mean.

    Raises:
        UseError: naming the field that is unknown or cannot be.
    """
    known = [f["name"] for f in resources.schema(_KIND)["fields"] if f["name"] not in _NOT_TYPED]
    for name in fields:
        if name not in known:
            raise UseError(f"{findings.show(name)} is no field of a tag: {', '.join(known)}")
    reading = read_rows([{"attempt": "1", **fields}], _KIND, ReadOptions(dates="ymd"), words, NAME)
    if len(reading.rejects):
        raise refusal(_KIND, reading.rejects.row(0, named=True))
    if len(reading.skipped) or reading.frame.is_empty():
        return {}
    row = reading.frame.row(0, named=True)
    names = ("technique", "tagger", *TAG)
    return {name: row[name] for name in names if row.get(name) is not None}
