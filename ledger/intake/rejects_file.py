"""The refused rows of a file as a file of their own: mended, it can be brought in again."""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from ledger import safe_text
from ledger.errors import UseError
from ledger.intake.mapping import header_form
from ledger.intake.read import Reading
from ledger.intake.records import Record, read_record

_OURS = ("line", "reason", "fix")
_GUARDED = "guarded"
_REST = "beyond_header"
_FROM = "refused_by"


@dataclass(frozen=True, slots=True)
class Cells:
    """The cells of one record by the file's columns, and what stood beyond them."""

    cells: Sequence[str]
    beyond: str = ""


def write(
    path: Path,
    reading: Reading,
    refused: Iterable[tuple[int, str, str]],
    records: Mapping[int, Sequence[Cells]],
    *,
    source: Path,
    constants: Mapping[str, str],
) -> str:
    """Write the refused rows.

    The columns are those of the file under the names of the fields they fill, with what `--set`
    said, so that the mended file needs neither `--map` nor `--set`; of a file read by a profile
    they are the fields it fills. Then come `guarded`, `line`, `reason`, `fix` and `refused_by`:
    this file's hash and the row's line in it, after those of files that refused the row before.
    Cells that a spreadsheet would take for a formula are made safe and named in `guarded`, which
    an import undoes. What a row held beyond its header stands in `beyond_header`: an import refuses
    the row until somebody has put it where it belongs and emptied the cell.

    Args:
        path: where to.
        reading: the file as read.
        refused: line, reason and fix of each refused row.
        records: the records of each row by its line; a row of two sides has two.
        source: the file that was read.
        constants: fields that are the same in every row, to their value.

    Returns:
        The name of the file, safe to show.

    Raises:
        UseError: if it is the file itself or cannot be written.
    """
    shown = safe_text.safe(str(path))
    if os.path.realpath(path) == os.path.realpath(source):
        raise UseError(f"--rejects {shown} is the file itself: give another name")
    separator = reading.separator or ","
    names = names_of(reading)
    guard = next((n for n in names if header_form(n) == _GUARDED), None)
    ours = _ours(names)
    told = [*([] if guard else [_GUARDED]), *ours, _FROM]
    header = [*names, *constants, *[n for n in told if n not in names]]
    rows, over = [], []
    for line, reason, fix in refused:
        for record in records.get(line, (Cells([""] * len(names)),)):
            row = dict(zip(names, record.cells, strict=True)) | dict(constants)
            _guard(row, guard or _GUARDED)
            row |= dict(zip(ours, (str(line), reason, fix), strict=True))
            row[_FROM] = f"{row.get(_FROM, '')} {reading.sha256}:{line}".strip()
            rows.append([row[name] for name in header])
            over.append(safe_text.safe_cell(record.beyond))
    if any(over):
        header = [*header, _REST]
        rows = [[*row, rest] for row, rest in zip(rows, over, strict=True)]
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\n").writerows([header, *rows])
    _put(path, out.getvalue(), shown)
    return shown


def _ours(names: Sequence[str]) -> list[str]:
    """Our columns beside those of a file; those of a file of refused rows are written anew."""
    other = [f"rejected {n}" if n in names else n for n in _OURS]
    if _FROM not in names:
        return other
    return [o if o in names or n not in names else n for n, o in zip(_OURS, other, strict=True)]


def _guard(row: dict[str, str], guard: str) -> None:
    """Make the cells of a row safe, and name them beside those that were so already."""
    marks = [row[guard]] if row.get(guard) else []
    for name, value in row.items():
        if name != guard and _acts(value):
            row[name] = "'" + value
            marks.append(header_form(name))
    row[guard] = " ".join(marks)


def names_of(reading: Reading) -> list[str]:
    """The columns by the field they fill, else as written, each once."""
    if reading.cells is not None:
        return list(reading.columns)
    names: list[str] = []
    for at, written in enumerate(reading.columns):
        name = reading.mapping.get(written, written.strip()) or f"column {at + 1}"
        while name in names:
            name += "_"
        names.append(name)
    return names


def taken_apart(text: str, separator: str, many: int) -> Cells:
    """The cells of a row; a row that cannot be told apart keeps what is over in the rest."""
    lines = text.split("\n")
    record = read_record(lines, 0, separator)
    if isinstance(record, Record) and len(record.cells) >= many and record.last == len(lines) - 1:
        return Cells(record.cells[:many], separator.join(record.cells[many:]))
    cells = text.replace("\n", " ").split(separator)
    return Cells((cells + [""] * many)[:many], separator.join(cells[many:]))


def _acts(value: str) -> bool:
    """Whether a spreadsheet would take the cell for a formula."""
    if safe_text.safe_cell(value) == value:
        return False
    try:
        float(value.replace(",", "."))
    except ValueError:
        return True
    return False


def _put(path: Path, text: str, shown: str) -> None:
    beside = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        beside.write_text(text, encoding="utf-8", newline="")
        os.replace(beside, path)
    except OSError as problem:
        beside.unlink(missing_ok=True)
        raise UseError(f"--rejects {shown} cannot be written: {problem.strerror}") from None
