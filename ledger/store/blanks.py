"""What later records fill of attempts and tags that are there: blank fields, and no others."""

from __future__ import annotations

import polars as pl

from ledger.store.records import ATTEMPT, STATE, TAG, TAG_COMPARED, TAGS


def filled(state: pl.DataFrame, good: pl.DataFrame, changed: pl.DataFrame) -> pl.DataFrame:
    """All attempts, those that were `changed` with their blank fields filled from records.

    Args:
        state: the attempts, `STATE` columns.
        good: records beside the attempts they are.
        changed: ids (`attempt_id`) of those that fill something.
    """
    if changed.is_empty():
        return state
    names = [n for n in ATTEMPT if n != "player_id"]
    more = good.join(changed, on="attempt_id", how="semi").select(
        "attempt_id", "retold", pl.col(names).name.suffix("_more")
    )
    blank = pl.col("trip_shot").is_null() & pl.col("trip_of").is_null()
    told = pl.col("trip_shot_more").is_not_null() | pl.col("trip_of_more").is_not_null()
    return (
        state.join(more, on="attempt_id", how="left", maintain_order="left")
        .with_columns(
            pl.when(pl.col("retold").fill_null(False)).then(None).otherwise(pl.col(n)).alias(n)
            for n in ("trip_shot", "trip_of")
        )
        .with_columns(
            pl.when(blank & told)
            .then(pl.col("trip_derived_more").fill_null(False))
            .otherwise(pl.col("trip_derived"))
            .alias("trip_derived"),
            *[pl.coalesce(n, f"{n}_more").alias(n) for n in names if n != "trip_derived"],
        )
        .select(list(STATE))
    )


def tags_filled(tags: pl.DataFrame, good: pl.DataFrame, changed: pl.DataFrame) -> pl.DataFrame:
    """All tags, those that were `changed` with their blank fields filled from records.

    Args:
        tags: the tags, `TAGS` columns.
        good: records beside the tags they are.
        changed: `attempt_id`, `tagger` of those that fill something.
    """
    if changed.is_empty():
        return tags
    more = good.join(changed, on=["attempt_id", "tagger"], how="semi").select(
        "attempt_id", "tagger", pl.col(list(TAG)).name.suffix("_more")
    )
    known_now = pl.col("technique_id").is_null() & pl.col("technique_id_more").is_not_null()
    return (
        tags.join(more, on=["attempt_id", "tagger"], how="left", maintain_order="left")
        .with_columns(
            pl.when(known_now)
            .then(pl.coalesce("technique_as_written_more", "technique_as_written"))
            .otherwise(pl.coalesce("technique_as_written", "technique_as_written_more"))
            .alias("technique_as_written"),
            *[pl.coalesce(n, f"{n}_more").alias(n) for n in TAG_COMPARED],
            *[
                (pl.col(n).fill_null(False) | pl.col(f"{n}_more").fill_null(False)).alias(n)
                for n in ("unclear", "adjudicated")
            ],
        )
        .select(list(TAGS))
    )
