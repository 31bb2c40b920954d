"""Text with separators: the commonest form."""

from __future__ import annotations

from collections.abc import Mapping

from ledger.intake import encoding, tokens
from ledger.intake.forms.form import Form, Opened
from ledger.intake.snapshot import Snapshot


def open_text(taken: Snapshot, form: Form, known: Mapping[str, str], highest: int) -> Opened:
    """The table in a text file.

    Raises:
        RefusedInput: if the bytes are no text or no table.
        UseError: if the encoding does not exist.
    """
    text = encoding.decode(taken.data, taken.name, form.encoding)
    table = tokens.tokenize(text, known, taken.name, highest)
    return Opened(table, text.encoding, text.warnings, "text")
