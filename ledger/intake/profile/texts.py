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


def choose(work: Work) -> None:
    """Leave out early what no pattern matches: the later steps have less to do.

    A text in a column that a step adds waits for `take_apart`.
    """
    profile = work.profile
    added = {name for lookup in profile.lookups for name in lookup.take}
    added |= {name for text in profile.texts for name in group_names(text.pattern)}
    for column, entries in _by_column(work).items():
        if column in added or work.added(column) or any(text.must for text in entries):
            continue
        place = work.place(column)
        if place is None:
            continue
        cells = pl.col(place)
        fits = pl.any_horizontal(cells.str.contains(text.pattern) for text in entries)
        work.leave_out(~work.frame.select(fits).to_series(), "no_match")


def take_apart(work: Work, fields: frozenset[str]) -> None:
    """Take every text of the profile apart, skipped rows first, so that only records are refused.

    Args:
        work: the cells.
        fields: names of fields; other groups become columns for later steps.
    """
    for column, entries in _by_column(work).items():
        _take(work, column, entries, fields)


def _by_column(work: Work) -> dict[Ref, list[Text]]:
    by_column: dict[Ref, list[Text]] = {}
    for text in work.profile.texts:
        by_column.setdefault(text.column, []).append(text)
    return by_column


def _take(work: Work, column: Ref, entries: list[Text], fields: frozenset[str]) -> None:
    cells = work.frame[work.cells(column)]
    matched, found = groups(cells, entries[0].pattern)
    for text in entries[1:]:
        fits, named = groups(cells, text.pattern)
        for name in dict.fromkeys((*found, *named)):
            new = pl.when(fits & ~matched).then(named.get(name)).otherwise(found.get(name))
            found[name] = pl.select(new.cast(pl.String)).to_series()
        matched = matched | fits
    if any(text.must for text in entries):
        work.refuse(~matched, work.written(column), cells, "no_match", _NO_MATCH)
    elif not matched.all():
        work.leave_out(~matched, "no_match")
        found = {name: values.filter(matched) for name, values in found.items()}
    for name, values in found.items():
        _keep(work, name, values.fill_null(""), fields)


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
