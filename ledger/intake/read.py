"""A file to what can be stored and what cannot: the front half of an import, without a ledger."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import polars as pl

from ledger import resources
from ledger.errors import UseError
from ledger.intake import (
    encoding,
    findings,
    fingerprint,
    mapping,
    notices,
    rules,
    snapshot,
    tokens,
)
from ledger.intake.options import ReadOptions, with_typed_words
from ledger.intake.words import Words, build

KINDS = ("attempts", "box", "totals", "tags", "players", "shortlist")


@dataclass(frozen=True, slots=True)
class Reading:
    """What a file holds. `rows` is always records + rejects + skipped.

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
        skipped: `line`, `reason`, `text`, one row a row that holds no record.
        warnings: lines for the report.
        mapping: column as written to field, and `--set` fields to their value.
        drawn: the tagged players were chosen by lot.
        tagger: who watched, where the rows do not say.
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

    @property
    def rows(self) -> int:
        """How many rows the file has: records, rejected and skipped."""
        return self.frame.height + self.rejects.height + self.skipped.height

    @property
    def reasons(self) -> dict[str, int]:
        """Reason code to number of rejected rows, the commonest first."""
        counts = (
            self.rejects.group_by("reason").len().sort(["len", "reason"], descending=[True, False])
        )
        return dict(counts.iter_rows())


def read(
    path: str | os.PathLike[str],
    kind: str = "attempts",
    options: ReadOptions | None = None,
    words: Words | None = None,
) -> Reading:
    """Read a file of one kind.

    Args:
        path: a regular file; it is opened once and no library sees its name.
        kind: one of `KINDS`; never inferred.
        options: what the user typed beside the file.
        words: the ledger's word table (`words.build`); the starter words if not given.

    Raises:
        UseError: if an option cannot be used.
        RefusedInput: if the file is refused whole.
    """
    return read_snapshot(snapshot.take(path), kind, options, words)


def read_snapshot(
    taken: snapshot.Snapshot,
    kind: str = "attempts",
    options: ReadOptions | None = None,
    words: Words | None = None,
) -> Reading:
    """The same for bytes already taken (`snapshot.take`), so that a caller can look at the hash."""
    chosen = options or ReadOptions()
    schema = _schema(kind)
    known_words = with_typed_words(words or build(), schema, chosen)
    known = mapping.known_headers(schema, chosen.map)
    text = encoding.decode(taken.data, taken.name, chosen.encoding)
    table = tokens.tokenize(text, known, taken.name, chosen.highest_column)
    return _reading(taken, kind, chosen, known_words, table, text)


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
    return _reading(taken, kind, chosen, known_words, table, encoding.Text(data, "utf-8"))


def _schema(kind: str) -> dict[str, Any]:
    if kind not in KINDS:
        raise UseError(f"--as {findings.show(kind)}: no such kind; it may be {', '.join(KINDS)}")
    return resources.schema(kind)


def _reading(
    taken: snapshot.Snapshot,
    kind: str,
    options: ReadOptions,
    words: Words,
    table: tokens.Table,
    text: encoding.Text,
) -> Reading:
    schema = _schema(kind)
    columns = mapping.resolve(table.columns, schema, options.map, options.set_values, taken.name)
    converted = rules.convert(table, schema, columns, words, options, taken.name)
    rejects = pl.concat([table.rejects, converted.rejects]).sort("line")
    warnings = [
        *text.warnings,
        *notices.about_table(table, columns),
        *notices.about_records(converted.frame, converted.unknown_techniques),
    ]
    return Reading(
        name=taken.name,
        kind=kind,
        sha256=taken.sha256,
        size=taken.size,
        content_hash=fingerprint.content_hash(converted.frame, kind),
        encoding=text.encoding,
        separator=table.separator,
        header_line=table.header_line,
        columns=table.columns,
        frame=converted.frame,
        rejects=_with_records(rejects, table),
        skipped=pl.concat([table.skipped, converted.skipped]).sort("line"),
        warnings=tuple(warnings),
        mapping=columns.used(),
        drawn=options.drawn,
        tagger=options.tagger,
    )


def _with_records(rejects: pl.DataFrame, table: tokens.Table) -> pl.DataFrame:
    """The rejects with each row's own text, over all its lines."""
    if rejects.is_empty():
        return rejects.with_columns(record=pl.lit(None, dtype=pl.String))
    joined = rejects.join(table.lines.rename({"text": "record"}), on="line", how="left")
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
