"""Fields filled by several steps: what one step left blank the next may fill, never change."""

from __future__ import annotations

import polars as pl

from ledger.intake.profile.format import Source
from ledger.intake.profile.work import Work


def fill(work: Work, name: str, values: pl.Series) -> None:
    """Let a step fill a field; a record where it says another value is refused.

    Args:
        work: the cells.
        name: the field.
        values: its value for each record, blank where the step has none.
    """
    column = f"={name}"
    if column not in work.frame.columns:
        work.frame = work.frame.with_columns(values.alias(column))
        return
    there, new = work.frame[column], values.str.strip_chars()
    before = there.str.strip_chars()
    differ = (before != "") & (new != "") & (before != new)
    if differ.any():
        told = pl.select(pl.concat_str(before, pl.lit(" / "), new)).to_series()
        fix = f"two places of the row give {name}: {{}}; keep the right one"
        work.refuse(differ, name, told, "two_values", fix)
    work.frame = work.frame.with_columns(
        pl.select(pl.when(before == "").then(values).otherwise(there)).to_series().alias(column)
    )


def from_columns(work: Work, source: Source) -> pl.Series:
    """What the columns of a field hold; joined ones without those that are blank."""
    places = [work.cells(ref) for ref in source.columns]
    if len(places) == 1:
        return work.frame[places[0]]
    parts = [
        pl.when(pl.col(place).str.strip_chars() != "").then(pl.col(place).str.strip_chars())
        for place in places
    ]
    joined = pl.concat_str(parts, separator=source.between, ignore_nulls=True)
    return work.frame.select(joined.fill_null("")).to_series()


def with_blanks(work: Work, name: str, value: str) -> None:
    """Let a value stand for a blank."""
    column = f"={name}"
    if column not in work.frame.columns:
        work.frame = work.frame.with_columns(pl.lit(value).alias(column))
        return
    blank = pl.col(column).str.strip_chars() == ""
    work.frame = work.frame.with_columns(
        pl.when(blank).then(pl.lit(value)).otherwise(pl.col(column)).alias(column)
    )
