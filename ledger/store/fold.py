"""What a batch of matched records does to the attempts and tags that are there.

The first record gives an attempt its fields, later ones fill blank ones, and one that differs in a
filled field gives nothing at all. The same step, source by source, brings files in and rebuilds
attempts after an undo.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from ledger.store import blanks, trips
from ledger.store.apart import Rows, match_rows
from ledger.store.match import match, match_typed
from ledger.store.records import (
    ATTEMPT,
    COMPARED,
    FILLED,
    STATE,
    TAG,
    TAG_COMPARED,
    TAGS,
)

if TYPE_CHECKING:
    from collections.abc import Callable

_NOTHING = pl.DataFrame(schema={"attempt_id": pl.Int64, "tagger": pl.String})


@dataclass(frozen=True, slots=True)
class Folded:
    """Attempts and tags after a batch, and what became of each record.

    Attributes:
        state: all attempts, `STATE` columns.
        tags: all tags, `TAGS` columns; those not yet in the ledger have no `tag_id`.
        seen: a row a record: `rec, line, attempt_id, outcome, new, filled, tagged`.
        new: the attempts that were added, a part of `state`.
        new_tags: the tags that were added, a part of `tags`.
        changed: ids of attempts that were there and had blank fields filled.
        changed_tags: `attempt_id`, `tagger` of tags that had blank fields filled.
        replaced: tags that were there and that the same person typed anew.
    """

    state: pl.DataFrame
    tags: pl.DataFrame
    seen: pl.DataFrame
    new: pl.DataFrame
    new_tags: pl.DataFrame
    changed: pl.DataFrame
    changed_tags: pl.DataFrame
    replaced: pl.DataFrame


def fold(
    records: pl.DataFrame,
    state: pl.DataFrame,
    tags: pl.DataFrame,
    source_id: int,
    give_ids: Callable[[pl.DataFrame], pl.Series],
    *,
    replaces: bool = False,
    own: pl.DataFrame | None = None,
    rows: Rows | None = None,
    typed: pl.DataFrame | None = None,
) -> Folded:
    """Lay one source's records over the attempts and tags that are there.

    Args:
        records: `rec`, `line`, `league_id`, `person_id`, the columns of a record, and `attempt_id`
            where a record names its attempt itself (a tag).
        state: attempts that may be met, `STATE` columns.
        tags: their tags, `TAGS` columns.
        source_id: the source.
        give_ids: ids for records that become new attempts.
        replaces: the person typed it: a tag replaces an earlier one of the same tagger.
        own: attempts (`attempt_id`) that earlier records of this source are: equal records of one
            source are several attempts, so these are met by their id only.
        rows: which rows of which files records and attempts are, where some were refused once.
        typed: attempts (`attempt_id`) that the same person typed in other sittings: a record typed
            now is another one, unless it has the id or the place in the game of one of them.
    """
    parts = []
    for batch in _rounds(records):
        folded = _round(batch, state, tags, source_id, give_ids, replaces, own, rows, typed)
        state, tags = folded.state, folded.tags
        parts.append(folded)
    if len(parts) == 1:
        return parts[0]
    return Folded(
        state=state,
        tags=tags,
        seen=pl.concat([p.seen for p in parts]),
        new=pl.concat([p.new for p in parts]),
        new_tags=pl.concat([p.new_tags for p in parts]),
        changed=pl.concat([p.changed for p in parts]).unique(),
        changed_tags=pl.concat([p.changed_tags for p in parts]).unique(),
        replaced=pl.concat([p.replaced for p in parts]),
    )


def _rounds(records: pl.DataFrame) -> list[pl.DataFrame]:
    """Records that name one attempt several times come one after another, in the file's order."""
    numbered = records
    again = pl.lit(0, pl.Int64)
    if "file_id" in records.columns and records["file_id"].null_count() < len(records):
        ids = records.filter(pl.col("file_id").is_not_null())
        if not ids.select("league_id", "file_id").is_duplicated().any():
            again = pl.lit(0, pl.Int64)
        else:
            again = (
                pl.when(pl.col("file_id").is_not_null() & pl.col("made").is_not_null())
                .then(pl.int_range(pl.len()).over("league_id", "file_id"))
                .otherwise(0)
            )
    if records["attempt_id"].null_count() < len(records):
        named = pl.col("attempt_id").is_not_null()
        again = pl.when(named).then(pl.int_range(pl.len()).over("attempt_id")).otherwise(again)
    numbered = records.with_columns(again.alias("again"))
    if numbered["again"].max() in (None, 0):
        return [numbered.drop("again")]
    return [
        part.drop("again")
        for part in numbered.sort("again", "rec").partition_by("again", maintain_order=True)
    ]


def _round(
    records: pl.DataFrame,
    state: pl.DataFrame,
    tags: pl.DataFrame,
    source_id: int,
    give_ids: Callable[[pl.DataFrame], pl.Series],
    replaces: bool,
    own: pl.DataFrame | None,
    rows: Rows | None,
    typed: pl.DataFrame | None,
) -> Folded:
    records = _paired(records, state, tags, own, rows, typed)
    if records["attempt_id"].null_count() == len(records):
        return _all_new(records, state, tags, source_id, give_ids)
    met = _compared(records.filter(pl.col("attempt_id").is_not_null()), state, tags, replaces)
    bad_lines = met.filter("against").select("line").unique()
    met = met.with_columns(pl.col("line").is_in(bad_lines["line"].implode()).alias("bad"))
    good = met.filter(~pl.col("bad"))
    fresh, lost = _parted(records, bad_lines)
    fresh = fresh.with_columns(give_ids(fresh).cast(pl.Int64).alias("attempt_id"))
    new = _attempts_of(fresh, source_id)
    changed = good.filter(pl.col("fills") > 0).select("attempt_id")
    changed_tags = good.filter(pl.col("tag_fills") > 0).select("attempt_id", "tagger")
    state = blanks.filled(state, good, changed)
    tags = blanks.tags_filled(tags, good, changed_tags)
    adding = good.filter("adds_tag")
    replaced = tags.clear()
    if replaces and len(adding):
        on = ["attempt_id", "tagger"]
        replaced = tags.join(adding.select(on), on=on, how="semi")
        tags = tags.join(adding.select(on), on=on, how="anti")
    new_tags = _tags_of(pl.concat([fresh, adding.select(fresh.columns)]), source_id)
    return Folded(
        state=_on_top(state, new),
        tags=_on_top(tags, new_tags),
        seen=pl.concat([_seen_new(fresh), _outcomes(met, lost)]),
        new=new,
        new_tags=new_tags,
        changed=changed,
        changed_tags=changed_tags,
        replaced=replaced,
    )


def _all_new(
    records: pl.DataFrame,
    state: pl.DataFrame,
    tags: pl.DataFrame,
    source_id: int,
    give_ids: Callable[[pl.DataFrame], pl.Series],
) -> Folded:
    """What becomes of records none of which met an attempt."""
    fresh = records.drop("attempt_id")
    fresh = fresh.with_columns(give_ids(fresh).cast(pl.Int64).alias("attempt_id"))
    new, new_tags = _attempts_of(fresh, source_id), _tags_of(fresh, source_id)
    return Folded(
        state=_on_top(state, new),
        tags=_on_top(tags, new_tags),
        seen=_seen_new(fresh),
        new=new,
        new_tags=new_tags,
        changed=_NOTHING.select("attempt_id"),
        changed_tags=_NOTHING,
        replaced=tags.clear(),
    )


def _on_top(there: pl.DataFrame, new: pl.DataFrame) -> pl.DataFrame:
    return pl.concat([there, new]) if len(there) else new


def _attempts_of(records: pl.DataFrame, source_id: int) -> pl.DataFrame:
    return records.with_columns(pl.lit(source_id, pl.Int32).alias("source_id")).select(list(STATE))


def _parted(records: pl.DataFrame, bad_lines: pl.DataFrame) -> tuple[pl.DataFrame, pl.DataFrame]:
    """Records that met nothing: those that become attempts, and those of a contradicting line."""
    fresh = records.filter(pl.col("attempt_id").is_null())
    if bad_lines.is_empty():
        return fresh.drop("attempt_id"), fresh.clear()
    lost = fresh.join(bad_lines, on="line", how="semi")
    return fresh.join(bad_lines, on="line", how="anti").drop("attempt_id"), lost


def _seen_new(fresh: pl.DataFrame) -> pl.DataFrame:
    return fresh.select(
        *("rec", "line", "attempt_id", pl.lit("stored").alias("outcome")),
        pl.lit(True).alias("new"),
        pl.lit(0, pl.UInt32).alias("filled"),
        pl.col("tagger").is_not_null().alias("tagged"),
    )


def _tags_of(records: pl.DataFrame, source_id: int) -> pl.DataFrame:
    return (
        records.filter(pl.col("tagger").is_not_null())
        .with_columns(
            pl.lit(source_id, pl.Int32).alias("source_id"), pl.lit(None, pl.Int64).alias("tag_id")
        )
        .select(list(TAGS))
    )


def _paired(
    records: pl.DataFrame,
    state: pl.DataFrame,
    tags: pl.DataFrame,
    own: pl.DataFrame | None,
    rows: Rows | None,
    typed: pl.DataFrame | None,
) -> pl.DataFrame:
    """Records with the attempt each one is, how it was found, and whether the two clash."""
    named = records.filter(pl.col("attempt_id").is_not_null())
    free = records.filter(pl.col("attempt_id").is_null()) if len(named) else records
    if rows is not None:
        pairs = match_rows(free, state, tags, rows)
    elif own is None and typed is None:
        pairs = match(free, state, tags)
    else:
        pairs = match_typed(free, state, tags, own, typed)
    if pairs.is_empty():
        free = free.with_columns(pl.lit(None, pl.String).alias("how"), pl.lit(False).alias("clash"))
    else:
        free = free.drop("attempt_id").join(pairs, on="rec", how="left", maintain_order="left")
        free = free.with_columns(pl.col("clash").fill_null(False)).select(
            *records.columns, "how", "clash"
        )
    if named.is_empty():
        return free
    named = named.with_columns(pl.lit("named").alias("how"), pl.lit(False).alias("clash"))
    return pl.concat([free, named])


def _differs(name: str) -> pl.Expr:
    return (pl.col(name) != pl.col(f"{name}_old")).fill_null(False)


def _fills(name: str) -> pl.Expr:
    return pl.col(name).is_not_null() & pl.col(f"{name}_old").is_null()


def _compared(
    old: pl.DataFrame, state: pl.DataFrame, tags: pl.DataFrame, replaces: bool
) -> pl.DataFrame:
    """Records beside the attempt and tag that are there: what differs, what would be filled."""
    names = ["person_id", *ATTEMPT]
    met = old.join(
        state.select("attempt_id", pl.col(names).name.suffix("_old")), on="attempt_id", how="left"
    )
    met = met.join(
        tags.select(
            "attempt_id",
            "tagger",
            pl.lit(True).alias("has_tag"),
            pl.col(list(TAG)).name.suffix("_old"),
        ),
        on=["attempt_id", "tagger"],
        how="left",
    ).with_columns(pl.col("has_tag").fill_null(False))
    met = trips.weighed(met)
    against = pl.col("clash") | pl.any_horizontal(_differs(n) for n in ("person_id", *COMPARED))
    # Numbers are comparable only where the attempt was found by them or by its id.
    numbered = pl.col("how").is_in(["id", "order", "counts"])
    against = against | (numbered & _differs("given_order"))
    clear = pl.col("technique_id").is_not_null()
    tag_against = pl.any_horizontal(_differs(n) for n in TAG_COMPARED) | (
        (clear & pl.col("unclear_old").fill_null(False))
        | (pl.col("unclear").fill_null(False) & pl.col("technique_id_old").is_not_null())
    )
    tag_against = pl.col("has_tag") & tag_against
    tag_fills = pl.sum_horizontal(_fills(n).cast(pl.UInt32) for n in TAG_COMPARED)
    for flag in ("unclear", "adjudicated"):
        turned_on = pl.col(flag).fill_null(False) & ~pl.col(f"{flag}_old").fill_null(False)
        tag_fills = tag_fills + turned_on.cast(pl.UInt32)
    has = pl.col("tagger").is_not_null()
    return met.with_columns(
        (against if replaces else against | tag_against).fill_null(False).alias("against"),
        pl.sum_horizontal(_fills(n).cast(pl.UInt32) for n in FILLED).alias("fills"),
        pl.when(pl.col("has_tag") & (not replaces)).then(tag_fills).otherwise(0).alias("tag_fills"),
        (has & (pl.lit(replaces) | ~pl.col("has_tag"))).alias("adds_tag"),
    )


def _outcomes(met: pl.DataFrame, lost: pl.DataFrame) -> pl.DataFrame:
    """What became of records that met an attempt, and of the rest of a contradicting line.

    A record of such a line that met nothing is kept beside one that did, so that an undo of what it
    contradicts finds the whole line again.
    """
    gives = (pl.col("fills") + pl.col("tag_fills") > 0) | pl.col("adds_tag")
    bad = pl.col("bad")
    columns = (
        *("rec", "line", "attempt_id"),
        pl.when(bad)
        .then(pl.lit("contradicting"))
        .when(gives)
        .then(pl.lit("stored"))
        .otherwise(pl.lit("already_there"))
        .alias("outcome"),
        pl.lit(False).alias("new"),
        pl.when(bad)
        .then(0)
        .otherwise(pl.col("fills") + pl.col("tag_fills"))
        .cast(pl.UInt32)
        .alias("filled"),
        (pl.col("adds_tag") & ~bad).alias("tagged"),
    )
    out = met.select(columns)
    if lost.is_empty():
        return out
    beside = met.filter("bad").group_by("line").agg(pl.col("attempt_id").first())
    return pl.concat(
        [
            out,
            lost.drop("attempt_id")
            .join(beside, on="line")
            .select(
                *("rec", "line", "attempt_id", pl.lit("contradicting").alias("outcome")),
                pl.lit(False).alias("new"),
                pl.lit(0, pl.UInt32).alias("filled"),
                pl.lit(False).alias("tagged"),
            ),
        ]
    )
