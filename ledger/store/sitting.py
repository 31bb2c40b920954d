"""A sitting of hand entry: one source that grows record by record, each kept at once."""

from __future__ import annotations

import difflib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import polars as pl

from ledger.errors import SittingClosed, UseError
from ledger.store import bulk, frames, journal
from ledger.store.batch import REFUSED, Batch, Committed
from ledger.store.commit import by_line, lay, write_source
from ledger.store.incoming import Records, read_attempts
from ledger.store.names import loose_form
from ledger.store.rederive import BY_HAND, rederive_games
from ledger.store.statements import sql
from ledger.store.tags import read_tags

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.fold import Folded
    from ledger.store.journal import Hand

# Kinds of record that are typed one by one; the others come in as a file does.
KINDS = ("attempts", "tags")
_NAMED = ("league", "season", "team", "player")
# So alike that a slip of the hand is likely; common practice, no source.
_ALIKE = 0.8
_MOST = 10


@dataclass(frozen=True, slots=True)
class Taken:
    """What became of typed records.

    Attributes:
        lines: `line`, `outcome`, `attempt_id`: a row a record that was not refused.
        refused: those refused, `REFUSED` columns.
        skipped: how many say nothing.
        attempts_stored: attempts that were added.
        tags_stored: tags that were added or typed anew.
        fields_filled: blank fields that were filled.
        new: how many leagues, seasons, teams, players and games were added.
        notes: the new names, near misses, and what else a person should look at.
    """

    lines: pl.DataFrame
    refused: pl.DataFrame
    skipped: int
    attempts_stored: int
    tags_stored: int
    fields_filled: int
    new: Mapping[str, int] = field(default_factory=dict)
    notes: tuple[str, ...] = ()


def begin(
    con: DuckDBPyConnection, hand: Hand, what: str, *, content_hash: str | None = None
) -> int:
    """Open a sitting; what is typed in it can be taken back as one source.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who types, and when.
        what: what it is, for the list of sources.
        content_hash: of rows that came in one piece, by which they are known when they come again.
    """
    source_id = bulk.next_id(con, "source")
    done = Committed.nothing(source_id)
    batch = Batch(kind=BY_HAND[0], file=what, frame=pl.DataFrame(), content_hash=content_hash)
    write_source(con, hand, batch, done, hand.clock())
    journal.record(
        con, hand.clock, hand.who, "type in", table="source", row_id=source_id, new=what,
        source_id=source_id,
    )  # fmt: skip
    return source_id


def type_in(
    con: DuckDBPyConnection, hand: Hand, source_id: int, kind: str, frame: pl.DataFrame
) -> pl.DataFrame:
    """Add typed records to a sitting.

    A tag typed again by the same person stands for the earlier one; both are in the journal.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who types, and when.
        source_id: from `begin`.
        kind: `attempts` or `tags`.
        frame: the typed columns of that kind, as the front half of an import gives them; `line` is
            set here.

    Returns:
        `line`, `outcome`, `attempt_id`: a row a record, as they were typed.

    Raises:
        UseError: if the sitting is not open, or a record is refused; nothing of the call is kept
            then, once the change around it ends.
    """
    first = next_line(con, source_id)
    lines = pl.int_range(first, first + len(frame), dtype=pl.Int32, eager=True)
    taken = take(con, hand, source_id, kind, frame.with_columns(lines.alias("line")))
    if len(taken.refused) or taken.skipped:
        fix = taken.refused["fix"][0] if len(taken.refused) else "the record says nothing"
        raise UseError(str(fix))
    return taken.lines


def take(
    con: DuckDBPyConnection,
    hand: Hand,
    source_id: int,
    kind: str,
    frame: pl.DataFrame,
    *,
    rejects: pl.DataFrame | None = None,
    skipped: int = 0,
    warnings: tuple[str, ...] = (),
    tagger: str | None = None,
) -> Taken:
    """Add typed records to a sitting, and count those that are refused.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who types, and when.
        source_id: from `begin`.
        kind: `attempts` or `tags`.
        frame: `line` and the typed columns of that kind.
        rejects: records refused before they came here, `REFUSED` columns.
        skipped: how many said nothing.
        warnings: what a person should look at so far.
        tagger: who watched, where the records do not say.

    Raises:
        UseError: if the sitting is not open, or for another kind.
    """
    next_line(con, source_id)
    before = _highest(con)
    records = _records(con, hand, source_id, kind, frame, tagger)
    folded, stirred = lay(con, records.frame, source_id, replaces=True)
    early = pl.DataFrame(schema=REFUSED) if rejects is None else rejects.select(list(REFUSED))
    refused = pl.concat([early.cast(pl.Schema(REFUSED)), records.refused]).sort("line")
    notes = (*warnings, *_about_names(con, before), *records.found.warnings)
    taken = Taken(
        lines=folded.seen.sort("rec").select("line", "outcome", "attempt_id"),
        refused=refused,
        skipped=skipped + records.skipped,
        attempts_stored=len(folded.new),
        tags_stored=len(folded.new_tags),
        fields_filled=int(folded.seen["filled"].sum()),
        new=dict(records.found.new),
        notes=tuple(dict.fromkeys(notes)),
    )
    _count(con, source_id, folded, taken)
    if len(refused):
        frames.pour(con, ("commit/records", "add_refused"), refused, {"source_id": source_id})
    if len(stirred):
        rederive_games(con, stirred)
    for tag in folded.replaced.drop_nulls("tag_id").iter_rows(named=True):
        journal.record(
            con, hand.clock, hand.who, "tag again", table="tag", row_id=tag["tag_id"],
            field=tag["tagger"], old=tag["technique_as_written"], source_id=source_id,
        )  # fmt: skip
    return taken


def _records(
    con: DuckDBPyConnection,
    hand: Hand,
    source_id: int,
    kind: str,
    frame: pl.DataFrame,
    tagger: str | None,
) -> Records:
    now = hand.clock()
    if kind == "attempts":
        return read_attempts(con, hand, frame, source_id, tagger=tagger, now=now)
    if kind == "tags":
        return read_tags(con, hand, frame, tagger=tagger, now=now)
    raise UseError(f"{kind} are not typed record by record: import a file")


def next_line(con: DuckDBPyConnection, source_id: int) -> int:
    """The line the next record of a sitting gets.

    Raises:
        UseError: if the sitting is not open.
    """
    found = con.execute(sql("commit/records", "next_line"), {"id": source_id}).fetchone()
    if found is None:
        raise SittingClosed(f"source {source_id} is no sitting that can go on: begin another one")
    return int(found[0])


def _count(con: DuckDBPyConnection, source_id: int, folded: Folded, taken: Taken) -> None:
    counts = dict(by_line(folded.seen)["outcome"].value_counts().iter_rows())
    names = ("stored", "already_there", "contradicting")
    reasons = taken.refused["reason"].value_counts().sort(["count", "reason"])
    con.execute(
        sql("commit/records", "count_on"),
        {
            "id": source_id,
            "rows": sum(counts.values()) + len(taken.refused) + taken.skipped,
            **{name: counts.get(name, 0) for name in names},
            "rejected": len(taken.refused),
            "skipped": taken.skipped,
            "attempts_stored": taken.attempts_stored,
            "tags_stored": taken.tags_stored,
            "fields_filled": taken.fields_filled,
        },
    )
    if len(taken.refused) or taken.notes:
        said = {
            "reasons": json.dumps(dict(reasons.iter_rows()), ensure_ascii=False),
            "warnings": json.dumps(list(taken.notes), ensure_ascii=False),
        }
        con.execute(sql("typed", "note_source"), {"id": source_id, **said})


def _highest(con: DuckDBPyConnection) -> dict[str, int]:
    return dict(con.execute(sql("typed", "highest")).fetchall())


def _about_names(con: DuckDBPyConnection, before: Mapping[str, int]) -> list[str]:
    """The names that were new, each with the name of its league that it may have meant."""
    if _highest(con) == before:
        return []
    rows = con.execute(sql("typed", "named")).fetchall()
    found = []
    for kind in _NAMED:
        own = [(int(i), name, league) for what, i, name, league in rows if what == kind]
        fresh = [row for row in own if row[0] > before.get(kind, 0)]
        for _, name, league in fresh[:_MOST]:
            others = {
                loose_form(n): n for i, n, of in own if i <= before.get(kind, 0) and of == league
            }
            near = difflib.get_close_matches(loose_form(name), list(others), 1, _ALIKE)
            said = f"new {kind}: {name}"
            if near and kind != "season":
                said += f"; check that {others[near[0]]}, which is in the ledger, is not meant"
            found.append(said)
        if len(fresh) > _MOST:
            found.append(f"new {kind}s: {len(fresh) - _MOST} more")
    return found
