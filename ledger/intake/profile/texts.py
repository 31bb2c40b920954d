"""Fields out of a text: the first pattern that matches gives its named groups."""

from __future__ import annotations

import polars as pl

from ledger.errors import RefusedInput
from ledger.intake import findings
from ledger.intake.profile.filling import fill
from ledger.intake.profile.format import Ref, Text
from ledger.intake.profile.patterns import group_names, groups
from ledger.intake.profile.work import Work

_NO_MATCH = "no pattern of the profile matches {}; fill the fields it holds, or add a pattern"


def take_apart(work: Work, fields: frozenset[str]) -> None:
    """Take every text of the profile apart, skipped rows first, so that only records are refused.

    Args:
        work: the cells.
        fields: names of fields; other groups become columns for later steps.
    """
    by_column: dict[Ref, list[Text]] = {}
    for text in work.profile.texts:
        by_column.setdefault(text.column, []).append(text)
    for column, entries in by_column.items():
        _take(work, column, entries, fields)


def _take(work: Work, column: Ref, entries: list[Text], fields: frozenset[str]) -> None:
    cells = work.frame[work.cells(column)]
    different = cells.unique(maintain_order=True)
    matched = pl.Series([False]).new_from_index(0, len(different))
    names = list(dict.fromkeys(name for text in entries for name in group_names(text.pattern)))
    found = {name: pl.Series([""], dtype=pl.String) for name in names}
    found = {name: blank.new_from_index(0, len(different)) for name, blank in found.items()}
    for text in entries:
        fits, named = groups(different, text.pattern)
        fresh = fits & ~matched
        for name, values in named.items():
            new = pl.when(fresh).then(values.fill_null("")).otherwise(found[name])
            found[name] = pl.select(new).to_series()
        matched = matched | fits
    told = pl.DataFrame({"text": different, "matched": matched, **found})
    spread = pl.DataFrame({"text": cells}).join(told, on="text", how="left", maintain_order="left")
    without = ~spread["matched"]
    if any(text.must for text in entries):
        work.refuse(without, work.written(column), cells, "no_match", _NO_MATCH)
    else:
        work.leave_out(without, "no_match")
        spread = spread.filter(~without)
    for name in names:
        _keep(work, name, spread[name], fields)


def _keep(work: Work, name: str, values: pl.Series, fields: frozenset[str]) -> None:
    if name not in fields or work.place(name) is None:
        work.frame = work.frame.with_columns(values.alias(f"+{name}"))
    if name in fields:
        fill(work, name, values)


def from_file_name(work: Work, fields: frozenset[str], stands: frozenset[str]) -> None:
    """Fields out of the file's name.

    Args:
        work: the cells.
        fields: names of fields.
        stands: fields that `--set` says, which stand above.

    Raises:
        RefusedInput: if the name does not match.
    """
    pattern = work.profile.file_name
    if pattern is None:
        return
    fits, named = groups(pl.Series([work.name]), pattern)
    height = work.frame.height
    if not fits[0]:
        if set(named) <= stands:
            return
        raise RefusedInput(
            f"{work.name}: its name does not match the pattern of the profile"
            f" {findings.show(work.profile.name)} ({findings.show(pattern)}) that gives"
            f" {', '.join(named)}; rename the file, or type"
            f" {' '.join(f'--set {name}=VALUE' for name in named if name in fields)}"
        )
    for name, value in named.items():
        every = value.fill_null("").new_from_index(0, height)
        _keep(work, name, every, fields - stands)
