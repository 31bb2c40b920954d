"""A source taken back, and brought in again.

Taking back leaves the ledger as if the source had never come: attempts that another live source has
seen stay as that one gave them, the others are put aside with their ids, so that whatever hangs on
them comes back with them.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

import polars as pl

from ledger.errors import UseError
from ledger.store import (
    bulk,
    changes,
    corrections,
    frames,
    games,
    joined,
    journal,
    persons,
    same,
)
from ledger.store.people import rederive_players
from ledger.store.rederive import rederive_games
from ledger.store.statements import sql
from ledger.store.totals import rederive_totals

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand


@dataclass(frozen=True, slots=True)
class Undone:
    """What taking a source back, or bringing it in again, came to.

    Attributes:
        source_id: the source.
        file: its name.
        attempts: attempts that left the ledger, or came back.
        kept: attempts of it that stay because another source has seen them.
        tags: tags that left, or came back.
        again: it was brought in again.
        change: what kind of change it was, where it brought no records.
    """

    source_id: int
    file: str
    attempts: int
    kept: int
    tags: int
    again: bool
    change: str | None = None

    def words(self) -> str:
        """One line for the person who asked."""
        what = f"source {self.source_id} ({self.file})"
        way_back = f"to bring it in again type: offglass undo {self.source_id} --again"
        if self.change is not None:
            what = f"source {self.source_id} ({self.change}: {self.file})"
            return f"{what} holds again" if self.again else f"{what} was taken back; {way_back}"
        gone = f"{_count(self.attempts, 'attempt')} and {_count(self.tags, 'tag')}"
        if self.again:
            return f"{what} is in the ledger again: {gone} came back"
        stay = ""
        if self.kept == 1:
            stay = ", 1 attempt stays because another source has it"
        elif self.kept:
            stay = f", {self.kept} attempts stay because other sources have them"
        return f"{what} was taken back: {gone} left the ledger{stay}; {way_back}"


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def undo(con: DuckDBPyConnection, hand: Hand, source_id: int, *, yes: bool = False) -> Undone:
    """Take a source back.

    Args:
        con: a connection inside `LedgerFile.changing`; on an error nothing of it is kept.
        hand: who does it, and when.
        source_id: the source.
        yes: also where tags of other sources go with its attempts.

    Raises:
        UseError: if there is no such source, it was taken back already, or tags of others would go.
    """
    file, taken_back = _source(con, source_id)
    if taken_back is not None:
        raise UseError(
            f"source {source_id} was taken back already: "
            f"to bring it in again type: offglass undo {source_id} --again"
        )
    before = _counts(con)
    values = {"source_id": source_id}
    others = frames.fetch(con, ("commit/undo", "tags_of_others"), values)
    con.execute(sql("commit/undo", "take_back"), {**values, "at_time": hand.clock()})
    mixed = frames.fetch(con, ("commit/undo", "mixed_games"), values)
    for statement in ("drop_agreed", "drop_tags", "drop_attempts"):
        frames.run(con, ("commit/undo", statement), values, mixed=mixed)
    if len(mixed):
        rederive_games(con, mixed)
    if not yes and len(others):
        _refuse_lost(con, source_id, others)
    change = changes.take_back(con, source_id)
    _rest(con, hand, source_id, again=False)
    journal.record(
        con, hand.clock, hand.who, "undo", table="source", row_id=source_id, old=file,
        source_id=source_id,
    )  # fmt: skip
    after = _counts(con)
    seen = int(frames.one(con, ("commit/undo", "seen_live"), values))
    gone = before[0] - after[0]
    return Undone(source_id, file, max(gone, 0), seen, max(before[1] - after[1], 0), False, change)


def again(con: DuckDBPyConnection, hand: Hand, source_id: int) -> Undone:
    """Bring a source that was taken back in again, under its old number.

    Its records are matched as in an import, so that what came in meanwhile is not doubled.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when.
        source_id: the source.

    Raises:
        UseError: if there is no such source or it was not taken back.
    """
    file, taken_back = _source(con, source_id)
    if taken_back is None:
        raise UseError(f"source {source_id} is in the ledger: it was not taken back")
    before = _counts(con)
    values = {"source_id": source_id}
    plain = joined.ones(con).alone(frames.fetch(con, ("commit/undo", "plain_games"), values))
    mixed = frames.fetch(con, ("commit/undo", "other_games"), values, plain=plain)
    con.execute(sql("commit/undo", "bring_back"), values)
    for statement in ("show_attempts", "show_tags"):
        frames.run(con, ("commit/undo", statement), values, plain=plain)
    ids = frames.fetch(con, ("commit/undo", "tagged_in"), plain=plain)
    bulk.agree_on(con, ids)
    if len(mixed):
        rederive_games(con, mixed)
    change = changes.bring_back(con, source_id)
    _rest(con, hand, source_id, again=True, taken_back=taken_back)
    journal.record(
        con, hand.clock, hand.who, "undo again", table="source", row_id=source_id, new=file,
        source_id=source_id,
    )  # fmt: skip
    after = _counts(con)
    seen = int(frames.one(con, ("commit/undo", "seen_live"), values))
    came = max(after[0] - before[0], 0)
    return Undone(source_id, file, came, seen - came, max(after[1] - before[1], 0), True, change)


def take_back(con: DuckDBPyConnection, hand: Hand, source_id: int, *, yes: bool = False) -> str:
    """Take a source back, and say in one line what that came to."""
    return undo(con, hand, source_id, yes=yes).words()


def bring_back(con: DuckDBPyConnection, hand: Hand, source_id: int) -> str:
    """Bring a source in again, and say in one line what that came to."""
    return again(con, hand, source_id).words()


def _source(con: DuckDBPyConnection, source_id: int) -> tuple[str, datetime | None]:
    row = con.execute(sql("commit/undo", "source"), {"source_id": source_id}).fetchone()
    if row is None:
        raise UseError(f"there is no source {source_id}: offglass sources lists them")
    return str(row[0]), row[1]


def _counts(con: DuckDBPyConnection) -> tuple[int, int]:
    row = con.execute(sql("commit/undo", "counts")).fetchone()
    assert row is not None
    return int(row[0]), int(row[1])


def _refuse_lost(con: DuckDBPyConnection, source_id: int, others: pl.DataFrame) -> None:
    """Stop where tags that other sources brought would go with the attempts of this one."""
    lost = frames.fetch(con, ("commit/undo", "lost_tags"), others=others)
    if lost.is_empty():
        return
    people = lost["tagger"].unique().sort().to_list()
    shown = ", ".join(people[:4]) + (f" and {len(people) - 4} more" if len(people) > 4 else "")
    tags = "1 tag" if len(lost) == 1 else f"{len(lost)} tags"
    verb = "is" if len(lost) == 1 else "are"
    raise UseError(
        f"{tags} by {shown} from other sources {verb} on attempts of source {source_id} and "
        f"would go with them: type offglass undo {source_id} --yes if that is meant "
        "(they come back when the attempts do)"
    )


def _rest(
    con: DuckDBPyConnection,
    hand: Hand,
    source_id: int,
    *,
    again: bool,
    taken_back: datetime | None = None,
) -> None:
    """Everything of a source that is not an attempt or a tag of one."""
    values = {"source_id": source_id}
    rederive_totals(con, source_id)
    told = [int(r[0]) for r in con.execute(sql("commit/people", "told_of"), values).fetchall()]
    rederive_players(con, told)
    games.refill(con, source_id, again=again)
    persons.resplit(con, source_id, again=again)
    corrections.reapply(con, source_id)
    same.follow(con, hand, source_id)
    if again:
        con.execute(sql("commit/people", "back_entries"), {**values, "taken_back": taken_back})
    else:
        at_time = con.execute(sql("commit/undo", "source"), values).fetchone()
        assert at_time is not None
        con.execute(sql("commit/people", "drop_entries"), {**values, "at_time": at_time[1]})
