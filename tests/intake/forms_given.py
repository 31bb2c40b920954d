"""Files of every form, opened, and workbooks made for the purpose."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Sequence
from typing import Any

from openpyxl import Workbook

from ledger.intake import mapping, snapshot
from ledger.intake.forms import Form, Opened, open_table
from ledger.resources import schema

KNOWN = mapping.known_headers(schema("attempts"), ())
HEADER = ("league", "player", "note", "made")


def opened(data: bytes, form: Form | None = None, highest: int = 0, name: str = "given") -> Opened:
    return open_table(snapshot.of_bytes(data, name), form or Form(), KNOWN, highest)


def cells(found: Opened) -> list[list[str]]:
    return [list(row) for row in found.table.frame.drop("line").iter_rows()]


def lines(found: Opened) -> list[int]:
    return found.table.frame["line"].to_list()


def refused(found: Opened) -> list[tuple[int, str]]:
    return found.table.rejects.select("line", "reason").rows()


def book_of(
    rows: Sequence[Sequence[object]], change: Callable[[Any, Any], None] | None = None
) -> bytes:
    """A workbook with one sheet `Shots`; `change` gets the workbook and the sheet."""
    made = Workbook()
    sheet: Any = made.active
    sheet.title = "Shots"
    for row in rows:
        sheet.append(list(row))
    if change is not None:
        change(made, sheet)
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def with_parts(book: bytes, parts: dict[str, bytes | None]) -> bytes:
    """The workbook with some parts replaced, added, or (`None`) left out."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(book)) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for entry in old.namelist():
            if entry not in parts:
                new.writestr(entry, old.read(entry))
        for entry, data in parts.items():
            if data is not None:
                new.writestr(entry, data)
    return out.getvalue()


def part_of(book: bytes, name: str) -> bytes:
    with zipfile.ZipFile(io.BytesIO(book)) as archive:
        return archive.read(name)
