"""One file's records into the ledger, inside one transaction, every row accounted for."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.errors import UseError
from ledger.store import against, apart, bulk, doubled, frames, joined, journal, reconcile
from ledger.store.batch import REFUSED, Batch, Committed, Seen, Taken
from ledger.store.fold import Folded, fold
from ledger.store.incoming import read_attempts, read_box
from ledger.store.match import match
from ledger.store.people import commit_players, commit_shortlist
from ledger.store.records import ATTEMPT, TAGS
from ledger.store.rederive import corrected, rederive_games, without_corrections
from ledger.store.statements import sql
from ledger.store.tags import read_tags
from ledger.store.totals import commit_totals
from ledger.store.trips import incomplete

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand


def same_file(
    con: DuckDBPyConnection, kind: str, sha256: str | None, content_hash: str | None
) -> Seen | None:
    """The live source of this kind with the same bytes, else with the same records."""
    values = {"kind": kind, "sha256": sha256, "content_hash": content_hash}
    row = con.execute(sql("commit/records", "same_file"), values).fetchone()
    return Seen(int(row[0]), row[1], int(row[2]), bool(row[3]), int(row[4])) if row else None


def commit(con: DuckDBPyConnection, hand: Hand, batch: Batch) -> Committed:
    """Bring a batch in.

    Args:
        con: a connection inside `LedgerFile.changing`; nothing is kept unless that block ends well.
        hand: who imports, and when.
        batch: the file.

    Returns:
        What became of every row.

    Raises:
        UseError: for a kind there is none of.
    """
    source_id = bulk.next_id(con, "source")
    now = hand.clock()
    if batch.kind in ("attempts", "box", "tags"):
        taken = _commit_records(con, hand, batch, source_id, now)
    elif batch.kind == "totals":
        taken = commit_totals(con, hand, batch.frame, source_id)
    elif batch.kind == "players":
        taken = commit_players(con, hand, batch.frame, source_id, now)
    elif batch.kind == "shortlist":
        taken = commit_shortlist(con, batch.frame, source_id, now)
    else:
        raise UseError(f"there is no kind of file {batch.kind!r}")
    return _close(con, hand, batch, taken, source_id, now)


def _commit_records(
    con: DuckDBPyConnection, hand: Hand, batch: Batch, source_id: int, now: datetime
) -> Taken:
    if batch.kind == "attempts":
        records = read_attempts(con, hand, batch.frame, source_id, tagger=batch.tagger, now=now)
    elif batch.kind == "box":
        records = read_box(con, hand, batch.frame, source_id)
    else:
        records = read_tags(con, hand, batch.frame, tagger=batch.tagger, now=now)
    rows = None
    if batch.kind != "tags":
        rows = apart.rows_of_batch(con, batch.frame, batch.sha256, records.frame)
    folded, stirred = lay(con, records.frame, source_id, rows=rows, box=batch.kind == reconcile.BOX)
    lines = by_line(folded.seen)
    return Taken(
        lines=lines,
        refused=records.refused,
        skipped=records.skipped,
        attempts_stored=len(folded.new),
        tags_stored=len(folded.new_tags),
        fields_filled=int(folded.seen["filled"].sum()),
        new=records.found.new,
        warnings=tuple(records.found.warnings),
        stirred=stirred,
        games=records.frame.select("game_id").unique().drop_nulls(),
        against=against.told_of(con, folded.seen, records.frame),
    )


def by_line(seen: pl.DataFrame) -> pl.DataFrame:
    """One outcome a line: contradicting beats stored beats already there."""
    ranks = seen.group_by("line").agg(
        (pl.col("outcome") == "contradicting").any().alias("bad"),
        (pl.col("outcome") == "stored").any().alias("good"),
    )
    outcome = (
        pl.when("bad")
        .then(pl.lit("contradicting"))
        .when("good")
        .then(pl.lit("stored"))
        .otherwise(pl.lit("already_there"))
    )
    return ranks.select("line", outcome.alias("outcome"))


def lay(
    con: DuckDBPyConnection,
    records: pl.DataFrame,
    source_id: int,
    *,
    replaces: bool = False,
    rows: pl.DataFrame | None = None,
    box: bool = False,
) -> tuple[Folded, pl.DataFrame]:
    """Lay records over the ledger and write what that changes.

    Args:
        con: a connection inside `LedgerFile.changing`.
        records: `rec`, `line`, `league_id`, `person_id`, `attempt_id` and a record's columns.
        source_id: the source they belong to.
        replaces: a person typed them: a tag stands for an earlier one of the same tagger.
        rows: which rows of which files the records are, from `apart.rows_of_batch`.
        box: they are those of a box score.

    Returns:
        The fold, and the games (`game_id`) to be rebuilt once the source has its row: those with
        attempts that came back, with corrected ones that were filled, and those that a box score
        and events tell differently.
    """
    one = joined.ones(con)
    written, records = records, one.over(records)
    everything = _met(con, records, one)
    live = everything.filter(~pl.col("removed")).drop("removed")
    gone = everything.filter("removed").drop("removed")
    fixes = corrected(con, everything.select("game_id").unique()) if len(everything) else []
    state = one.over(without_corrections(con, live, fixes))
    tags = bulk.tags_of(con, live) if len(live) else pl.DataFrame(schema=TAGS)
    none: tuple[apart.Rows | None, apart.Rows | None] = (None, None)
    seen, told = none if rows is None else apart.rows_met(con, everything, rows)
    folded = fold(
        records,
        state,
        tags,
        source_id,
        _ids(con, one.over(gone), told),
        replaces=replaces,
        **(bulk.typed_by(con, source_id) if replaces else {}),
        rows=seen,
    )
    seen_as = (one.as_written(part, folded.seen, written) for part in (folded.state, folded.new))
    folded = replace(folded, **dict(zip(("state", "new"), seen_as, strict=True)))
    _write(con, written, folded, gone, source_id)
    stirred = [_shared(con, folded.new.join(gone, on="attempt_id", how="semi"), source_id)]
    mended = {fix.attempt_id for fix in fixes}
    if mended:
        touched = folded.changed.filter(pl.col("attempt_id").is_in(list(mended)))
        stirred.append(folded.state.join(touched, on="attempt_id", how="semi").select("game_id"))
    if len(everything):
        torn = folded.seen.filter(pl.col("outcome") == "contradicting").select("rec")
        torn = records.join(torn, on="rec", how="semi").select("game_id")
        games = everything.select("game_id").unique()
        stirred.append(reconcile.torn_games(con, games, torn, box=box))
    return folded, pl.concat(stirred).unique()


def _shared(con: DuckDBPyConnection, back: pl.DataFrame, source_id: int) -> pl.DataFrame:
    """Games of attempts that came back in which other live sources have a word too."""
    if back.is_empty():
        return pl.DataFrame(schema={"game_id": pl.Int32})
    values = {"source_id": source_id}
    ids = back.select("attempt_id")
    return frames.fetch(con, ("commit/rederive", "shared_games"), values, wanted=ids).cast(pl.Int32)


def _met(con: DuckDBPyConnection, records: pl.DataFrame, one: joined.Ones) -> pl.DataFrame:
    """Every attempt of the ledger that a record may be, with `removed`."""
    games = [records.select("game_id").unique()]
    if records["file_id"].null_count() < len(records):
        ids = records.select("league_id", "file_id").drop_nulls()
        games.append(frames.fetch(con, ("commit/records", "attempts_of_ids"), wanted=ids))
    if records["attempt_id"].null_count() < len(records):
        ids = records.select("attempt_id").drop_nulls().unique()
        games.append(frames.fetch(con, ("commit/rederive", "games_of"), wanted=ids))
    wanted = pl.concat([g.select(pl.col("game_id").cast(pl.Int32)) for g in games]).drop_nulls()
    wanted = one.with_others(wanted)
    there = frames.fetch(con, ("commit/records", "games_with_attempts"), wanted=wanted)
    return bulk.attempts_of(con, there)


def _ids(
    con: DuckDBPyConnection, gone: pl.DataFrame, rows: apart.Rows | None
) -> Callable[[pl.DataFrame], pl.Series]:
    """Ids for new attempts: that of the same attempt taken back before, else the next ones."""
    following = bulk.next_id(con, "attempt")
    free = gone

    def give(fresh: pl.DataFrame) -> pl.Series:
        nonlocal following, free
        none = pl.DataFrame(schema=TAGS)
        back = apart.match_rows(fresh, free, none, rows) if rows else match(fresh, free, none)
        back = back.filter(~pl.col("clash"))
        back = back.unique("attempt_id").unique("rec")
        if len(back):
            free = free.join(back, on="attempt_id", how="anti")
            found = fresh.select("rec").join(back, on="rec", how="left", maintain_order="left")
            ids = found["attempt_id"]
        else:
            ids = pl.Series([None], dtype=pl.Int64).new_from_index(0, len(fresh))
        new = ids.is_null()
        numbers = new.cum_sum().cast(pl.Int64) + (following - 1)
        following += int(new.sum())
        return pl.select(pl.when(new).then(numbers).otherwise(ids).alias("attempt_id")).to_series()

    return give


def _write(
    con: DuckDBPyConnection,
    records: pl.DataFrame,
    folded: Folded,
    gone: pl.DataFrame,
    source_id: int,
) -> None:
    touched = pl.concat([folded.changed, folded.changed_tags.select("attempt_id")])
    bulk.materialise(con, touched)
    state = folded.state.with_columns(incomplete(folded.state))
    new = state.tail(len(folded.new)) if len(state) == len(folded.new) else state.join(
        folded.new.select("attempt_id"), on="attempt_id", how="semi", maintain_order="left"
    )  # fmt: skip
    back = new.join(gone, on="attempt_id", how="semi") if len(gone) else new.clear()
    changed = _come_back(con, back, gone)
    if len(back):
        new = new.join(back, on="attempt_id", how="anti", maintain_order="left")
    bulk.add_attempts(con, new)
    bulk.set_attempts(con, state.join(folded.changed, on="attempt_id", how="semi"))
    if len(state) > len(folded.new):
        frames.run(con, ("commit/records", "set_trips"), incoming=state)
    bulk.hide_tags(con, folded.replaced.select("tag_id").drop_nulls())
    bulk.add_tags(con, folded.new_tags)
    on = ["attempt_id", "tagger"]
    bulk.set_tags(con, folded.tags.join(folded.changed_tags, on=on, how="semi"))
    seen = folded.seen
    if len(changed):
        # A NULL would say that the attempt is what its earlier source gave.
        other = pl.col("attempt_id").is_in(changed["attempt_id"].implode())
        seen = seen.with_columns((pl.col("new") & ~other).alias("new"))
    bulk.add_sightings(con, seen, records, source_id)
    _settle(con, folded, new)


def _come_back(con: DuckDBPyConnection, back: pl.DataFrame, gone: pl.DataFrame) -> pl.DataFrame:
    """Let attempts live that were taken back; those that are not as they were, as `attempt_id`."""
    if back.is_empty():
        return back.select("attempt_id")
    beside = back.join(
        gone.select(pl.all().name.suffix("_old")), left_on="attempt_id", right_on="attempt_id_old"
    )
    alike = pl.all_horizontal(pl.col(n).eq_missing(pl.col(f"{n}_old")) for n in ATTEMPT)
    same = beside.filter(alike)
    frames.run(con, ("commit/records", "revive"), incoming=same.select(back.columns))
    other = back.join(same, on="attempt_id", how="anti")
    bulk.materialise(con, other)
    bulk.set_attempts(con, other)
    return other.select("attempt_id")


def _settle(con: DuckDBPyConnection, folded: Folded, new: pl.DataFrame) -> None:
    """The agreed technique of all that was tagged; the plain case in one insert."""
    tagged = folded.new_tags.join(new.select("attempt_id"), on="attempt_id", how="semi")
    once = tagged.filter(pl.col("attempt_id").is_unique()) if len(tagged) else tagged
    bulk.agree_fresh(con, once)
    rest = pl.concat(
        [
            folded.new_tags.join(once, on="attempt_id", how="anti").select("attempt_id"),
            folded.changed_tags.select("attempt_id"),
        ]
    )
    bulk.agree_on(con, rest.unique())


def _close(
    con: DuckDBPyConnection,
    hand: Hand,
    batch: Batch,
    taken: Taken,
    source_id: int,
    now: datetime,
) -> Committed:
    """Count every row, write the source, its refused rows and its line in the journal."""
    refused = pl.concat(
        [batch.rejects.select(list(REFUSED)).cast(pl.Schema(REFUSED)), taken.refused]
    )
    refused = refused.unique("line", keep="first", maintain_order=True).sort("line")
    # A row of a file is counted once, however many records it gave.
    read = pl.concat([batch.frame.select("line"), refused.select("line")]).unique()
    told = pl.concat([taken.lines.select("line"), refused.select("line")])
    none = read.join(told, on="line", how="anti")
    reasons = refused["reason"].value_counts().sort(["count", "reason"], descending=[True, False])
    done = Committed(
        source_id=source_id,
        rows=len(read) + batch.skipped,
        rejected=len(refused),
        skipped=batch.skipped + len(none),
        attempts_stored=taken.attempts_stored,
        tags_stored=taken.tags_stored,
        fields_filled=taken.fields_filled,
        reasons=dict(reasons.iter_rows()),
        new=dict(taken.new),
        refused=refused,
        **_came_to(by_line(taken.lines), taken, (*batch.warnings, *taken.warnings)),
    )
    write_source(con, hand, batch, done, now)
    done = _settled(con, batch, taken, done)
    if len(refused):
        frames.pour(con, ("commit/records", "add_refused"), refused, {"source_id": source_id})
    journal.record(
        con, hand.clock, hand.who, "import", table="source", row_id=source_id,
        new=batch.file, source_id=source_id,
    )  # fmt: skip
    return done


def _came_to(lines: pl.DataFrame, taken: Taken, warnings: tuple[str, ...]) -> dict[str, Any]:
    """What the rows of a file came to, as fields of `Committed`."""
    counts = dict(lines["outcome"].value_counts().iter_rows())
    contradicting = lines.filter(pl.col("outcome") == "contradicting")["line"].sort()
    if len(contradicting):
        warnings = (*warnings, against.words(contradicting.to_list(), taken.against))
    outcomes = ("stored", "already_there", "contradicting")
    return {
        **{name: counts.get(name, 0) for name in outcomes},
        "warnings": warnings,
        "contradictions": tuple(contradicting),
    }


def _settled(con: DuckDBPyConnection, batch: Batch, taken: Taken, done: Committed) -> Committed:
    """Rebuild stirred games; say what the rows came to, and where box score and events differ."""
    values = {"source_id": done.source_id}
    settled, aside = done, []
    if len(taken.stirred):
        tags = reconcile.live_tags(con, taken.stirred)
        rederive_games(con, taken.stirred)
        aside = reconcile.put_aside(tags, reconcile.live_tags(con, taken.stirred))
        lines = by_line(frames.fetch(con, ("commit/reconcile", "own_outcomes"), values))
        settled = replace(
            done,
            **_came_to(lines, taken, (*batch.warnings, *taken.warnings)),
            attempts_stored=int(frames.one(con, ("commit/reconcile", "attempts_of"), values)),
        )
    said = reconcile.said(con, taken.games, box=batch.kind == reconcile.BOX)
    said += doubled.said(con, done.source_id, taken.games)
    settled = replace(settled, warnings=(*settled.warnings, *said, *aside))
    if settled != done:
        names = ("stored", "already_there", "contradicting", "attempts_stored")
        told = {name: getattr(settled, name) for name in names}
        told["warnings"] = json.dumps(list(settled.warnings), ensure_ascii=False)
        con.execute(sql("commit/reconcile", "settle"), {**values, **told})
    return settled


def write_source(
    con: DuckDBPyConnection, hand: Hand, batch: Batch, done: Committed, now: datetime
) -> None:
    """Write the row of a source."""
    counts = ("rows", "stored", "rejected", "skipped", "already_there", "contradicting")
    more = ("attempts_stored", "tags_stored", "fields_filled")
    con.execute(
        sql("commit/records", "add_source"),
        {
            "id": done.source_id,
            "kind": batch.kind,
            "file": batch.file,
            "sha256": batch.sha256,
            "content_hash": batch.content_hash,
            "size_bytes": batch.size,
            **{name: getattr(done, name) for name in (*counts, *more)},
            "drawn": batch.drawn,
            "mapping": apart.mapping_kept(dict(batch.mapping), batch.frame),
            "reasons": json.dumps(done.reasons, ensure_ascii=False),
            "warnings": json.dumps(list(done.warnings), ensure_ascii=False),
            "who": hand.who,
            "at_time": now,
        },
    )
