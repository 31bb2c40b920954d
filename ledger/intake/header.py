"""Where a table starts and what separates its fields, told by the header and nothing else."""

from __future__ import annotations

import re
from collections import Counter
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
        first, last: indices of its physical lines; -1 and the index before the first row where
            the file has no header.
        above: indices of filled lines above it that hold no record.
        misplaced: indices of lines above it that look like records.
    """

    cells: tuple[str, ...]
    separator: str
    first: int
    last: int
    above: tuple[int, ...] = ()
    misplaced: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Said:
    """What somebody said about a text's layout; the rest is found out.

    Attributes:
        separator: one of `SEPARATORS`.
        quote: the sign around fields; empty where there is none.
        header: line of the header, 0 where there is none.
    """

    separator: str | None = None
    quote: str = '"'
    header: int | None = None


NOTHING = Said()


def find(
    lines: Sequence[str],
    known: Mapping[str, str],
    name: str,
    highest: int = 0,
    said: Said = NOTHING,
) -> Header:
    """The header among the first lines of a file.

    Args:
        lines: the first physical lines.
        known: header form to field, from `mapping.known_headers`.
        name: the file's name for messages.
        highest: the highest column number typed after `--map` where all are numbers, else 0.
        said: what is known of the layout already.

    Raises:
        RefusedInput: if no line names the columns, or there are too many columns.
    """
    forced, begin = _sep_line(lines, name, said.separator)
    if said.header:
        best = _in_line(lines, said.header - 1, forced, known, name, said.quote)
        return _header(lines, begin, best, name, said.quote)
    first = next((at for at in range(begin, len(lines)) if lines[at].strip()), None)
    if first is None:
        raise RefusedInput(f"{name}: holds no header and no rows; nothing to import")
    if said.header == 0:
        return _by_place(lines, begin, forced, highest, name, said.quote)
    found: tuple[int, int, Record, str] | None = None
    for at in range(begin, min(len(lines), begin + SEARCHED_LINES)):
        if not lines[at].strip() or len(lines[at]) > MAX_RECORD:
            continue
        for separator in (forced,) if forced else SEPARATORS:
            record = read_record(lines, at, separator, quote=said.quote)
            if isinstance(record, Record):
                score = names_score(record.cells, known)
                if score and (found is None or score > found[0]):
                    found = (score, at, record, separator)
    if found is not None:
        return _header(lines, begin, found[1:], name, said.quote)
    if highest:
        return _without(lines, begin, forced, highest, name, said.quote)
    raise RefusedInput(_nothing_found(lines, first, forced, name, said.quote))


def names_score(cells: Sequence[str], known: Mapping[str, str]) -> int:
    """How many different fields a line names; 0 where it reads like no header."""
    filled = [form for cell in cells if (form := header_form(cell))]
    fields = {known[form] for form in filled if form in known}
    return len(fields) if len(fields) >= 2 or len(fields) == len(filled) else 0


def looks_like_row(cells: Sequence[str], columns: int) -> bool:
    """Whether what stands above a header may be a row that slipped there."""
    filled = sum(bool(cell.strip()) for cell in cells)
    return filled >= 3 and 2 * filled >= columns


def _sep_line(lines: Sequence[str], name: str, said: str | None) -> tuple[str | None, int]:
    match = _SEP_LINE.match(lines[0]) if lines else None
    if match is None:
        return said, 0
    if match[1] not in SEPARATORS:
        raise RefusedInput(
            f"{name}: its first line sets the separator {findings.show(match[1])}; save it with"
            " comma, semicolon, tab or pipe"
        )
    if said is not None and match[1] != said:
        raise RefusedInput(
            f"{name}: its first line sets the separator {_NAMES[match[1]]}, the form says"
            f" {_NAMES[said]}; make them the same"
        )
    return match[1], 1


def _in_line(
    lines: Sequence[str],
    at: int,
    forced: str | None,
    known: Mapping[str, str],
    name: str,
    quote: str,
) -> tuple[int, Record, str]:
    """The header in a line somebody named; the separator is the one that fits the rows below."""
    if at >= len(lines) or not lines[at].strip():
        raise RefusedInput(
            f"{name}: line {at + 1} should hold the column names and is blank or not there; look"
            " at the top of the file and say another line"
        )
    fits: list[tuple[int, Record, str]] = []
    for separator in (forced,) if forced else SEPARATORS:
        record = read_record(lines, at, separator, quote=quote)
        if not isinstance(record, Record):
            continue
        below = _lengths(lines[record.last + 1 :], separator, quote)
        same = below.count(len(record.cells))
        if forced or (len(record.cells) > 1 and 2 * same >= len(below)):
            fits.append((names_score(record.cells, known), record, separator))
        elif not any(sign in lines[at] for sign in SEPARATORS) and separator == ",":
            fits.append((0, record, separator))
    most = max((score for score, _, _ in fits), default=0)
    best = [(at, record, separator) for score, record, separator in fits if score == most]
    if len(best) != 1:
        raise RefusedInput(
            f"{name}: the separator cannot be told from line {at + 1} and the rows below it; say"
            " which: comma, semicolon, tab or pipe"
        )
    return best[0]


def _header(
    lines: Sequence[str], begin: int, best: tuple[int, Record, str], name: str, quote: str
) -> Header:
    at, record, separator = best
    if len(record.cells) > MAX_COLUMNS:
        raise too_many(f"{name}: line {at + 1} names", len(record.cells))
    above: list[int] = []
    misplaced: list[int] = []
    for line in range(begin, at):
        if not lines[line].strip():
            continue
        row = looks_like_row(split_record(lines[line], separator, quote), len(record.cells))
        (misplaced if row else above).append(line)
    return Header(record.cells, separator, at, record.last, tuple(above), tuple(misplaced))


def too_many(who: str, columns: int) -> RefusedInput:
    """The refusal of a table with too many columns."""
    return RefusedInput(
        f"{who} {columns} columns, at most {MAX_COLUMNS} are read; keep the ones needed"
    )


def by_number(columns: int) -> tuple[str, ...]:
    """The names of columns that go by their place."""
    return tuple(str(at + 1) for at in range(columns))


def _without(
    lines: Sequence[str],
    begin: int,
    forced: str | None,
    highest: int,
    name: str,
    quote: str,
) -> Header:
    """A file without a header: columns by number, the separator one that fits every first line."""
    fits: dict[str, int] = {}
    for separator in (forced,) if forced else SEPARATORS:
        counts = set(_lengths(lines[begin:], separator, quote))
        if len(counts) == 1 and max(highest, 2) <= max(counts) <= MAX_COLUMNS:
            fits[separator] = counts.pop()
    if len(fits) != 1:
        raise RefusedInput(
            f"{name}: the separator cannot be told without a header; put a line sep=; (or , | tab)"
            " on top, or a line with the column names"
        )
    separator, fields = next(iter(fits.items()))
    return Header(by_number(fields), separator, -1, begin - 1)


def _by_place(
    lines: Sequence[str],
    begin: int,
    forced: str | None,
    highest: int,
    name: str,
    quote: str,
) -> Header:
    """The same where somebody said that there is none: most of the first lines settle it."""
    if forced is None:
        return _without(lines, begin, None, highest, name, quote)
    lengths = _lengths(lines[begin:], forced, quote)
    fields, times = Counter(lengths).most_common(1)[0]
    if 2 * times <= len(lengths):
        raise RefusedInput(
            f"{name}: its first lines hold different numbers of fields ({_NAMES[forced]}); check"
            " the separator, or name the lines that are no records"
        )
    if fields > MAX_COLUMNS:
        raise too_many(f"{name}: its rows hold", fields)
    return Header(by_number(fields), forced, -1, begin - 1)


def _lengths(lines: Sequence[str], separator: str, quote: str) -> list[int]:
    """How many fields the first records have, one that is damaged as well as it can be told."""
    found: list[int] = []
    at = 0
    while at < len(lines) and len(found) < SEARCHED_LINES:
        if lines[at].strip():
            record = read_record(lines, at, separator, quote=quote)
            if isinstance(record, Record) and not record.ambiguous:
                found.append(len(record.cells))
                at = record.last
            else:
                found.append(len(split_record(lines[at], separator, quote)))
        at += 1
    return found


def _nothing_found(
    lines: Sequence[str], first: int, forced: str | None, name: str, quote: str
) -> str:
    text = lines[first][:2000]
    separator = forced or max(SEPARATORS, key=text.count)
    cells = split_record(text, separator, quote)
    example = safe_text.cut(cells[0].strip() or "COLUMN", 30)
    return (
        f"{name}: no known column name in the first {SEARCHED_LINES} lines; line {first + 1}"
        f" reads ({_NAMES[separator]}): {listed(cells, 12)}; {how_to_map(example)}"
    )


def how_to_map(example: str) -> str:
    """What to type where no column name is known."""
    return (
        f"if these are the column names type --map '{findings.show(example)}=league' and so on,"
        " if they are data type --map 1=league and so on"
    )
