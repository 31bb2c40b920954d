"""How a file is laid out, as far as somebody said so."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.intake.tokens import Table

TYPES = ("text", "fixed", "json", "json lines", "sheet")
SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t", "pipe": "|"}


@dataclass(frozen=True, slots=True)
class FixedColumn:
    """A column of fixed positions.

    Attributes:
        name: the column's name.
        first: its first character, 1 is the first of the line.
        last: its last character, included.
    """

    name: str
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Form:
    """What was said about a file's layout; what was not said is found out.

    Attributes:
        type: one of `TYPES`; found out from the file where it is `None`.
        encoding: name of the encoding, where it is not UTF-8.
        separator: `comma`, `semicolon`, `tab` or `pipe`.
        quote: `"`, `'` or `none`.
        escape: `doubled` or `backslash`.
        header: line of the header (row of a sheet); 0 where there is none.
        skip: lines that are no records.
        nulls: words for nothing, such as NULL.
        columns: columns of fixed positions.
        path: where the records of a JSON document are, such as `$.games[*].events[*]`.
        sheet: name of the sheet; the first one where it is `None`.
    """

    type: str | None = None
    encoding: str | None = None
    separator: str | None = None
    quote: str = '"'
    escape: str = "doubled"
    header: int | None = None
    skip: tuple[int, ...] = ()
    nulls: tuple[str, ...] = ()
    columns: tuple[FixedColumn, ...] = ()
    path: str | None = None
    sheet: str | None = None


@dataclass(frozen=True, slots=True)
class Opened:
    """A file as text cells.

    Attributes:
        table: its cells, its refused and its skipped rows.
        encoding: the encoding it was read in.
        warnings: what the reader of the report should know.
        form: the one of `TYPES` it was read as.
    """

    table: Table
    encoding: str
    warnings: tuple[str, ...]
    form: str
