"""A sheet of a workbook as a table: found by its header like a text file, and said what is odd."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from ledger.errors import RefusedInput
from ledger.intake import findings, header, tokens
from ledger.intake.forms import archive, grid, sheet_cells, workbook
from ledger.intake.forms.form import Form
from ledger.intake.forms.sheet_cells import Cells
from ledger.intake.forms.sheet_faults import letters
from ledger.intake.mapping import listed
from ledger.intake.snapshot import Snapshot

MAX_CELLS = 50_000_000
_LAST_ROW = re.compile(r"(\d+)$")


@dataclass(frozen=True, slots=True)
class _Top:
    """Where a sheet's header is: place of its row in the filled rows, -1 where there is none."""

    at: int
    names: tuple[str, ...]
    above: tuple[int, ...] = ()
    misplaced: tuple[int, ...] = ()


def table_of(
    taken: Snapshot, form: Form, known: Mapping[str, str], highest: int
) -> tuple[tokens.Table, tuple[str, ...]]:
    """The table in a sheet of a workbook, and what the reader of the report should know.

    Raises:
        RefusedInput: if the workbook cannot be read, or the sheet holds no table.
        UseError: if it has no sheet of the name asked for.
    """
    book = workbook.opened(taken.data, taken.name)
    chosen = workbook.chosen(book, form.sheet, taken.name)
    try:
        cells = sheet_cells.read(book, chosen, workbook.shared_texts(book), taken.name)
    except archive.DAMAGE:
        raise archive.damaged(taken.name) from None
    width = max(cells.columns, default=-1) + 1
    where = f"{taken.name}: sheet {findings.show(chosen.name)}"
    if not cells.rows:
        raise RefusedInput(
            f"{where} is empty{_other_sheets(book, chosen, '; type --sheet with one of:')}"
        )
    if width * len(cells.rows) > MAX_CELLS:
        raise RefusedInput(
            f"{where} has {len(cells.rows)} rows to column {width}; keep the columns needed"
        )
    top = _top(cells, width, form, known, highest, where)
    table = _table(cells, width, top, form)
    return table, tuple(_warnings(book, chosen, cells, top, table))


def _other_sheets(book: workbook.Workbook, chosen: workbook.Sheet, lead: str) -> str:
    others = [
        f"{findings.show(sheet.name)} (hidden)" if sheet.hidden else findings.show(sheet.name)
        for sheet in book.sheets
        if sheet is not chosen
    ]
    return f"{lead} {', '.join(others[:20])}" if others else ""


def _top(
    cells: Cells, width: int, form: Form, known: Mapping[str, str], highest: int, where: str
) -> _Top:
    skip = frozenset(form.skip)
    if form.header == 0:
        return _Top(-1, header.by_number(width))
    if form.header:
        if form.header not in cells.rows:
            raise RefusedInput(
                f"{where}: row {form.header} should hold the column names and is blank; say"
                " another row"
            )
        return _with_above(cells, cells.rows.index(form.header), skip)
    best, most = -1, 0
    for at in range(min(len(cells.rows), header.SEARCHED_LINES)):
        score = 0 if cells.rows[at] in skip else header.names_score(cells.row(at), known)
        if score > most:
            best, most = at, score
    if best >= 0:
        return _with_above(cells, best, skip)
    if highest:
        return _Top(-1, header.by_number(width))
    first = cells.row(0)
    example = next((cell.strip() for cell in first if cell.strip()), "COLUMN")
    raise RefusedInput(
        f"{where}: no known column name in its first {header.SEARCHED_LINES} rows; row"
        f" {cells.rows[0]} reads: {listed([c for c in first if c.strip()], 12)};"
        f" {header.how_to_map(example[:30])}"
    )


def _with_above(cells: Cells, at: int, skip: frozenset[int]) -> _Top:
    names = tuple(cells.row(at))
    filled = sum(bool(name.strip()) for name in names)
    above: list[int] = []
    misplaced: list[int] = []
    for place in range(at):
        slipped = header.looks_like_row(cells.row(place), filled)
        slipped = slipped and cells.rows[place] not in skip
        (misplaced if slipped else above).append(place)
    return _Top(at, names, tuple(above), tuple(misplaced))


def _table(cells: Cells, width: int, top: _Top, form: Form) -> tokens.Table:
    refused: list[grid.Refused] = []
    for place in top.misplaced:
        text = grid.csv_line(cells.row(place))
        refused.append((cells.rows[place], None, text[:320], "above_header", text))
    above = [cells.rows[place] for place in top.above]
    out: set[int] = set()
    skipped: list[tuple[int, str, str]] = []
    for at in range(top.at + 1, len(cells.rows)):
        number = cells.rows[at]
        if number in form.skip:
            out.add(at)
            if len(out) == at - top.at and top.at < 0:
                above.append(number)
                continue
            skipped.append((number, "skip_line", " ".join(filter(None, cells.row(at)))))
    frame = grid.frame_of(*_body(cells, width, top.at + 1, out))
    table = grid.table(
        top.names,
        frame,
        refused,
        skipped,
        header_line=cells.rows[top.at] if top.at >= 0 else 0,
        above=above,
    )
    return replace(table, faults=tuple(cells.faults))


def _body(
    cells: Cells, width: int, start: int, out: set[int]
) -> tuple[Sequence[int], Sequence[Sequence[str]]]:
    """The rows below the header without those that are refused or skipped, column by column."""
    rows = len(cells.rows)
    columns: list[list[str]] = []
    for place in range(width):
        column = cells.columns.get(place, [])
        columns.append(column[start:] + [""] * (rows - max(start, len(column))))
    numbers = cells.rows[start:]
    if not out:
        return numbers, columns
    kept = [at for at in range(len(numbers)) if at + start not in out]
    return [numbers[at] for at in kept], [[column[at] for at in kept] for column in columns]


def _warnings(
    book: workbook.Workbook,
    chosen: workbook.Sheet,
    cells: Cells,
    top: _Top,
    table: tokens.Table,
) -> list[str]:
    found: list[str] = []
    others = _other_sheets(book, chosen, "sheets that were not read:")
    if others:
        found.append(f"read from sheet {findings.show(chosen.name)}; {others}")
    first = cells.rows[top.at + 1] if top.at + 1 < len(cells.rows) else sheet_cells.MAX_ROW + 1
    hidden = [row for row in cells.hidden_rows if row >= first]
    if hidden:
        rows = findings.lines_named(hidden).replace("line", "row", 1)
        found.append(f"{rows} of the sheet: hidden there and read like the others")
    columns = [
        letters(place)
        for place in range(len(top.names))
        if any(low <= place + 1 <= high for low, high in cells.hidden_columns)
    ]
    if columns:
        found.append(f"columns hidden in the sheet, read like the others: {', '.join(columns)}")
    merged = [ref for ref in cells.merged if (m := _LAST_ROW.search(ref)) and int(m[1]) >= first]
    if merged:
        found.append(
            f"merged cells hold their value in the first cell only: {listed(merged, 5)}; fill the"
            " others if they mean the same"
        )
    nameless = [
        letters(at)
        for at, name in enumerate(top.names)
        if not name.strip() and (table.frame[str(at)] != "").any()
    ]
    if nameless:
        found.append(f"columns without a name, left out though filled: {', '.join(nameless)}")
    if book.macros:
        found.append("the workbook holds macros; they were neither read nor run")
    if book.links:
        found.append("the workbook links to others; the links were not followed")
    return found
