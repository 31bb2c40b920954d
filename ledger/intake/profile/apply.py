"""A profile laid over a file: its cells become fields of the kind, row by row accounted for."""

from __future__ import annotations

from dataclasses import dataclass, replace

import polars as pl

from ledger import resources
from ledger.errors import RefusedInput, UseError
from ledger.intake import findings
from ledger.intake.forms import Opened, sheet_faults
from ledger.intake.mapping import header_form, known_field, listed, required_names
from ledger.intake.options import ReadOptions
from ledger.intake.profile import filling, people, rows, texts, times
from ledger.intake.profile.crossing import fields_of
from ledger.intake.profile.format import Profile, Ref, Source
from ledger.intake.profile.lookups import Beside, look_up
from ledger.intake.profile.pairs import split_pair
from ledger.intake.profile.patterns import group_names
from ledger.intake.profile.work import Work
from ledger.intake.tokens import Table
from ledger.intake.words import normal_word

_TEXT = 320


@dataclass(frozen=True, slots=True)
class Shaped:
    """A file after its profile.

    Attributes:
        table: the records' cells, columns named by field; rows refused and skipped so far.
        refused: the cells of refused records, columns as in `table.frame`.
        options: what was typed, with what the profile says of constants, words and dates.
        mapping: where each field comes from, for the report.
        warnings: what the reader of the report should know.
    """

    table: Table
    refused: pl.DataFrame
    options: ReadOptions
    mapping: dict[str, str]
    warnings: tuple[str, ...]


def apply(
    profile: Profile, opened: Opened, name: str, beside: Beside, options: ReadOptions | None = None
) -> Shaped:
    """Lay a profile over a file.

    Args:
        profile: from `parse`.
        opened: the file's cells.
        name: the file's name, safe to show.
        beside: gives a second file by its name.
        options: what was typed beside the file; `--set` and `--dates` stand above the profile.

    Returns:
        The table of fields. Every row of the file is among its records, its rejects or its
        skipped rows.

    Raises:
        RefusedInput: if the file does not fit the profile.
        UseError: if what was typed does not go with the profile.
    """
    typed = options or ReadOptions()
    merged = _merged(profile, typed)
    work = Work(profile, opened.table, name, opened.form)
    warnings = _fits(work)
    table = opened.table
    if table.faults:
        table = sheet_faults.refused(table, work.used())
        work = Work(profile, table, name, opened.form)
    _steps(work, beside, frozenset(dict(typed.set_values)))
    _refuse_clashes(work, typed)
    _complete(work, merged)
    return _shaped(work, table, merged, warnings)


def _merged(profile: Profile, typed: ReadOptions) -> ReadOptions:
    schema = resources.schema(profile.kind)
    for field, _ in typed.set_values:
        known_field(field, schema, "--set")
    coded = {field["name"] for field in schema["fields"] if field.get("coded")}
    words = tuple(
        (field, text, value)
        for field, said in profile.words.items()
        if field in coded
        for text, value in said.items()
    )
    return replace(
        typed,
        set_values=tuple((dict(profile.constants) | dict(typed.set_values)).items()),
        words=words + typed.words,
        dates=typed.dates or profile.dates,
        trip_seconds=_trip_seconds(profile, typed),
    )


def _trip_seconds(profile: Profile, typed: ReadOptions) -> float | None:
    if typed.trip_seconds is None and profile.trips == "by clock":
        return profile.trip_seconds
    return typed.trip_seconds


def _fits(work: Work) -> list[str]:
    profile = work.profile
    gone = [ref for ref in profile.needed if work.place(ref) is None]
    if gone:
        raise work.unfit(gone)
    if not profile.needed:
        return []
    known = {work.place(ref) for _, ref in profile.references()}
    extra = [
        head
        for at, head in enumerate(work.headers)
        if str(at) not in known and header_form(head) and str(at + 1) != head
    ]
    return [f"columns the profile does not know, left out: {listed(extra)}"] if extra else []


def _steps(work: Work, beside: Beside, stands: frozenset[str]) -> None:
    profile = work.profile
    fields = frozenset(fields_of(profile.kind))
    rows.choose(work)
    rows.unfold(work)
    texts.from_file_name(work, fields, stands)
    texts.choose(work)
    early, late = _by_time(profile)
    _look_up_and_fill(work, beside, early)
    split_pair(work)
    texts.take_apart(work, fields)
    _look_up_and_fill(work, beside, late)
    for name, said in profile.names.items():
        people.put_right(work, name, said)
    for name, value in profile.blanks.items():
        filling.with_blanks(work, name, value)
    _plain_words(work)
    if profile.clock is not None:
        times.left_in_period(work, profile.clock)
    if profile.order in ("file", "reversed"):
        times.number_records(work, profile.order)


_Steps = tuple[list[int], dict[str, Source]]


def _by_time(profile: Profile) -> tuple[_Steps, _Steps]:
    """Look-ups (by place) and fields that can be had before the texts are taken apart, and others.

    A column that a text's group names, or that such a look-up adds, is there only afterwards.
    """
    fields = fields_of(profile.kind)
    groups = {name for text in profile.texts for name in group_names(text.pattern)}
    later: set[Ref] = {name for name in groups if name not in fields}
    early: _Steps = ([], {})
    late: _Steps = ([], {})
    for at, lookup in enumerate(profile.lookups):
        steps = early
        if lookup.column in later:
            steps = late
            later |= set(lookup.take)
        steps[0].append(at)
    for name, source in profile.fields.items():
        steps = late if later & set(source.columns) else early
        steps[1][name] = source
    return early, late


def _look_up_and_fill(work: Work, beside: Beside, steps: _Steps) -> None:
    lookups, sources = steps
    for at in lookups:
        look_up(work, work.profile.lookups[at], beside)
    for name, source in sources.items():
        filling.fill(work, name, filling.from_columns(work, source))


def _plain_words(work: Work) -> None:
    """Words of fields that are not coded, such as a period; the others are read with the rest."""
    fields = fields_of(work.profile.kind)
    for name, said in work.profile.words.items():
        column = f"={name}"
        if fields[name].get("coded") or column not in work.frame.columns:
            continue
        meant = {normal_word(text): value for text, value in said.items()}
        cells = work.frame[column]
        known = {
            cell: meant[normal_word(cell)]
            for cell in cells.unique().to_list()
            if normal_word(cell) in meant
        }
        if known:
            work.frame = work.frame.with_columns(
                cells.replace(list(known), list(known.values())).alias(column)
            )


def _filled(work: Work) -> list[str]:
    return [column[1:] for column in work.frame.columns if column.startswith("=")]


def _refuse_clashes(work: Work, typed: ReadOptions) -> None:
    for field, _ in typed.set_values:
        if f"={field}" in work.frame.columns:
            raise UseError(
                f"--set {field}: the profile {findings.show(work.profile.name)} takes it from the"
                " file; leave --set out, or change the profile"
            )


def _complete(work: Work, options: ReadOptions) -> None:
    """Refuse a file for which nothing says a field that every record needs."""
    have = {*_filled(work), *dict(options.set_values)}
    required = required_names(resources.schema(work.profile.kind))
    missing = [field for field in required if field not in have]
    if missing:
        told = ", ".join(missing)
        why = "names teams but no players: " if "player" in missing and "team" in have else ""
        raise RefusedInput(
            f"{work.name}: {why}the profile {findings.show(work.profile.name)} says nothing of"
            f" {told}; add it under fields or constants, or type --set {missing[0]}=VALUE"
        )


def _shaped(work: Work, table: Table, options: ReadOptions, warnings: list[str]) -> Shaped:
    fields = _filled(work)
    places = {f"={field}": str(at) for at, field in enumerate(fields)}
    problems = work.problems()
    every = work.frame.select("line", *places).rename(places)
    skipped = _skipped(work, table)
    # What the profile leaves out is no record, wherever text stands in its line.
    left = pl.col("line").is_in(skipped["line"].implode())
    rejects = table.rejects.filter(~(left & (pl.col("reason") == "outside_columns")))
    every = findings.without(every, rejects)
    shaped = Table(
        tuple(fields),
        findings.without(every, problems),
        pl.concat([rejects, problems]),
        pl.concat([table.skipped, skipped]),
        table.separator,
        table.header_line,
        table.above,
        table.lines,
        table.ends,
    )
    mapping = sources_of(work.profile, fields)
    refused = every.join(problems.select("line"), on="line", how="semi", maintain_order="left")
    return Shaped(shaped, refused, options, mapping, tuple(warnings))


def _skipped(work: Work, table: Table) -> pl.DataFrame:
    left = work.left()
    if left.is_empty():
        return findings.skipped_frame([])
    told = left.join(table.lines, on="line", how="left", maintain_order="left")
    return told.select("line", "reason", pl.col("text").fill_null("").str.slice(0, _TEXT))


def sources_of(profile: Profile, fields: list[str]) -> dict[str, str]:
    """Where each field comes from, in the words of the profile, to the field."""
    found: dict[str, str] = {}

    def tell(source: str, field: str) -> None:
        if field in fields:
            key = source if source not in found else f"{source} ({field})"
            found.setdefault(key, field)

    for field in group_names(profile.file_name) if profile.file_name else ():
        tell("file name", field)
    for field, source in profile.fields.items():
        tell(" + ".join(map(_named, source.columns)), field)
    if profile.pair is not None:
        tell(_named(profile.pair.column), "made")
        tell(_named(profile.pair.column), "attempts")
    for text in profile.texts:
        for field in group_names(text.pattern):
            tell(f"{_named(text.column)} (text)", field)
    return found | {f"--blank {field}": field for field in profile.blanks if field in fields}


def _named(ref: Ref) -> str:
    return ref if isinstance(ref, str) else f"column {ref}"
