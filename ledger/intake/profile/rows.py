"""Which rows are records, and what each side of a row is."""

from __future__ import annotations

import polars as pl

from ledger.intake.profile.format import Condition, Value
from ledger.intake.profile.work import Work


def choose(work: Work) -> None:
    """Leave out headers that come again, what the profile does not keep, and what it drops."""
    work.leave_out(_headers(work), "repeated_header")
    for condition in work.profile.keep:
        work.leave_out(~_holds(work, condition), "not_kept")
    for condition in work.profile.drop:
        work.leave_out(_holds(work, condition), "dropped")


def _headers(work: Work) -> pl.Series:
    """Rows that hold the names of the columns again."""
    names = {str(at): head.strip() for at, head in enumerate(work.headers) if head.strip()}
    alike = [pl.col(place).str.strip_chars() == name for place, name in names.items()]
    if work.form != "text" or len(alike) < 2:
        return work.frame.select(pl.repeat(False, pl.len())).to_series()
    first = work.frame.filter(alike[0]).filter(pl.all_horizontal(alike[1:]))
    return work.frame["row"].is_in(first["row"].implode())


def _holds(work: Work, condition: Condition) -> pl.Series:
    cells = work.frame[work.cells(condition.column)]
    if condition.pattern is not None:
        return cells.str.contains(condition.pattern)
    wanted = [value.strip().casefold() for value in condition.values]
    different = cells.unique().to_list()
    alike = [cell for cell in different if cell.strip().casefold() in wanted]
    return cells.is_in(alike)


def unfold(work: Work) -> None:
    """Each side of a row as a record of its own; a side whose columns are blank is none."""
    sides = work.profile.sides
    if not sides:
        return
    keys = list(dict.fromkeys(key for side in sides for key in side))
    parts, frame = [], work.frame
    for at, side in enumerate(sides):
        columns = [work.cells(ref) for ref in side.values() if not isinstance(ref, Value)]
        filled = pl.any_horizontal(pl.col(column).str.strip_chars() != "" for column in columns)
        added = []
        for key in keys:
            ref = side.get(key, Value(""))
            cell = pl.lit(ref.text) if isinstance(ref, Value) else pl.col(work.cells(ref))
            added.append(cell.alias(f"+{key}"))
        parts.append(work.frame.filter(filled).with_columns(*added, pl.lit(at).alias("side")))
    every = pl.concat(parts, how="diagonal").sort("row", "side", maintain_order=True)
    lost = ~frame["row"].is_in(every["row"].unique().implode())
    work.leave_out(lost, "blank_row")
    work.frame = every.drop("row", "side").with_row_index("row")
