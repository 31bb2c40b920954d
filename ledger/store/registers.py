"""What a person enters beside the records: lots, rumours, techniques, words, shortlists."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from ledger.cohort import BOARD_ASSISTED
from ledger.errors import UseError
from ledger.store import changes, journal
from ledger.store.journal import Hand
from ledger.store.lots import Lot, draw_lot
from ledger.store.names import (
    Named,
    find_league,
    find_player,
    find_season,
    find_technique,
    tidy,
    written_form,
)
from ledger.store.shortlists import Listing, list_add, list_drop
from ledger.store.statements import sql
from ledger.store.words import (
    UNCLEAR,
    checked,
    keep_word,
    meaning_of,
    readings_of,
    resolve_written,
)

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

__all__ = [
    "Listing",
    "Lot",
    "add_rumour",
    "add_technique",
    "add_word",
    "draw_lot",
    "list_add",
    "list_drop",
    "write_rule",
]

_LONGEST_NAME = 200
_LONGEST_TEXT = 10_000


def add_rumour(
    con: DuckDBPyConnection,
    hand: Hand,
    text: str,
    season: str,
    *,
    league: str | None = None,
    player: str | None = None,
    seen: date | None = None,
    where: str | None = None,
) -> int:
    """Store what raised the question, and tell its number; it is never its own proof.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        text: the rumour in a sentence.
        season: the season it is about, left out of the test of it.
        league: the league it is about.
        player: the player it names.
        seen: the day it was heard or read.
        where: where.

    Raises:
        UseError: for an empty text or an unknown season, league or player.
    """
    said = _text(text, "a rumour")
    in_season = find_season(con, season)
    in_league = find_league(con, league) if league else None
    of_player = find_player(con, player, in_league.id if in_league else None) if player else None
    source_id = changes.begin(con, hand, "rumour", said)
    number = changes.next_id(con, "rumour")
    con.execute(
        sql("registers", "add_rumour"),
        {
            "id": number,
            "text": said,
            "season_id": in_season.id,
            "league_id": in_league.id if in_league else None,
            "player_id": of_player.id if of_player else None,
            "seen": seen,
            "place": tidy(where) or None if where else None,
            "who": hand.who,
            "at_time": hand.clock(),
        },
    )
    changes.added(con, hand, source_id, "rumour", number)
    return number


def add_technique(
    con: DuckDBPyConnection,
    hand: Hand,
    name: str,
    *,
    uses_board: bool = False,
    groups: Sequence[str] = (),
    rule_note: str | None = None,
) -> Named:
    """Add a technique of the ledger's own; tags that were written so before get it.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        name: its name, told from others without case.
        uses_board: whether it goes off the backboard on purpose.
        groups: names of groups it belongs to.
        rule_note: what the rules say about it.

    Raises:
        UseError: if the name is taken or cannot be one.
    """
    called = free_technique(con, name)
    belongs = sorted({_technique_word(g, "a group") for g in groups})
    source_id = changes.begin(con, hand, "technique", called)
    number = changes.next_id(con, "technique")
    con.execute(
        sql("registers", "add_technique"),
        {
            "id": number,
            "name": called,
            "uses_board": uses_board,
            "groups": ",".join(belongs),
            "rule_note": None if rule_note is None else _rule(rule_note),
            "place": number,
        },
    )
    changes.added(con, hand, source_id, "technique", number)
    resolve_written(con, called, called)
    return find_technique(con, called)


def write_rule(con: DuckDBPyConnection, hand: Hand, name: str, text: str) -> Named:
    """Write down what the rules say about a technique; what stood there is in the journal.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        name: the technique.
        text: what the rules say, or who said so.

    Raises:
        UseError: if there is no such technique, or nothing, or too much, is said.
    """
    said = _rule(text)
    found = find_technique(con, name)
    source_id = changes.begin(con, hand, "technique", f"rule of {found.name}")
    changes.set_field(con, hand, source_id, "technique", found.id, "rule_note", said)
    return found


def _rule(text: str) -> str:
    said = tidy(text)
    if not 0 < len(said) <= _LONGEST_TEXT:
        raise UseError(f"a rule is a text of 1 to {_LONGEST_TEXT:,} letters")
    return said


def rules(con: DuckDBPyConnection) -> list[tuple[str, str]]:
    """Techniques with what the rules say about them, where somebody wrote it down."""
    rows = con.execute(sql("registers", "rules")).fetchall()
    return [(str(name), str(note)) for name, note in rows]


def add_word(con: DuckDBPyConnection, hand: Hand, field: str, text: str, value: str) -> int:
    """Say what a word of a file means; a word already there gets the new meaning.

    Tags whose technique was written so are read anew, and their attempts' agreed technique with
    them.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when (a `LedgerFile` will do).
        field: a coded field, such as `made` or `technique`.
        text: the word as files write it.
        value: what it means.

    Returns:
        How many attempts carry a tag that was read anew.

    Raises:
        UseError: for a field, word or value that cannot be.
    """
    name, meaning = checked(con, field, text, value)
    word, form = tidy(text), written_form(text)
    before = meaning_of(con, name, word)
    if before != meaning:
        source_id = changes.begin(con, hand, "word", f"{name}: {word} = {meaning}")
        key = {"field": name, "normal_form": form}
        rows = changes.held(con, "word", key)
        keep_word(con, hand, name, word, meaning)
        changes.changed(con, hand, source_id, "word", key, rows)
        readings = readings_of(con, word) if name == "technique" and before is None else None
        if readings is not None:
            journal.record(
                con, hand.clock, hand.who, "read anew", table="word", field=form, old=readings,
                source_id=source_id,
            )  # fmt: skip
    return resolve_written(con, word, meaning) if name == "technique" else 0


def free_technique(con: DuckDBPyConnection, name: str) -> str:
    """The name as a technique may have it.

    Raises:
        UseError: if it is taken or cannot be one.
    """
    called = _technique_word(name, "a technique")
    rows = con.execute(sql("names", "techniques")).fetchall()
    taken = {written_form(str(r[1])): str(r[1]) for r in rows}
    if written_form(called) in taken:
        raise UseError(f"there is already a technique {taken[written_form(called)]!r}")
    asked = {"field": "technique", "normal_form": written_form(called)}
    meaning = con.execute(sql("words", "one"), asked).fetchone()
    if meaning:
        raise UseError(
            f"{called!r} is a word for {meaning[0]!r} in this ledger: choose another name"
        )
    return called


def _technique_word(name: str, what: str) -> str:
    called = tidy(name)
    if not called or len(called) > _LONGEST_NAME or "," in called:
        raise UseError(f"{what} needs a name of 1 to {_LONGEST_NAME} letters without a comma")
    kept = {written_form(BOARD_ASSISTED), UNCLEAR, "unknown", "untagged", "disputed"}
    if written_form(called) in kept:
        raise UseError(f"{called!r} has a meaning of its own here: choose another name")
    return called


def _text(text: str, what: str) -> str:
    said = tidy(text)
    if not said or len(said) > _LONGEST_TEXT:
        raise UseError(f"{what} needs a text of 1 to {_LONGEST_TEXT} letters")
    return said
