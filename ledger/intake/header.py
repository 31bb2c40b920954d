"""Where a table starts and what separates its fields, told by the header and nothing else."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ledger import safe_text
from ledger.errors import RefusedInput
from ledger.intake import findings
from ledger.intake.mapping import header_form, listed
from ledger.intake.records import MAX_RECORD, Record, read_record, split_record

SEPARATORS = (",", ";", "\t", "|")
SEARCHED_LINES = 20
MAX_COLUMNS = 1000
_SEP_LINE = re.compile(r'^"?sep=(.)"?[,;\t| ]*$', re.IGNORECASE)
_NAMES = {",": "comma", ";": "semicolon", "\t": "tab", "|": "pipe"}


@dataclass(frozen=True, slots=True)
class Header:
    """The header of a table.

    Attributes:
        cells: column names as written; `1`, `2`… where the file has no header.
        separator: what stands between fields.
        first, last: indices of its physical lines; both -1 where the file has no header.
        above: indices of filled lines above it that hold no record.
        misplaced: indices of lines above it that look like records.
    """

    cells: tuple[str, ...]
    separator: str
    first: int
    last: int
    above: tuple[int, ...] = ()
    misplaced: tuple[int, ...] = ()


def find(lines: Sequence[str], known: Mapping[str, str], name: str, highest: int = 0) -> Header:
    """The header among the first lines of a file.

    Args:
        lines: the first physical lines.
        known: header form to field, from `mapping.known_headers`.
        name: the file's name for messages.
        highest: the highest column number typed after `--map` where all are numbers, else 0.

    Raises:
        RefusedInput: if no line names the columns, or there are too many columns.
    """
    forced, begin = _sep_line(lines, name)
    best: tuple[int, int, Record, str] | None = None
    for at in range(begin, min(len(lines), begin + SEARCHED_LINES)):
        if not lines[at].strip() or len(lines[at]) > MAX_RECORD:
            continue
        for separator in (forced,) if forced else SEPARATORS:
            record = read_record(lines, at, separator)
            if isinstance(record, Record):
                score = _score(record.cells, known)
                if score and (best is None or score > best[0]):
                    best = (score, at, record, separator)
    if best is not None:
        return _header(lines, begin, best, name)
    first = next((at for at in range(begin, len(lines)) if lines[at].strip()), None)
    if first is None:
        raise RefusedInput(f"{name}: holds no header and no rows; nothing to import")
    if highest:
        return _without(lines, begin, first, forced, highest, name)
    raise RefusedInput(_nothing_found(lines, first, forced, name))


def _sep_line(lines: Sequence[str], name: str) -> tuple[str | None, int]:
    match = _SEP_LINE.match(lines[0]) if lines else None
    if match is None:
        return None, 0
    if match[1] not in SEPARATORS:
        raise RefusedInput(
            f"{name}: its first line sets the separator {findings.show(match[1])}; save it with"
            " comma, semicolon, tab or pipe"
        )
    return match[1], 1


def _score(cells: Sequence[str], known: Mapping[str, str]) -> int:
    """How many different fields a line names; 0 where it reads like no header."""
    filled = [form for cell in cells if (form := header_form(cell))]
    fields = {known[form] for form in filled if form in known}
    return len(fields) if len(fields) >= 2 or len(fields) == len(filled) else 0


def _header(
    lines: Sequence[str], begin: int, best: tuple[int, int, Record, str], name: str
) -> Header:
    _, at, record, separator = best
    if len(record.cells) > MAX_COLUMNS:
        raise RefusedInput(
            f"{name}: line {at + 1} names {len(record.cells)} columns, at most {MAX_COLUMNS} are"
            " read; keep the ones needed"
        )
    above: list[int] = []
    misplaced: list[int] = []
    for line in range(begin, at):
        if not lines[line].strip():
            continue
        filled = sum(bool(cell.strip()) for cell in split_record(lines[line], separator))
        row = filled >= 3 and 2 * filled >= len(record.cells)
        (misplaced if row else above).append(line)
    return Header(record.cells, separator, at, record.last, tuple(above), tuple(misplaced))


def _without(
    lines: Sequence[str], begin: int, first: int, forced: str | None, highest: int, name: str
) -> Header:
    """A file without a header: columns by number, the separator one that fits every first line."""
    shown = [line for line in lines[begin : first + SEARCHED_LINES] if line.strip()]
    fits: dict[str, int] = {}
    for separator in (forced,) if forced else SEPARATORS:
        counts = {len(split_record(line, separator)) for line in shown}
        if len(counts) == 1 and max(highest, 2) <= max(counts) <= MAX_COLUMNS:
            fits[separator] = counts.pop()
    if len(fits) != 1:
        raise RefusedInput(
            f"{name}: the separator cannot be told without a header; put a line sep=; (or , | tab)"
            " on top, or a line with the column names"
        )
    separator, fields = next(iter(fits.items()))
    return Header(tuple(str(at + 1) for at in range(fields)), separator, -1, begin - 1)


def _nothing_found(lines: Sequence[str], first: int, forced: str | None, name: str) -> str:
    text = lines[first][:2000]
    separator = forced or max(SEPARATORS, key=text.count)
    cells = split_record(text, separator)
    example = safe_text.cut(cells[0].strip() or "COLUMN", 30)
    return (
        f"{name}: no known column name in the first {SEARCHED_LINES} lines; line {first + 1}"
        f" reads ({_NAMES[separator]}): {listed(cells, 12)}; if these are the column names type"
        f" --map '{findings.show(example)}=league' and so on, if they are data type --map 1=league"
        " and so on"
    )
