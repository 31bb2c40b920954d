"""A sitting of hand entry: one source that grows record by record, each kept at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.errors import UseError
from ledger.store import bulk, journal
from ledger.store.batch import Batch, Committed
from ledger.store.commit import by_line, lay, write_source
from ledger.store.incoming import read_attempts
from ledger.store.rederive import BY_HAND, rederive_games
from ledger.store.statements import sql
from ledger.store.tags import read_tags

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.fold import Folded
    from ledger.store.journal import Hand


def begin(con: DuckDBPyConnection, hand: Hand, what: str) -> int:
    """Open a sitting; what is typed in it can be taken back as one source.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who types, and when.
        what: what it is, for the list of sources.
    """
    source_id = bulk.next_id(con, "source")
    counts = ("rows", "stored", "rejected", "skipped", "already_there", "contradicting")
    more = ("attempts_stored", "tags_stored", "fields_filled")
    nothing: dict[str, Any] = dict.fromkeys((*counts, *more), 0)
    done = Committed(
        source_id=source_id, **nothing, reasons={}, new={}, warnings=(),
        refused=pl.DataFrame(), contradictions=(),
    )  # fmt: skip
    batch = Batch(kind=BY_HAND[0], file=what, frame=pl.DataFrame())
    write_source(con, hand, batch, done, hand.clock())
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
    found = con.execute(sql("commit/records", "next_line"), {"id": source_id}).fetchone()
    if found is None:
        raise UseError(f"source {source_id} is no sitting that can go on: begin another one")
    first = int(found[0])
    lines = pl.int_range(first, first + len(frame), dtype=pl.Int32, eager=True)
    frame = frame.with_columns(lines.alias("line"))
    now = hand.clock()
    if kind == "attempts":
        records = read_attempts(con, hand, frame, source_id, tagger=None, now=now)
    elif kind == "tags":
        records = read_tags(con, hand, frame, tagger=None, now=now)
    else:
        raise UseError(f"{kind} are not typed record by record: import a file")
    if len(records.refused) or records.skipped:
        fix = records.refused["fix"][0] if len(records.refused) else "the record says nothing"
        raise UseError(str(fix))
    folded, stirred = lay(con, records.frame, source_id, replaces=True)
    _count(con, source_id, folded)
    if len(stirred):
        rederive_games(con, stirred)
    for tag in folded.replaced.drop_nulls("tag_id").iter_rows(named=True):
        journal.record(
            con, hand.clock, hand.who, "tag again", table="tag", row_id=tag["tag_id"],
            field=tag["tagger"], old=tag["technique_as_written"], source_id=source_id,
        )  # fmt: skip
    return folded.seen.sort("rec").select("line", "outcome", "attempt_id")


def _count(con: DuckDBPyConnection, source_id: int, folded: Folded) -> None:
    counts = dict(by_line(folded.seen)["outcome"].value_counts().iter_rows())
    names = ("stored", "already_there", "contradicting")
    con.execute(
        sql("commit/records", "count_on"),
        {
            "id": source_id,
            "rows": sum(counts.values()),
            **{name: counts.get(name, 0) for name in names},
            "attempts_stored": len(folded.new),
            "tags_stored": len(folded.new_tags),
            "fields_filled": int(folded.seen["filled"].sum()),
        },
    )
