"""Columns from a second file that lies beside the first: ids to names, games to dates."""

from __future__ import annotations

from collections.abc import Callable

import polars as pl

from ledger.errors import RefusedInput
from ledger.intake import findings
from ledger.intake.forms import open_table, sheet_faults
from ledger.intake.mapping import header_form, listed
from ledger.intake.profile.format import Lookup, Ref
from ledger.intake.profile.work import Work
from ledger.intake.snapshot import Snapshot

Beside = Callable[[str], Snapshot]


def look_up(work: Work, lookup: Lookup, beside: Beside) -> None:
    """Add the columns of one second file; records whose key it lacks are refused.

    Raises:
        RefusedInput: if the second file cannot be read or lacks a column.
    """
    there = _second(work, lookup, beside)
    named = [f"+{name}" for name in lookup.take]
    several = there.filter(pl.col("key").is_duplicated())["key"].unique().to_list()
    once = there.filter(~pl.col("key").is_in(several))
    column = work.cells(lookup.column)
    keys = work.frame[column].str.strip_chars()
    found = pl.DataFrame({"key": keys}).join(once, on="key", how="left", maintain_order="left")
    filled, file = keys != "", findings.show(lookup.file)
    doubled = keys.is_in(several)
    unknown = filled & ~doubled & ~keys.is_in(once["key"].implode())
    shown = work.written(lookup.column)
    work.refuse(
        unknown, shown, keys, "not_in_second_file", f"{file} has no row for {{}}: add it there"
    )
    work.refuse(
        filled & doubled,
        shown,
        keys,
        "twice_in_second_file",
        f"{file} has rows for {{}} that differ: keep the right one",
    )
    work.frame = work.frame.with_columns(found[name].fill_null("") for name in named)


def _second(work: Work, lookup: Lookup, beside: Beside) -> pl.DataFrame:
    """The different rows of a second file: `key` and the columns taken."""
    refs: dict[str, Ref] = {"key": lookup.key}
    refs |= {f"+{name}": ref for name, ref in lookup.take.items()}
    taken = beside(lookup.file)
    known = {header_form(ref): ref for ref in refs.values() if isinstance(ref, str)}
    highest = max((ref for ref in refs.values() if isinstance(ref, int)), default=0)
    opened = open_table(taken, lookup.form, known, highest if not known else 0)
    second = Work(work.profile, opened.table, taken.name, opened.form)
    columns, used = [], []
    for name, ref in refs.items():
        place = second.place(ref)
        if place is None:
            raise RefusedInput(
                f"{taken.name}: the profile {findings.show(work.profile.name)} looks for a column"
                f" {findings.show(str(ref))} in it; it has {listed(opened.table.columns)}"
            )
        used.append(int(place))
        columns.append(pl.col(place).str.strip_chars().alias(name))
    refused = sheet_faults.refused(opened.table, used).rejects
    kept = findings.without(second.frame, refused)
    return kept.select(columns).filter(pl.col("key") != "").unique(maintain_order=True)
