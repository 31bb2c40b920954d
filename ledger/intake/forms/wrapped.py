"""Rows that some program put in quotes as a whole, with the quotes inside them doubled.

They are unwrapped only where every row is so and the file reads in no other way: a row that is
one quoted field, under a header of several, could not be a record.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import polars as pl

from ledger.errors import RefusedInput
from ledger.intake import header
from ledger.intake.records import split_record

_ONE_FIELD = r'^"(?:[^"]|"")*"[ \t]*$'
_FIRST = 100


@dataclass(frozen=True, slots=True)
class Unwrapped:
    """A text without the quotes around its rows, and how many rows had them."""

    data: bytes
    rows: int


def unwrapped(
    data: bytes, lines: pl.DataFrame, found: header.Header | None, separators: tuple[str, ...]
) -> Unwrapped | None:
    """The text as it was before its rows were wrapped; `None` where they are not.

    Args:
        data: the text, its lines ended by newlines.
        lines: its lines (`line`, `text`).
        found: the header; `None` where no line names the columns as it stands.
        separators: what may stand between fields.
    """
    if b'"' not in data or (found is not None and len(found.cells) < 2):
        return None
    start = 0 if found is None else found.last + 1
    body = lines.slice(start).filter(pl.col("text").str.contains(r"\S"))
    one = pl.col("text").str.contains(_ONE_FIELD)
    if body.is_empty() or not body.head(_FIRST).select(one.all()).item():
        return None
    if not body.select(one.all()).item():
        return None
    inner = (
        pl.col("text")
        .str.strip_chars_end(" \t")
        .str.slice(1)
        .str.head(-1)
        .str.replace_all('""', '"', literal=True)
    )
    plain = lines.with_columns(
        text=pl.when((pl.col("line") > start) & pl.col("text").str.contains(r"\S"))
        .then(inner)
        .otherwise(pl.col("text"))
    )
    if found is None and not _same_length(plain, separators):
        return None
    joined = str(plain["text"].str.join("\n").item()).encode()
    return Unwrapped(joined + (b"\n" if data.endswith(b"\n") else b""), body.height)


def header_or_none(
    lines: Sequence[str], known: Mapping[str, str], name: str, highest: int, said: header.Said
) -> header.Header | None:
    """The header as the text stands, `None` where there is none."""
    try:
        return header.find(lines, known, name, highest, said)
    except RefusedInput:
        return None


def _same_length(plain: pl.DataFrame, separators: tuple[str, ...]) -> bool:
    """Whether one separator splits all the first lines into the same number of fields."""
    first = [text for text in plain["text"].head(_FIRST) if text.strip()]
    for separator in separators:
        counts = {len(split_record(text, separator)) for text in first}
        if len(counts) == 1 and counts.pop() > 1:
            return True
    return False
