"""Text with separators: the commonest form."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ledger.errors import UseError
from ledger.intake import findings, header, tokens
from ledger.intake.encoding import Text
from ledger.intake.forms import escapes, grid, wrapped
from ledger.intake.forms.form import SEPARATORS, Form

QUOTES = {'"': '"', "'": "'", "none": ""}


def table_of(
    text: Text, form: Form, known: Mapping[str, str], name: str, highest: int
) -> tuple[tokens.Table, tuple[str, ...]]:
    """The table in a text, and what the reader of the report should know.

    Raises:
        RefusedInput: if it holds no table.
        UseError: if the form says something that no text can have.
    """
    said = _said(form)
    if form.escape == "backslash":
        text = replace(text, data=escapes.hidden(text.data, name))
    elif said.quote == '"' and b'"' in text.data:
        text, rows = _without_wrapping(text, known, name, highest, said)
        if rows:
            warning = f"each of {rows} rows stood in quotes as a whole and was taken out of them"
            return tokens.tokenize(text, known, name, highest, said, form.skip), (warning,)
    table = tokens.tokenize(text, known, name, highest, said, form.skip)
    if form.escape == "backslash":
        table = escapes.put_back(table)
    if form.escape == "backslash" or said.quote != '"':
        table = grid.with_csv_lines(table)
    return table, ()


def _said(form: Form) -> header.Said:
    separator = form.separator
    if separator is not None and separator not in header.SEPARATORS:
        if separator not in SEPARATORS:
            raise UseError(
                f"form: separator {findings.show(separator)}: it may be {', '.join(SEPARATORS)}"
            )
        separator = SEPARATORS[separator]
    if form.quote not in QUOTES:
        raise UseError(f"form: quote {findings.show(form.quote)}: it may be \", ' or none")
    if form.escape not in ("doubled", "backslash"):
        raise UseError(f"form: escape {findings.show(form.escape)}: it may be doubled or backslash")
    return header.Said(separator, QUOTES[form.quote], form.header)


def _without_wrapping(
    text: Text, known: Mapping[str, str], name: str, highest: int, said: header.Said
) -> tuple[Text, int]:
    data, lines = tokens.physical_lines(text.data, name)
    top = lines["text"].head(max(100, (said.header or 0) + 50)).to_list()
    found = wrapped.header_or_none(top, known, name, highest, said)
    tried = (said.separator,) if said.separator else header.SEPARATORS
    plain = wrapped.unwrapped(data, lines, found, tried)
    if plain is None:
        return text, 0
    return replace(text, data=plain.data), plain.rows
