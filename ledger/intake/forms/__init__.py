"""The forms of files: text, fixed positions, JSON, sheets. All end as one table of text cells."""

from __future__ import annotations

from collections.abc import Mapping

from ledger.intake.forms.form import SEPARATORS, TYPES, FixedColumn, Form, Opened
from ledger.intake.forms.text import open_text
from ledger.intake.snapshot import Snapshot


def open_table(taken: Snapshot, form: Form, known: Mapping[str, str], highest: int = 0) -> Opened:
    """The table of a file, whatever its form.

    Args:
        taken: the file's bytes.
        form: what was said about its layout.
        known: header form to field, from `mapping.known_headers`; tells a header from a row.
        highest: the highest column number that is mapped where all are numbers, else 0.

    Raises:
        RefusedInput: if the file is refused whole.
        UseError: if something said about its form cannot be used.
    """
    return open_text(taken, form, known, highest)


__all__ = ["SEPARATORS", "TYPES", "FixedColumn", "Form", "Opened", "open_table"]
