"""A file into the ledger: taken, read with the ledger's words, matched, stored, told of."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import polars as pl

from ledger import resources
from ledger.intake import fields, findings, rejects_file, resolved, snapshot
from ledger.intake.options import ReadOptions, with_typed_words
from ledger.intake.profile.use import check_use
from ledger.intake.read import Reading, beside_of, layout, lines_of, read_snapshot, with_records
from ledger.intake.report import Report
from ledger.intake.snapshot import Snapshot
from ledger.intake.words import Words, build
from ledger.store import commit as store
from ledger.store.batch import Batch, Committed, Seen
from ledger.store.profiles import came_before
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.intake.profile import Beside
    from ledger.store.ledger_file import LedgerFile


class _NothingKept(Exception):
    """Ends a change that was only a check."""


def bring(
    ledger: LedgerFile,
    path: str | os.PathLike[str],
    kind: str | None = None,
    options: ReadOptions | None = None,
    *,
    check: bool = False,
    rejects: Path | None = None,
) -> Report:
    """Bring one file in, as one source and one transaction.

    Args:
        ledger: the ledger.
        path: a regular file.
        kind: `attempts`, `box`, `totals`, `tags`, `players` or `shortlist`, never inferred: that
            of the profile, else attempts, unless given.
        options: what was typed beside the file.
        check: say what would happen and store nothing.
        rejects: where to write the refused rows.

    Returns:
        What became of every row.

    Raises:
        RefusedInput: if the file is refused whole.
        UseError: if an option cannot be used.
        LedgerError: busy, damaged, newer, read-only, or the disk is full.
    """
    chosen = options or ReadOptions()
    kind = chosen.kind(kind)
    taken = snapshot.take(path)
    marks = marks_of(chosen, kind, beside_of(path))
    with ledger.reading() as con:
        words = read_words(con)
        before = None if marks is None else came_before(con, kind, taken.sha256, marks)
    if before is not None and not before.rejected:
        return _unread(taken.name, taken.sha256, kind, before, check)
    reading = read_snapshot(taken, kind, chosen, words, beside=beside_of(path))
    if before is None and reading.frame.height:
        with ledger.reading() as con:
            before = store.same_file(con, kind, None, reading.content_hash)
    if before is not None and not before.rejected and not reading.rejects.height:
        return duplicate(reading, before, check=check)
    named: list[str] = []

    def refuse(done: Committed) -> None:
        if rejects is not None:
            named.append(_write_rejects(rejects, Path(path), taken, words, reading, done))

    done, shots = _commit(ledger, reading, refuse, before, check=check)
    report = replace(
        Report.of(reading, done, check=check),
        rejects_file=named[0] if named else None,
        shots=shots,
    )
    if before is None or not _nothing_new(done, before):
        return report
    return _still_refused(report, done, before)


def marks_of(options: ReadOptions, kind: str, beside: Beside) -> dict[str, str] | None:
    """What the mapping of a source must hold for the same bytes to be the same records.

    Args:
        options: what was typed beside the file.
        kind: what a record is.
        beside: gives the second files of a profile.

    Returns:
        `None` where only reading the file can tell.
    """
    if options.map or options.set_values or options.words or options.dates:
        return None
    profile = options.profile
    marks = layout(options)
    if profile is None:
        return marks
    check_use(profile, kind, options)
    second = {f"--second-file {one.file}": beside(one.file).sha256 for one in profile.lookups}
    return marks | {"--profile": profile.name, "--profile-digest": profile.digest} | second


def words_of(ledger: LedgerFile) -> Words:
    """The words a file may use in this ledger: the starter words, its techniques and its own."""
    with ledger.reading() as con:
        return read_words(con)


def read_words(con: DuckDBPyConnection) -> Words:
    """The same from a connection that is open."""
    extra: dict[str, dict[str, str]] = {}
    for field, text, _, value in con.execute(sql("words", "all")).fetchall():
        extra.setdefault(str(field), {})[str(text)] = str(value)
    named = con.execute(sql("names", "techniques")).fetchall()
    return build(extra, [str(row[1]) for row in named])


def _commit(
    ledger: LedgerFile,
    reading: Reading,
    refuse: Callable[[Committed], None],
    before: Seen | None,
    *,
    check: bool,
) -> tuple[Committed, dict[str, int]]:
    """Commit, and write the refused rows before it is kept: where they cannot be, nothing is.

    A file that came in before and had rows refused is kept again only if more is taken by now.
    """
    batch = Batch(
        kind=reading.kind,
        file=reading.name,
        frame=reading.frame,
        rejects=reading.rejects,
        skipped=reading.skipped.height,
        sha256=reading.sha256,
        content_hash=reading.content_hash,
        size=reading.size,
        mapping=reading.mapping,
        warnings=reading.warnings,
        drawn=reading.drawn,
        tagger=reading.tagger,
    )
    done: Committed | None = None
    shots: dict[str, int] = {}
    try:
        with ledger.changing(f"offglass import {reading.name}") as con:
            done = store.commit(con, ledger, batch)
            shots = shots_of(con, done.source_id, reading)
            refuse(done)
            if check or (before is not None and _nothing_new(done, before)):
                raise _NothingKept
    except _NothingKept:
        pass
    assert done is not None
    return done, shots


def shots_of(con: DuckDBPyConnection, source_id: int, reading: Reading) -> dict[str, int]:
    """How many attempts of each kind of shot a source added; nothing where no record tells it."""
    if "shot" not in reading.frame.columns:
        return {}
    found = con.execute(sql("commit/reconcile", "shots_of"), {"source_id": source_id}).fetchall()
    return {str(shot): int(number) for shot, number in found}


def _nothing_new(done: Committed, before: Seen) -> bool:
    """Whether a file that came in before gives no more than it did then."""
    return not done.stored and done.rejected >= before.rejected


def duplicate(reading: Reading, before: Seen, *, check: bool = False) -> Report:
    """The report of records that a live source brought before, and of which nothing is stored."""
    rejected, skipped = reading.rejects.height, reading.skipped.height
    return replace(
        _unread(reading.name, reading.sha256, reading.kind, before, check),
        rows=reading.rows,
        rejected=rejected,
        skipped=skipped,
        already_there=reading.rows - rejected - skipped,
        reasons=reading.reasons,
        skipped_reasons=reading.skipped_reasons,
        mapping=reading.mapping,
    )


def _unread(name: str, sha256: str, kind: str, before: Seen, check: bool) -> Report:
    """The report of bytes that are known: every row of them was taken or held nothing."""
    return Report(
        source=None,
        file=name,
        sha256=sha256,
        kind=kind,
        rows=before.rows,
        stored=0,
        rejected=0,
        skipped=0,
        already_there=before.rows,
        contradicting=0,
        warnings=(_there_already(name, before),),
        duplicate_of=before.source_id,
        check=check,
    )


def _there_already(name: str, before: Seen) -> str:
    what = "this file is" if before.same_bytes else "the same rows are"
    return (
        f"{name}: {what} already in the ledger as source {before.source_id} of "
        f"{before.when:%Y-%m-%d}: nothing added"
    )


def _still_refused(report: Report, done: Committed, before: Seen) -> Report:
    """A file that came in before and of which the same rows are refused again."""
    reasons = ", ".join(f"{code} {number:,}" for code, number in report.reasons.items())
    where = report.rejects_file
    way = f"they are in {where}" if where else "--rejects FILE writes them, to be mended"
    lines = findings.lines_named(done.refused["line"].unique().sort())
    said = (
        f"{_there_already(report.file, before)}; {report.rejected:,} rejected again"
        f" ({lines}; {reasons}): {way}"
    )
    return replace(report, source=None, duplicate_of=before.source_id, warnings=(said,))


def _write_rejects(
    path: Path, source: Path, taken: Snapshot, words: Words, reading: Reading, done: Committed
) -> str:
    said = reading.mapping.items()
    constants = {k.removeprefix("--set "): v for k, v in said if k.startswith("--set ")}
    own = dict(reading.rejects.select("line", "record").iter_rows())
    later = done.refused.join(reading.rejects.select("line"), on="line", how="anti")
    records: dict[int, list[rejects_file.Cells]]
    if reading.cells is not None:
        context = _context(reading, words)
        records = _resolved(reading, reading.cells, done.refused["line"], context, own)
        constants = resolved.resolve_constants(constants, reading.kind, context)
    else:
        if len(later):
            table = lines_of(taken, reading.kind, reading.options)
            own |= dict(with_records(later, table).select("line", "record").iter_rows())
        many = len(reading.columns)
        records = {
            line: [rejects_file.taken_apart(text or "", reading.separator or ",", many)]
            for line, text in own.items()
        }
    refused = done.refused.unique("line", keep="first", maintain_order=True)
    told = refused.select("line", "reason", pl.col("fix").fill_null("")).iter_rows()
    return rejects_file.write(path, reading, told, records, source=source, constants=constants)


def _context(reading: Reading, words: Words) -> fields.Context:
    known = with_typed_words(words, resources.schema(reading.kind), reading.options)
    return fields.Context(known, reading.options.dates, reading.separator, reading.name)


def _resolved(
    reading: Reading,
    written: pl.DataFrame,
    lines: pl.Series,
    context: fields.Context,
    own: dict[int, str],
) -> dict[int, list[rejects_file.Cells]]:
    """The records of refused rows by field; a row that was no record keeps its text."""
    found = resolved.resolve(written, lines.to_list(), reading.kind, context)
    names = rejects_file.names_of(reading)
    records = {
        line: [rejects_file.Cells([one[name] for name in names]) for one in several]
        for line, several in found.items()
    }
    none = [""] * len(names)
    return {line: [rejects_file.Cells(none, text or "")] for line, text in own.items()} | records
