"""Backslash escapes, taken out of a text before it is read and put back into its cells.

Each escaped sign becomes one letter that no file may hold, so that the strict reader of records
sees no quote and no separator in it. A backslash before anything else stays as written: nothing
is lost by a guess at what it means.
"""

from __future__ import annotations

import re
from dataclasses import replace

import polars as pl

from ledger.errors import RefusedInput
from ledger.intake import tokens

_SIGNS = "\\\"',;\t|"
# The last private-use letters of the last plane.
_LETTERS = tuple(chr(0x10FFF0 + at) for at in range(len(_SIGNS)))
_HIDDEN = {sign.encode(): letter.encode() for sign, letter in zip(_SIGNS, _LETTERS, strict=True)}
_ESCAPED = re.compile(rb"\\([\\\"',;\t|])")


def hidden(data: bytes, name: str) -> bytes:
    """The text with each escaped sign as one letter.

    Raises:
        RefusedInput: if the file holds such letters itself.
    """
    if any(letter in data for letter in _HIDDEN.values()):
        raise RefusedInput(f"{name}: holds private letters at the end of Unicode; remove them")
    return _ESCAPED.sub(lambda match: _HIDDEN[match[1]], data)


def put_back(table: tokens.Table) -> tokens.Table:
    """The table with the escaped signs in its cells as what they mean, elsewhere as written."""
    meant = dict(zip(_LETTERS, _SIGNS, strict=True))
    written = {letter: "\\" + sign for letter, sign in meant.items()}
    cells = pl.exclude("line").str.replace_many(list(meant), list(meant.values()))
    shown = pl.col(pl.String).str.replace_many(list(written), list(written.values()))
    return replace(
        table,
        columns=tuple(_replaced(column, meant) for column in table.columns),
        frame=table.frame.with_columns(cells.str.replace_all("\\\n", "\n", literal=True)),
        rejects=table.rejects.with_columns(shown),
        skipped=table.skipped.with_columns(shown),
        lines=table.lines.with_columns(shown),
    )


def _replaced(text: str, meant: dict[str, str]) -> str:
    return "".join(meant.get(letter, letter) for letter in text)
