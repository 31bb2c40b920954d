"""A file to what can be stored and what cannot: the front half of an import, without a ledger."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger import resources
from ledger.errors import RefusedInput, UseError
from ledger.intake import (
    encoding,
    findings,
    fingerprint,
    kind_guard,
    mapping,
    notices,
    rebound_zones,
    rules,
    snapshot,
    tokens,
    trips,
)
from ledger.intake.forms import Form, Opened, open_table, sheet_faults
from ledger.intake.options import ReadOptions, with_typed_words
from ledger.intake.words import Words, build

if TYPE_CHECKING:
    from ledger.intake.profile import Beside, Profile

KINDS = ("attempts", "box", "totals", "tags", "players", "shortlist")
# A single row without a name is a slip of the pen, not a file of teams.
_NAMELESS_ROWS = 2


@dataclass(frozen=True, slots=True)
class Reading:
    """What a file holds. `rows` counts its rows: with records, rejected or skipped.

    A row may give several records (two sides of it); if one of them is refused all are.

    Attributes:
        name: the file's name, safe to show.
        kind: one of `KINDS`.
        sha256: hash of the bytes on disk.
        size: bytes on disk.
        content_hash: hash of the records, the same for the same records in other bytes.
        encoding: the encoding the file was read in.
        separator: what stands between fields.
        header_line: line of the header, 0 where there is none.
        columns: column names as written.
        frame: `line` (Int32) and the typed columns; those of the schema that the file or `--set`
            fills. A season also gives `season_key` (String) and `start_year` (Int32), a technique
            `technique_as_written` (String) and `unclear` (Boolean).
        rejects: `line`, `column`, `value` (cut, safe to show), `reason`, `fix`, `record` (the
            row's own text, to be mended and imported again), one row a rejected row.
        skipped: `line`, `reason`, `text` (cut), one row a row that holds no record.
        warnings: lines for the report.
        mapping: column as written to field, and `--set` fields to their value.
        drawn: the tagged players were chosen by lot.
        tagger: who watched, where the rows do not say.
        cells: by a profile, the cells of all records, also refused ones: `line` and a column a
            field.
        options: what was typed, with what the profile says.
    """

    name: str
    kind: str
    sha256: str
    size: int
    content_hash: str
    encoding: str
    separator: str
    header_line: int
    columns: tuple[str, ...]
    frame: pl.DataFrame
    rejects: pl.DataFrame
    skipped: pl.DataFrame
    warnings: tuple[str, ...]
    mapping: dict[str, str]
    drawn: bool = False
    tagger: str | None = None
    cells: pl.DataFrame | None = None
    options: ReadOptions = field(default_factory=ReadOptions)

    @property
    def rows(self) -> int:
        """How many rows the file has: with records, rejected and skipped."""
        return self.frame["line"].n_unique() + self.rejects.height + self.skipped.height

    @property
    def skipped_reasons(self) -> dict[str, int]:
        """Why rows hold no record, to how many; the commonest first."""
        counts = (
            self.skipped.group_by("reason").len().sort(["len", "reason"], descending=[True, False])
        )
        return dict(counts.iter_rows())

    @property
    def reasons(self) -> dict[str, int]:
        """Reason code to number of rejected rows, the commonest first."""
        counts = (
            self.rejects.group_by("reason").len().sort(["len", "reason"], descending=[True, False])
        )
        return dict(counts.iter_rows())


def read(
    path: str | os.PathLike[str],
    kind: str | None = None,
    options: ReadOptions | None = None,
    words: Words | None = None,
) -> Reading:
    """Read a file of one kind.

    Args:
        path: a regular file; it is opened once and no library sees its name.
        kind: one of `KINDS`, never inferred: that of the profile, else attempts, unless given.
        options: what the user typed beside the file.
        words: the ledger's word table (`words.build`); the starter words if not given.

    Raises:
        UseError: if an option cannot be used.
        RefusedInput: if the file is refused whole.
    """
    return read_snapshot(snapshot.take(path), kind, options, words, beside=beside_of(path))


def beside_of(path: str | os.PathLike[str]) -> Beside:
    """What gives files that lie beside this one, by their name."""
    return lambda name: snapshot.take(Path(path).parent / name)


def read_snapshot(
    taken: snapshot.Snapshot,
    kind: str | None = None,
    options: ReadOptions | None = None,
    words: Words | None = None,
    *,
    beside: Beside | None = None,
) -> Reading:
    """The same for bytes already taken (`snapshot.take`), so that a caller can look at the hash.

    Args:
        taken: the file's bytes.
        kind: one of `KINDS`; that of the profile, else attempts, unless given.
        options: what the user typed beside the file.
        words: the ledger's word table.
        beside: gives the second files of a profile's look-ups by their name.
    """
    chosen = options or ReadOptions()
    kind = chosen.kind(kind)
    schema = _schema(kind)
    if chosen.profile is not None:
        return _read_profiled(taken, kind, chosen, chosen.profile, words, beside or _nothing_beside)
    known_words = with_typed_words(words or build(), schema, chosen)
    known = mapping.known_headers(schema, chosen.map)
    form = Form(encoding=chosen.encoding, path=chosen.path, sheet=chosen.sheet)
    opened = open_table(taken, form, known, chosen.highest_column)
    reading = _reading(taken, kind, chosen, known_words, opened)
    return replace(reading, mapping=reading.mapping | layout(chosen))


def layout(options: ReadOptions) -> dict[str, str]:
    """What was typed of the file's layout, for the mapping of its source."""
    said = {f"--{key}": told for key in ("sheet", "path") if (told := getattr(options, key))}
    if options.trip_seconds is not None:
        said["--trips"] = f"by clock, {options.trip_seconds:g} s"
    return said


def _read_profiled(
    taken: snapshot.Snapshot,
    kind: str,
    options: ReadOptions,
    profile: Profile,
    words: Words | None,
    beside: Beside,
) -> Reading:
    from ledger.intake.profile import apply, check_use, known_columns, open_known

    check_use(profile, kind, options)
    form = replace(
        profile.form,
        encoding=options.encoding or profile.form.encoding,
        path=options.path or profile.form.path,
        sheet=options.sheet or profile.form.sheet,
    )
    opened = open_known(taken, form, *known_columns(profile))
    second: dict[str, str] = {}

    def watched(name: str) -> snapshot.Snapshot:
        found = beside(name)
        second[f"--second-file {name}"] = found.sha256
        return found

    shaped = apply(profile, opened, taken.name, watched, options)
    known_words = with_typed_words(words or build(), _schema(kind), shaped.options)
    warnings = (*opened.warnings, *shaped.warnings)
    fields = Opened(shaped.table, opened.encoding, warnings, opened.form)
    reading = _reading(taken, kind, shaped.options, known_words, fields)
    constants = {k: v for k, v in reading.mapping.items() if k.startswith("--set ")}
    marks = {"--profile": profile.name, "--profile-digest": profile.digest}
    names = {str(at): field for at, field in enumerate(shaped.table.columns)}
    cells = shaped.table.frame
    if shaped.refused.height:
        cells = pl.concat([cells, shaped.refused]).sort("line", maintain_order=True)
    _refuse_empty(reading, profile)
    return replace(
        reading,
        mapping=shaped.mapping | constants | layout(options) | marks | second,
        cells=cells.rename(names),
        options=shaped.options,
    )


def _nothing_beside(name: str) -> snapshot.Snapshot:
    raise UseError(f"the profile looks up {findings.show(name)} beside the file: name the file")


def _refuse_empty(reading: Reading, profile: Profile) -> None:
    """Refuse a file in which the profile finds nothing at all."""
    if reading.frame.height or reading.rejects.height:
        return
    what = {"box": "players", "totals": "players"}.get(reading.kind, reading.kind)
    told = "; ".join(notices.skipped_words(reading.skipped)) or "it has no rows"
    raise RefusedInput(
        f"{reading.name}: holds no {what} by the profile {findings.show(profile.name)}: {told};"
        " nothing stored"
    )


def read_rows(
    rows: Sequence[Mapping[str, str]],
    kind: str,
    options: ReadOptions | None = None,
    words: Words | None = None,
    name: str = "typed in",
) -> Reading:
    """The same for rows that were typed in, by the same rules: header to cell, line 1 the first.

    Raises:
        UseError: if an option cannot be used.
        RefusedInput: if a needed field is in no row.
    """
    chosen = options or ReadOptions()
    known_words = with_typed_words(words or build(), _schema(kind), chosen)
    columns = tuple(dict.fromkeys(header for row in rows for header in row))
    cells: dict[str, object] = {"line": pl.int_range(1, len(rows) + 1, dtype=pl.Int32, eager=True)}
    for at, header in enumerate(columns):
        cells[str(at)] = pl.Series([row.get(header, "") for row in rows], dtype=pl.String)
    lines = [",".join(row.values()) for row in rows]
    table = tokens.Table(
        columns,
        pl.DataFrame(cells),
        findings.rejects_frame([]),
        findings.skipped_frame([]),
        ",",
        0,
        (),
        pl.DataFrame({"line": cells["line"], "text": pl.Series(lines, dtype=pl.String)}),
    )
    data = "\n".join([",".join(columns), *lines]).encode(errors="replace")
    digest = hashlib.sha256(data).hexdigest()
    taken = snapshot.Snapshot(name, data, digest, len(data), "plain")
    return _reading(taken, kind, chosen, known_words, Opened(table, "utf-8", (), "text"))


def _schema(kind: str) -> dict[str, Any]:
    if kind not in KINDS:
        raise UseError(f"--as {findings.show(kind)}: no such kind; it may be {', '.join(KINDS)}")
    return resources.schema(kind)


def _reading(
    taken: snapshot.Snapshot, kind: str, options: ReadOptions, words: Words, opened: Opened
) -> Reading:
    schema, table = _schema(kind), opened.table
    if kind == "attempts":
        kind_guard.refuse_own_list(table.columns, taken.name)
    columns = mapping.resolve(table.columns, schema, options.map, options.set_values, taken.name)
    table = sheet_faults.refused(table, columns.places.values())
    _refuse_nameless(table, columns, taken.name)
    converted = rules.convert(table, schema, columns, words, options, taken.name)
    rejects = pl.concat([table.rejects, converted.rejects]).sort("line")
    rejects = rejects.unique("line", keep="first", maintain_order=True)
    frame = findings.without(converted.frame, rejects)
    skipped = pl.concat([table.skipped, converted.skipped]).sort("line")
    skipped = skipped.unique("line", keep="first", maintain_order=True)
    skipped = findings.without(findings.without(skipped, rejects), frame)
    frame, derived = _with_trips(rebound_zones.filled(frame), kind, options)
    warnings = [
        *opened.warnings,
        *derived,
        *notices.about_table(table, columns),
        *notices.about_skipped(skipped),
        *notices.about_records(frame, converted.unknown_techniques),
    ]
    return Reading(
        name=taken.name,
        kind=kind,
        sha256=taken.sha256,
        size=taken.size,
        content_hash=fingerprint.content_hash(frame, kind),
        encoding=opened.encoding,
        separator=table.separator,
        header_line=table.header_line,
        columns=table.columns,
        frame=frame,
        rejects=with_records(rejects, table),
        skipped=skipped,
        warnings=tuple(warnings),
        mapping=columns.used(),
        drawn=options.drawn,
        tagger=options.tagger,
        options=options,
    )


def _with_trips(
    frame: pl.DataFrame, kind: str, options: ReadOptions
) -> tuple[pl.DataFrame, tuple[str, ...]]:
    """The records with trips grouped by the clock, where that is asked for."""
    if options.trip_seconds is None:
        return frame, ()
    if kind != "attempts":
        raise UseError(f"--trips by-clock: {kind} have no trips; it goes with --as attempts")
    return trips.by_clock(frame, options.trip_seconds)


def _refuse_nameless(table: tokens.Table, columns: mapping.Columns, name: str) -> None:
    """Refuse a file of teams: attempts belong to players."""
    if not {"team", "player"} <= set(columns.places) or table.frame.height < _NAMELESS_ROWS:
        return
    blank = [
        table.frame[str(columns.places[f])].str.strip_chars() == "" for f in ("player", "team")
    ]
    if blank[0].all() and not blank[1].any():
        raise RefusedInput(
            f"{name}: names teams but no players; attempts belong to players: find the file that"
            " tells them player by player; nothing stored"
        )


def lines_of(taken: snapshot.Snapshot, kind: str, options: ReadOptions) -> tokens.Table:
    """The cells of a file read without a profile once more, for the text of some of its rows."""
    form = Form(encoding=options.encoding, path=options.path, sheet=options.sheet)
    known = mapping.known_headers(_schema(kind), options.map)
    return open_table(taken, form, known, options.highest_column).table


def with_records(rejects: pl.DataFrame, table: tokens.Table) -> pl.DataFrame:
    """The rejects with each row's own text, over all its lines."""
    if rejects.is_empty():
        return rejects.with_columns(record=pl.lit(None, dtype=pl.String))
    joined = rejects.join(table.lines.rename({"text": "record"}), on="line", how="left")
    joined = joined.unique("line", keep="first", maintain_order=True)
    several = {line: end for line, end in table.ends.items() if line in set(rejects["line"])}
    if several:
        texts = {
            line: "\n".join(table.lines["text"].slice(line - 1, end - line + 1))
            for line, end in several.items()
        }
        whole = pl.col("line").replace_strict(
            list(texts), list(texts.values()), default=pl.col("record"), return_dtype=pl.String
        )
        joined = joined.with_columns(record=whole)
    marked = pl.col("record").str.replace_all(encoding.MARK, "\ufffd", literal=True)
    return joined.with_columns(record=marked)


__all__ = ["KINDS", "ReadOptions", "Reading", "read", "read_rows", "read_snapshot"]
