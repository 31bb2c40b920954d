"""The forms of files: text, fixed positions, JSON, sheets. All end as one table of text cells."""

from __future__ import annotations

import re
from collections.abc import Mapping

from ledger.errors import RefusedInput, UseError
from ledger.intake import encoding, findings
from ledger.intake.forms import fixed, grid, json_records, sheet, text
from ledger.intake.forms.form import SEPARATORS, TYPES, FixedColumn, Form, Opened
from ledger.intake.snapshot import Snapshot

_ZIP = b"PK\x03\x04"
# A text that begins with a bracket is JSON only where JSON may go on like that.
_JSON = re.compile(rb'\s*(?:\{\s*["}]|\[\s*(?:["{\[\]\d-]|true\b|false\b|null\b))')


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
    if form.type is not None and form.type not in TYPES:
        raise UseError(f"form: type {findings.show(form.type)}: it may be {', '.join(TYPES)}")
    if taken.data.startswith(_ZIP) or form.type == "sheet" or (form.sheet and not form.type):
        return _open_sheet(taken, form, known, highest)
    read = encoding.decode(taken.data, taken.name, form.encoding)
    kind = form.type or _kind(read.data, form)
    warnings: tuple[str, ...] = ()
    if kind == "fixed":
        table = fixed.table_of(read, form, taken.name)
    elif kind == "text":
        table, warnings = text.table_of(read, form, known, taken.name, highest)
    else:
        one_a_line = {"json lines": True, "json": False}.get(form.type or "")
        table, warnings, lines = json_records.table_of(read, form, taken.name, one_a_line)
        kind = "json lines" if lines else "json"
    table = grid.without_nulls(table, form.nulls)
    return Opened(table, read.encoding, (*read.warnings, *warnings), kind)


def _open_sheet(taken: Snapshot, form: Form, known: Mapping[str, str], highest: int) -> Opened:
    if not taken.data.startswith(_ZIP):
        raise RefusedInput(
            f"{taken.name}: no workbook, though a sheet of one is asked for; check"
            " the file, or leave the sheet out"
        )
    if form.type not in (None, "sheet") or form.path:
        raise RefusedInput(
            f"{taken.name}: a workbook, not {form.type or 'json'} as the form says; check the file"
        )
    table, warnings = sheet.table_of(taken, form, known, highest)
    return Opened(grid.without_nulls(table, form.nulls), "utf-8", warnings, "sheet")


def _kind(data: bytes, form: Form) -> str:
    if form.columns:
        return "fixed"
    if form.path or _JSON.match(data):
        return "json"
    return "text"


__all__ = ["SEPARATORS", "TYPES", "FixedColumn", "Form", "Opened", "open_table"]
