"""A colleague's ledger into this one: one source, one transaction, everything accounted for."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

import polars as pl

from ledger.store import bulk, cells, frames, journal, reconcile
from ledger.store.batch import Batch, Committed
from ledger.store.commit import same_file, write_source
from ledger.store.merge import other as foreign
from ledger.store.merge.against import contradictions
from ledger.store.merge.boxed import boxed, kept
from ledger.store.merge.brought import Brought
from ledger.store.merge.joins import join
from ledger.store.merge.laying import Laid, lay_rows
from ledger.store.merge.people import Everybody, bring_facts, bring_totals
from ledger.store.merge.registers import Registers
from ledger.store.merge.report import Merged
from ledger.store.merge.rows import Rows, rows_of
from ledger.store.merge.spelling import Tables, spell
from ledger.store.merge.techniques import bring_techniques
from ledger.store.rederive import rederive_games
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand
    from ledger.store.ledger_file import LedgerFile
    from ledger.store.merge.other import Other

KIND = "merge"
# Kept beside the mapping of a source: from which line on tags are of players drawn by lot.
DRAWN_FROM = "--drawn-from"
# What tells one state of a ledger from another: not when and by whose hand it came about.
_CONTENT = (
    *("attempt", "tag", "season_total", "league", "team", "season", "player", "roster", "game"),
    *("technique", "word", "profile", "lot", "lot_player", "shortlist", "shortlist_entry"),
    *("rumour", "note", "decision", "source"),
)
_OF_SOURCE = ("id", "drawn", "taken_back")


def merge(ledger: LedgerFile, path: str | os.PathLike[str]) -> Merged:
    """Bring a colleague's ledger in.

    It is opened in a process of its own, as a private copy, and only read. Attempts are recognised
    as those of a file are; tags keep their taggers; what contradicts is listed and not taken.

    Args:
        ledger: this ledger.
        path: the other ledger's file.

    Returns:
        What became of every row.

    Raises:
        UseError: if it is this ledger itself.
        LedgerError: if it is busy, damaged, newer, or none, or this ledger cannot be changed.
    """
    place = foreign.found(path, ledger.path)
    with ledger.reading() as con:
        rows = con.execute(sql("merge/registers", "known")).fetchall()
    known = [str(r[0]) for r in rows]
    with foreign.reading(place, known) as other:
        content = _content(other.tables) if other.tables else None
        with ledger.reading() as con:
            before = same_file(con, KIND, other.sha256, content)
        if before is not None:
            said = (
                f"{other.name} is already in the ledger as source {before.source_id} of "
                f"{before.when:%Y-%m-%d}: nothing added"
            )
            if before.rejected:
                said += (
                    f"; {before.rejected} of its rows were refused: once that is mended here, take "
                    f"it back and merge again: offglass undo {before.source_id}"
                )
            return Merged(
                source=None, file=other.name, sha256=other.sha256, rows=before.rows,
                already_there=before.rows, warnings=(said,), duplicate_of=before.source_id,
            )  # fmt: skip
        with ledger.changing(f"offglass merge {other.name}") as con:
            return _bring(con, ledger, other, content)


def _content(tables: Tables) -> str:
    """A hash of what the other ledger says."""
    digest = hashlib.sha256()
    for table in _CONTENT:
        frame = tables[table]
        if table == "source":
            frame = frame.select(_OF_SOURCE)
        digest.update(f"{table} {len(frame)}\n".encode())
        digest.update(cells.to_csv(frame))
    return digest.hexdigest()


def _bring(con: DuckDBPyConnection, hand: Hand, other: Other, content: str | None) -> Merged:
    source_id = bulk.next_id(con, "source")
    brought = Brought()
    called, unlike = bring_techniques(con, hand, other.tables, source_id, brought)
    spelling = spell(con, other.tables)
    for told in spelling.differing:
        brought.leave(told)
    rows = rows_of(_renamed(other.tables, called), spelling, unlike, boxed(con, other.tables))
    everybody = Everybody(con, hand, other.tables, spelling, source_id)
    laid = lay_rows(con, hand, rows, source_id)
    everybody.know(laid.players)
    everybody.meet(brought)
    line = rows.count + 1
    everybody.know(bring_totals(con, hand, other.tables, spelling, source_id, line, brought))
    line += len(other.tables["season_total"])
    bring_facts(con, hand, other.tables, spelling, everybody, source_id, line, brought)
    registers = Registers(con, hand, other.tables, spelling, everybody, source_id, brought)
    registers.bring(_games(rows, laid), called)
    done = _close(con, hand, other, content, rows, laid, everybody, source_id)
    done = _reconciled(con, done, laid)
    names = dict(frames.fetch(con, ("merge/registers", "player_names")).iter_rows())
    lines = contradictions(con, _as_it_is(con, laid, source_id), names)
    if join(con, hand, other.tables, spelling, everybody.here, source_id, brought):
        done = _anew(con, done)
    return _told(other, done, brought, lines)


def _reconciled(con: DuckDBPyConnection, done: Committed, laid: Laid) -> Committed:
    """Rebuild stirred games, and say where a box score and events differ."""
    aside = []
    if len(laid.stirred):
        tags = reconcile.live_tags(con, laid.stirred)
        rederive_games(con, laid.stirred)
        aside = reconcile.put_aside(tags, reconcile.live_tags(con, laid.stirred))
        done = _anew(con, done)
    games = laid.records.select("game_id").drop_nulls().unique()
    said = [*reconcile.said(con, games, box=None), *aside]
    if not said:
        return done
    done = replace(done, warnings=(*done.warnings, *said))
    counts = ("stored", "already_there", "contradicting", "attempts_stored")
    told: dict[str, object] = {name: getattr(done, name) for name in counts}
    told["warnings"] = json.dumps(list(done.warnings), ensure_ascii=False)
    con.execute(sql("commit/reconcile", "settle"), {"source_id": done.source_id, **told})
    return done


def _as_it_is(con: DuckDBPyConnection, laid: Laid, source_id: int) -> Laid:
    """What laying came to once stirred games were rebuilt."""
    if laid.stirred.is_empty():
        return laid
    values = {"source_id": source_id}
    now = frames.fetch(con, ("commit/reconcile", "own_outcomes"), values)
    seen = laid.seen.drop("attempt_id", "outcome").join(now, on="line", maintain_order="left")
    return replace(laid, seen=seen.select(laid.seen.columns))


def _anew(con: DuckDBPyConnection, done: Committed) -> Committed:
    """What the rows came to once games of joined names were laid over one another."""
    row = con.execute(sql("merge/registers", "outcomes"), {"source_id": done.source_id}).fetchone()
    assert row is not None
    stored, there, against, attempts = map(int, row)
    return replace(
        done, stored=stored, already_there=there, contradicting=against, attempts_stored=attempts
    )


def _renamed(tables: Tables, called: dict[str, str]) -> Tables:
    """The tables with techniques called as they are here."""
    technique = tables["technique"].with_columns(pl.col("name").replace(called))
    return {**tables, "technique": technique}


def _games(rows: Rows, laid: Laid) -> dict[int, int]:
    pairs = rows.attempts.select("line", "their_game").join(
        laid.records.select("line", "game_id"), on="line"
    )
    return dict(pairs.select("their_game", "game_id").unique().iter_rows())


def _close(
    con: DuckDBPyConnection,
    hand: Hand,
    other: Other,
    content: str | None,
    rows: Rows,
    laid: Laid,
    everybody: Everybody,
    source_id: int,
) -> Committed:
    """Count every row, write the source, its refused rows and its line in the journal."""
    counts = dict(laid.lines["outcome"].value_counts().iter_rows())
    refused = pl.concat([rows.refused, laid.refused]).sort("line")
    reasons = refused["reason"].value_counts().sort(["count", "reason"], descending=[True, False])
    new = dict(laid.found.new)
    for what, number in everybody.found.new.items():
        new[what] = new.get(what, 0) + number
    done = Committed(
        source_id=source_id,
        rows=rows.count,
        stored=counts.get("stored", 0),
        rejected=len(refused),
        skipped=0,
        already_there=counts.get("already_there", 0),
        contradicting=counts.get("contradicting", 0),
        attempts_stored=laid.attempts,
        tags_stored=laid.tags,
        fields_filled=laid.filled,
        reasons=dict(reasons.iter_rows()),
        new=new,
        warnings=(*laid.found.warnings, *everybody.found.warnings),
        refused=refused,
        contradictions=tuple(
            laid.lines.filter(pl.col("outcome") == "contradicting")["line"].sort()
        ),
    )
    mapping = {} if rows.drawn_from is None else {DRAWN_FROM: str(rows.drawn_from)}
    mapping |= kept(rows.box_lines)
    batch = Batch(
        kind=KIND, file=other.name, frame=pl.DataFrame(), sha256=other.sha256,
        content_hash=content, size=other.size, mapping=mapping,
        drawn=rows.drawn_from is not None,
    )  # fmt: skip
    write_source(con, hand, batch, done, hand.clock())
    if len(refused):
        frames.pour(con, ("commit/records", "add_refused"), refused, {"source_id": source_id})
    journal.record(
        con, hand.clock, hand.who, "merge", table="source", row_id=source_id,
        new=other.name, source_id=source_id,
    )  # fmt: skip
    return done


def _told(other: Other, done: Committed, brought: Brought, told: Iterable[str]) -> Merged:
    return Merged(
        source=done.source_id,
        file=other.name,
        sha256=other.sha256,
        rows=done.rows,
        stored=done.stored,
        rejected=done.rejected,
        skipped=done.skipped,
        already_there=done.already_there,
        contradicting=done.contradicting,
        attempts_stored=done.attempts_stored,
        tags_stored=done.tags_stored,
        fields_filled=done.fields_filled,
        reasons=done.reasons,
        new={**done.new, **brought.new},
        contradictions=tuple(told),
        not_taken=tuple(brought.left),
        warnings=done.warnings,
    )
