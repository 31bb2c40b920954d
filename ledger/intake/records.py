"""One record of a quoted CSV file, read strictly.

RFC 4180 to the letter, with another sign for the quote where somebody said so: a quote opens only
at the start of a field, inside it a quote is doubled, after the closing quote comes a separator
or the end of the line. A record that goes on over several lines is believed only when it can be
read in no other way: a stray quote must not swallow the rows after it.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass

MAX_FIELD = 10_000
MAX_RECORD = 1024 * 1024


@dataclass(frozen=True, slots=True)
class Record:
    """The fields of one record and the place of its last line in the list of lines."""

    cells: tuple[str, ...]
    last: int
    ambiguous: bool = False


@dataclass(frozen=True, slots=True)
class Damage:
    """Why no record starts at this line; a reason code of `findings.FIXES`."""

    reason: str


def simple_pattern(separator: str, quote: str = '"') -> str:
    """A pattern (Rust and Python) for a line that is one whole strict record by itself."""
    plain = f"[^{quote}{re.escape(separator)}]*"
    field = f"(?:{plain}|{quote}(?:[^{quote}]|{quote}{quote})*{quote})"
    return f"^{field}(?:{re.escape(separator)}{field})*$"


def read_record(
    lines: Sequence[str],
    start: int,
    separator: str,
    fields: int | None = None,
    quote: str = '"',
) -> Record | Damage:
    """The record that starts at `lines[start]`.

    Args:
        lines: the file's physical lines without their ends.
        start: index of the line where the record starts.
        separator: one character.
        fields: how many fields a record has; `None` where that is not known yet.
        quote: the sign around fields; empty where there is none.

    Returns:
        The record, or what is wrong with its first line.
    """
    if not quote:
        return Record(tuple(lines[start].split(separator)), start)
    cells: list[str] = []
    inside: dict[int, int] = {}
    at, position, text = start, 0, lines[start]
    while True:
        if fields is not None and len(cells) > fields:
            return Damage("unclosed_quote" if at > start else "wrong_field_count")
        if text[position : position + 1] != quote:
            opening = text.find(quote, position)
            if opening < 0:
                cells += text[position:].split(separator)
                break
            if text[opening - 1] != separator:
                return Damage("unclosed_quote" if at > start else "stray_quote")
            cells += text[position : opening - 1].split(separator)
            position = opening
        closed = _quoted(lines, at, position + 1, separator, inside, quote)
        if closed is None:
            return Damage("unclosed_quote")
        cell, at, position = closed
        text = lines[at]
        cells.append(cell)
        if position == len(text):
            break
        if text[position] != separator:
            return Damage("unclosed_quote" if at > start else "stray_quote")
        position += 1
    if at > start and fields is not None and len(cells) != fields:
        return Damage("unclosed_quote")
    return Record(tuple(cells), at, at > start and _ambiguous(lines, inside, separator, len(cells)))


def _quoted(
    lines: Sequence[str],
    at: int,
    position: int,
    separator: str,
    inside: dict[int, int],
    quote: str,
) -> tuple[str, int, int] | None:
    """A quoted field from after its quote: its text, the line and the place after its end."""
    parts: list[str] = []
    size = 0
    text, first, begun = lines[at], at, position
    while True:
        closing = text.find(quote, position)
        if closing < 0:
            parts += (text[position:], "\n")
            size += len(text) - position + 1
            inside[at] = inside.get(at, 0) + text.count(separator, begun)
            at += 1
            if at >= len(lines) or size > MAX_FIELD:
                return None
            text, position, begun = lines[at], 0, 0
        elif text[closing + 1 : closing + 2] == quote:
            parts.append(text[position : closing + 1])
            size += closing + 1 - position
            position = closing + 2
        else:
            parts.append(text[position:closing])
            if at > first:
                if size + closing - position > MAX_FIELD:
                    return None
                inside[at] = inside.get(at, 0) + text.count(separator, 0, closing)
            return "".join(parts), at, closing + 1


def _ambiguous(lines: Sequence[str], inside: dict[int, int], separator: str, fields: int) -> bool:
    """Whether a line of a record of several lines reads like a whole record of its own."""
    if fields == 1:
        return True
    return any(
        hidden > 0 and lines[at].count(separator) == fields - 1 for at, hidden in inside.items()
    )


def split_record(text: str, separator: str, quote: str = '"') -> list[str]:
    """The cells of one record's text, as well as they can be told; for showing, not for storing."""
    if not quote:
        return text.split(separator)
    lines = text.split("\n")
    record = read_record(lines, 0, separator, quote=quote)
    if isinstance(record, Record) and record.last == len(lines) - 1:
        return list(record.cells)
    try:
        return next(csv.reader([text], delimiter=separator, quotechar=quote))
    except (csv.Error, StopIteration):
        return text.split(separator)
