"""Text to a table of text cells, every record accounted for.

Lines are counted, checked and split in bulk; only lines that hold a quote and are no whole
record by themselves are read one by one. A record with another number of fields than the header
is rejected with its line, and reading goes on at the next one: nothing is shifted or filled up.
"""

from __future__ import annotations

import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import polars as pl

from ledger.errors import RefusedInput
from ledger.intake import findings, header, summary_rows
from ledger.intake.encoding import MARK, MARK_BYTES, Text
from ledger.intake.records import (
    MAX_FIELD,
    MAX_RECORD,
    Damage,
    read_record,
    simple_pattern,
    split_record,
)

CONTROLS = "[\\x00-\\x08\\x0e-\\x1f\\x7f\\x{80}-\\x{9f}]"
_CONTROL = re.compile("[\x00-\x08\x0e-\x1f\x7f-\x9f]")
_CONTROL_BYTES = bytes([*range(9), *range(0x0E, 0x20), 0x7F])
_C1 = re.compile(b"\xc2[\x80-\x9f]")

Rejected = tuple[int, str | None, str | None, str, str]
# A cell that holds no value: line, place of its column, text and reason code.
Fault = tuple[int, int, str, str]


@dataclass(frozen=True, slots=True)
class Table:
    """A file as text cells.

    Attributes:
        columns: column names as written; `1`, `2`… where the file has no header.
        frame: `line` (Int32, physical line where the record starts) and one text column per
            column of the file, named by its place `0`, `1`…
        rejects: rows that are no record (`findings.REJECT_SCHEMA`).
        skipped: rows that hold no data (`findings.SKIP_SCHEMA`).
        separator: what stands between fields.
        header_line: line of the header, 0 where there is none.
        above: filled lines above the header.
        lines: every physical line (`line`, `text`).
        ends: last line of each record that goes over several, by its first.
        faults: cells of a sheet without a value, whose rows are still in `frame`
            (`forms.sheet_faults`).
    """

    columns: tuple[str, ...]
    frame: pl.DataFrame
    rejects: pl.DataFrame
    skipped: pl.DataFrame
    separator: str
    header_line: int
    above: tuple[int, ...]
    lines: pl.DataFrame
    ends: dict[int, int] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()


def tokenize(
    text: Text,
    known: Mapping[str, str],
    name: str,
    highest: int = 0,
    said: header.Said = header.NOTHING,
    skip: Sequence[int] = (),
) -> Table:
    """The table in a text.

    Args:
        text: from `encoding.decode`.
        known: header form to field, from `mapping.known_headers`.
        name: the file's name for messages.
        highest: the highest column number typed after `--map` where all are numbers, else 0.
        said: what is known of the layout already.
        skip: lines that are no records.

    Raises:
        RefusedInput: if there is no header, or no row can be told from another.
    """
    data, lines = physical_lines(text.data, name)
    left = _blanked(lines, skip)
    top = left["text"].head(max(100, (said.header or 0) + 50)).to_list()
    found = header.find(top, known, name, highest, said)
    filled = r"\S|\t" if found.separator == "\t" else r"\S"
    body = left.slice(found.last + 1).filter(pl.col("text").str.contains(filled))
    reader = _Reader(found, left, data, not data.endswith(b"\n"), said.quote)
    frame = reader.read(body)
    above, skipped = _left_out(lines, skip, found.first if found.first >= 0 else _before(body))
    return Table(
        found.cells,
        frame,
        pl.concat([findings.rejects_frame(reader.rejected), *reader.rejected_frames]),
        findings.skipped_frame([*skipped, *reader.skipped]),
        found.separator,
        found.first + 1,
        tuple(sorted(above + [at + 1 for at in found.above])),
        lines,
        reader.ends,
    )


def physical_lines(data: bytes, name: str) -> tuple[bytes, pl.DataFrame]:
    """The text with one kind of line end, and its lines (`line`, `text`).

    Raises:
        RefusedInput: if it is blank, or one endless line.
    """
    if b"\r" in data:
        data = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    if not data or data.isspace():
        raise RefusedInput(f"{name}: holds no header and no rows; nothing to import")
    if len(data) > MAX_RECORD and data.find(b"\n", 0, MAX_RECORD + 1) < 0:
        raise RefusedInput(f"{name}: its first line is longer than 1 MiB; this is no table")
    lines = pl.read_lines(
        io.BytesIO(data), name="text", row_index_name="line", row_index_offset=1, glob=False
    )
    return data, lines.select(pl.col("line").cast(pl.Int32), "text")


def _blanked(lines: pl.DataFrame, skip: Sequence[int]) -> pl.DataFrame:
    """The lines, those that are no records blank: a record never goes on in one."""
    if not skip:
        return lines
    told = pl.when(pl.col("line").is_in(list(skip))).then(pl.lit("")).otherwise(pl.col("text"))
    return lines.with_columns(text=told)


def _before(body: pl.DataFrame) -> int:
    """How many lines stand before the first row of a file without a header."""
    return int(body["line"][0]) - 1 if body.height else 0


def _left_out(
    lines: pl.DataFrame, skip: Sequence[int], first: int
) -> tuple[list[int], list[tuple[int, str, str]]]:
    """The filled lines that are no records: numbers of those above the header, rows below it."""
    if not skip:
        return [], []
    told = lines.filter(pl.col("line").is_in(list(skip)) & pl.col("text").str.contains(r"\S"))
    above = told.filter(pl.col("line") <= first)["line"].to_list()
    below = told.filter(pl.col("line") > first)
    return above, [
        (line, "skip_line", text[: 4 * findings.VALUE_CELLS]) for line, text in below.iter_rows()
    ]


class _Reader:
    """The state of one reading: what was rejected and skipped so far."""

    def __init__(
        self, found: header.Header, lines: pl.DataFrame, data: bytes, cut: bool, quote: str
    ) -> None:
        self._found = found
        self._names = [str(at) for at in range(len(found.cells))]
        self._lines = lines
        self._data = data
        self._cut_line = lines.height if cut else 0
        self._quote = quote
        self._quoted = bool(quote) and quote.encode() in data
        self._damaged = _holds_controls(data) or (not data.isascii() and MARK_BYTES in data)
        self.rejected: list[Rejected] = []
        self.rejected_frames: list[pl.DataFrame] = []
        self.skipped: list[tuple[int, str, str]] = []
        self.ends: dict[int, int] = {}
        for at in found.misplaced:
            self._reject(at + 1, str(lines["text"][at]), "above_header")

    def read(self, body: pl.DataFrame) -> pl.DataFrame:
        separator, fields = self._found.separator, len(self._found.cells)
        spans: list[tuple[int, tuple[str, ...]]] = []
        text = pl.col("text")
        if self._quoted:
            sign = self._quote
            simple = ~text.str.contains(sign, literal=True) | text.str.contains(
                simple_pattern(separator, sign)
            )
            whole = body.select(simple).to_series()
            if not whole.all():
                spans, taken = self._odd(body.filter(~whole)["line"].to_list())
                body = body.filter(whole & ~body["line"].is_in(taken))
            text = text.str.replace_all(f"{sign}[^{sign}]*{sign}", "")
        length = text.str.count_matches(separator, literal=True) == fields - 1
        long = pl.col("text").str.len_bytes() > MAX_RECORD
        body = self._without(body, long, "too_long")
        if self._damaged:
            bad = pl.col("text").str.contains(f"{CONTROLS}|{MARK}")
            for line, row in body.filter(bad).iter_rows():
                self._damaged_row(line, row)
            body = body.filter(~bad)
        fits = body.select(length).to_series()
        if not fits.all():
            for line, row in body.filter(~fits).iter_rows():
                self._other_length(line, row)
            body = body.filter(fits)
        frame = self._split(body)
        if spans:
            extra = pl.DataFrame(
                {"line": [line for line, _ in spans]}
                | {name: [cells[at] for _, cells in spans] for at, name in enumerate(self._names)},
                schema=frame.schema,
            )
            frame = pl.concat([frame, extra]).sort("line")
        return self._within_caps(frame, body)

    def _without(self, body: pl.DataFrame, bad: pl.Expr, reason: str) -> pl.DataFrame:
        flags = body.select(bad).to_series()
        if not flags.any():
            return body
        for line, row in body.filter(flags).iter_rows():
            self._reject(line, row, reason)
        return body.filter(~flags)

    def _odd(self, odd: Sequence[int]) -> tuple[list[tuple[int, tuple[str, ...]]], list[int]]:
        """Records that start on lines which are no whole record, and the lines they take."""
        texts: Sequence[str] = self._lines["text"].to_list()
        spans: list[tuple[int, tuple[str, ...]]] = []
        taken: list[int] = []
        done = 0
        for line in odd:
            if line <= done:
                continue
            record = read_record(
                texts, line - 1, self._found.separator, len(self._names), self._quote
            )
            if isinstance(record, Damage):
                self._reject(line, texts[line - 1], record.reason)
                continue
            done = record.last + 1
            taken += range(line, done + 1)
            if record.ambiguous:
                for inner in range(line, done + 1):
                    if texts[inner - 1].strip():
                        self._reject(inner, texts[inner - 1], "ambiguous_quotes")
                continue
            self.ends[line] = done
            if self._damaged and any(MARK in c or _CONTROL.search(c) for c in record.cells):
                self._damaged_cells(line, record.cells)
            else:
                spans.append((line, record.cells))
        return spans, taken

    def _split(self, body: pl.DataFrame) -> pl.DataFrame:
        """Checked lines to cells in bulk; the shape proves that nothing was shifted."""
        empty = pl.DataFrame(schema={"line": pl.Int32} | dict.fromkeys(self._names, pl.String))
        if body.is_empty():
            return empty
        start = self._found.last + 1
        # Where no line was taken out the bytes are the lines as they are.
        whole = body.height == self._lines.height - start
        cells = pl.read_csv(
            self._data if whole else str(body["text"].str.join("\n").item()).encode(),
            has_header=False,
            skip_lines=start if whole else 0,
            separator=self._found.separator,
            quote_char=self._quote if self._quoted else None,
            schema=dict.fromkeys(self._names, pl.String),
            infer_schema=False,
            empty_string_is_null=False,
            glob=False,
        )
        if cells.shape != (body.height, len(self._names)) or any(
            column.null_count() for column in cells
        ):
            raise AssertionError("checked lines were split into another number of cells")
        return cells.insert_column(0, body["line"])

    def _within_caps(self, frame: pl.DataFrame, body: pl.DataFrame) -> pl.DataFrame:
        longest = body["text"].str.len_bytes().max() if body.height else 0
        if not self.ends and (not isinstance(longest, int) or longest <= MAX_FIELD):
            return frame
        for at, name in enumerate(self._names):
            flags = frame[name].str.len_chars() > MAX_FIELD
            if flags.any():
                for line, value in frame.filter(flags).select("line", name).iter_rows():
                    self._add(line, self._found.cells[at], value, "too_long")
                frame = frame.filter(~flags)
        return frame

    def _other_length(self, line: int, text: str) -> None:
        cells = split_record(text, self._found.separator, self._quote)
        reason = summary_rows.short_row(cells)
        if reason is not None:
            self.skipped.append((line, reason, text))
            return
        self._reject(line, text, "cut_row" if line == self._cut_line else "wrong_field_count")

    def _damaged_row(self, line: int, text: str) -> None:
        self._damaged_cells(line, split_record(text, self._found.separator, self._quote))

    def _damaged_cells(self, line: int, cells: Sequence[str]) -> None:
        at, cell = next(
            (at, cell) for at, cell in enumerate(cells) if MARK in cell or _CONTROL.search(cell)
        )
        column = self._found.cells[at] if at < len(self._found.cells) else None
        reason = "bad_encoding" if MARK in cell else "control_character"
        self._add(line, column, cell.replace(MARK, "\ufffd"), reason)

    def _reject(self, line: int, text: str, reason: str) -> None:
        if line == self._cut_line and reason in ("unclosed_quote", "wrong_field_count"):
            reason = "cut_row"
        self._add(line, None, text.replace(MARK, "\ufffd"), reason)

    def _add(self, line: int, column: str | None, value: str, reason: str) -> None:
        shown = value[: 4 * findings.VALUE_CELLS]
        self.rejected.append((line, column, shown, reason, findings.FIXES[reason]))


def _holds_controls(data: bytes) -> bool:
    if len(data.translate(None, _CONTROL_BYTES)) != len(data):
        return True
    return not data.isascii() and b"\xc2" in data and _C1.search(data) is not None
