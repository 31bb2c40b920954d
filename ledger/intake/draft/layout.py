"""Where the records of a file are: its form, found from the first lines, said outright.

What is found is written into the profile, so that the next file is read the same way or refused;
nothing here decides what a column means.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from ledger import resources
from ledger.errors import RefusedInput
from ledger.intake import encoding
from ledger.intake.draft import evidence, headers
from ledger.intake.forms import FixedColumn, Form, open_table, workbook
from ledger.intake.mapping import header_form
from ledger.intake.records import Record, read_record, split_record
from ledger.intake.snapshot import Snapshot

if TYPE_CHECKING:
    from ledger.intake.tokens import Table

_SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "pipe"}
_LOOKED_AT = 400
_HEADER_WITHIN = 20
_KINDS = ("attempts", "box", "totals", "tags", "players")
_RULE_LINE = re.compile(r"^[\s\-=_*.|;,]*$")


@dataclass(frozen=True, slots=True)
class Laid:
    """A file as the drafter sees it.

    Attributes:
        form: how it is laid out.
        table: its cells.
        above: the filled lines above the header.
        reasons: key of the form to why it was chosen.
        sheets: names of the sheets where more than one may hold the records.
    """

    form: Form
    table: Table
    above: tuple[str, ...] = ()
    reasons: Mapping[str, str] = field(default_factory=dict)
    sheets: tuple[str, ...] = ()


def own_names() -> frozenset[str]:
    """The project's own column names, as compared."""
    return frozenset(
        header_form(name)
        for kind in _KINDS
        for f in resources.schema(kind)["fields"]
        for name in (f["name"], *f.get("aliases", ()))
    )


def lay_out(taken: Snapshot, said: Form) -> Laid:
    """Find how a file is laid out and open it.

    Args:
        taken: the file.
        said: what the user said about its form; it stands.

    Raises:
        RefusedInput: if it holds no table.
    """
    if said.type == "sheet" or taken.data[:4] == b"PK\x03\x04":
        return _sheet(taken, said)
    text = encoding.decode(taken.data, taken.name, said.encoding).data.decode("utf-8")
    start = text.lstrip("\ufeff \t\r\n")[:1]
    if start in ("{", "["):
        return _json(taken, text, said)
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    return _text(taken, lines, said)


# -- text ---------------------------------------------------------------------------------------


def _text(taken: Snapshot, lines: Sequence[str], said: Form) -> Laid:
    first = lines[:_LOOKED_AT]
    quote = _quote(first)
    separator, fields = _separator(first, quote[0])
    if separator is None:
        return _fixed(taken, lines, said)
    rows = _records(first, separator, quote[0])
    place = _header_at(list(rows.values()), fields)
    at = list(rows)[place] if place is not None else None
    named = rows[at] if at is not None else []
    form = replace(
        said,
        type="text",
        separator=_SEPARATORS[separator],
        quote=quote[0],
        escape=quote[1],
        header=at + 1 if at is not None else 0,
    )
    reasons = {
        "separator": f"{fields} fields in most lines",
        "header": f"line {at + 1} names the columns" if at is not None else "no line names columns",
    }
    if quote[0] == "'":
        reasons["quote"] = "texts stand between single quotes"
    if at is not None:
        rules = [n + 1 for n in range(at + 1, len(first)) if _is_rule(first[n])]
        if rules:
            form = replace(form, skip=tuple(rules))
            reasons["skip"] = "lines of signs only"
    return _opened(taken, form, named, at, lines, reasons)


def _opened(
    taken: Snapshot,
    form: Form,
    named: Sequence[str],
    at: int | None,
    lines: Sequence[str],
    reasons: Mapping[str, str],
) -> Laid:
    known = {header_form(cell): cell for cell in named if cell.strip()}
    table = open_table(taken, form, known, 0 if at is not None else max(2, len(named))).table
    above = tuple(line for line in lines[: at or 0] if line.strip())
    return Laid(form, table, above, reasons)


def _is_rule(line: str) -> bool:
    return bool(line.strip()) and _RULE_LINE.match(line) is not None and "-" in line + "="


def _quote(lines: Sequence[str]) -> tuple[str, str]:
    """The quote and escape character: single quotes only where cells plainly stand in them."""
    whole = "\n".join(lines)
    single = len(re.findall(r"(?:^|[,;\t|])'(?:[^'\\\n]|\\.|'')*'(?=[,;\t|\n]|$)", whole, re.M))
    double = len(re.findall(r"(?:^|[,;\t|])\"", whole, re.M))
    if single > max(2, double):
        return "'", ("backslash" if "\\'" in whole else "doubled")
    return '"', ("backslash" if '\\"' in whole and double else "doubled")


def _cells(line: str, separator: str, quote: str) -> list[str]:
    if quote == "'":
        pieces = re.findall(
            rf"(?:^|{re.escape(separator)})('(?:[^'\\]|\\.|'')*'|[^{re.escape(separator)}]*)", line
        )
        return [piece[1:-1] if piece[:1] == "'" == piece[-1:] else piece for piece in pieces]
    return list(split_record(line, separator))


def _records(lines: Sequence[str], separator: str, quote: str) -> dict[int, list[str]]:
    """The cells of each filled record by the index of its first line; one may go over several."""
    found: dict[int, list[str]] = {}
    at = 0
    while at < len(lines):
        record = read_record(lines, at, separator) if quote == '"' and '"' in lines[at] else None
        if isinstance(record, Record) and record.last > at and not record.ambiguous:
            found[at] = list(record.cells)
            at = record.last + 1
            continue
        if lines[at].strip():
            found[at] = _cells(lines[at], separator, quote)
        at += 1
    return found


def _separator(lines: Sequence[str], quote: str) -> tuple[str | None, int]:
    """The separator that gives most lines one and the same number of fields."""
    best: tuple[float, int, str] | None = None
    filled = [line for line in lines if line.strip()]
    for separator in _SEPARATORS if filled else ():
        rows = _records(lines, separator, quote)
        counts = Counter(map(len, rows.values()))
        fields, times = max(counts.items(), key=lambda item: item[1] if item[0] > 1 else 0)
        if fields < 2:
            continue
        score = (times / len(rows), fields, separator)
        if score[0] > 0.5 and (best is None or score[0] * fields > best[0] * best[1]):
            best = score
    return (best[2], best[1]) if best is not None else (None, 0)


def _header_at(rows: Sequence[Sequence[str]], fields: int) -> int | None:
    """The line that names the columns: most known words, else words above figures."""
    own = own_names()
    best: tuple[int, int] | None = None
    candidates = [at for at, cells in enumerate(rows[:_HEADER_WITHIN]) if _may_head(cells, fields)]
    for at in candidates:
        known = {
            cell.strip().casefold()
            for cell in rows[at]
            if headers.meaning(cell) is not None or header_form(cell) in own
        }
        if len(known) >= 2 and (best is None or len(known) > best[0]):
            best = (len(known), at)
    if best is not None:
        return best[1]
    full = [at for at, cells in enumerate(rows) if len(cells) == fields]
    if not candidates or not full or candidates[0] != full[0]:
        return None
    head, below = rows[full[0]], [rows[at] for at in full[1:]]
    numeric = [
        at
        for at in range(fields)
        if below and all(evidence.is_number(r[at].strip()) for r in below if r[at].strip())
    ]
    plain_text = all(evidence.is_name(cell.strip()) for cell in head if cell.strip())
    return full[0] if numeric and plain_text else None


def _may_head(cells: Sequence[str], fields: int) -> bool:
    filled = [cell.strip() for cell in cells if cell.strip()]
    if len(cells) != fields or 2 * len(filled) < fields or len(filled) < 2:
        return False
    data = [c for c in filled if evidence.is_date(c) or (c.isdecimal() and len(c) > 1)]
    return 4 * len(data) <= len(filled)


def _fixed(taken: Snapshot, lines: Sequence[str], said: Form) -> Laid:
    """Columns of fixed positions, told by the positions that are blank in every line."""
    rules = [at + 1 for at, line in enumerate(lines[:_LOOKED_AT]) if _is_rule(line)]
    filled = [
        line.rstrip()
        for at, line in enumerate(lines[:_LOOKED_AT], 1)
        if line.strip() and at not in rules
    ]
    if len(filled) < 3:
        raise RefusedInput(
            f"{taken.name}: no separator fits its lines; say how it is laid out in a profile"
        )
    longest = max(map(len, filled))
    # One stray line of many, such as a row of totals, joins no two columns.
    least = 2 if len(filled) >= 8 else 1
    used = [
        sum(len(line) > at and line[at] != " " for line in [filled[0], *filled]) >= least
        for at in range(longest)
    ]
    spans: list[list[int]] = []
    for at, taken_here in enumerate(used):
        if not taken_here:
            continue
        if spans and spans[-1][1] == at - 1:
            spans[-1][1] = at
        else:
            spans.append([at, at])
    if len(spans) < 3:
        raise RefusedInput(
            f"{taken.name}: no separator fits its lines; say how it is laid out in a profile"
        )
    at = next(n for n, line in enumerate(lines) if line.strip())
    named = [lines[at][a : b + 1].strip() for a, b in spans]
    header = sum(headers.meaning(name) is not None for name in named) >= 2
    # A longer name in the next file runs on to where the next column begins.
    ends = [*(start - 1 for start, _ in spans[1:]), spans[-1][1] + 20]
    columns = tuple(
        FixedColumn(name if header and name else f"column {n}", start + 1, end + 1)
        for n, (name, (start, _), end) in enumerate(zip(named, spans, ends, strict=True), 1)
    )
    form = replace(
        said, type="fixed", columns=columns, skip=tuple(rules), header=at + 1 if header else 0
    )
    table = open_table(taken, form, {}, 0).table
    reasons = {"type": "blank in every line between the columns"}
    return Laid(form, table, (), reasons | ({"skip": "lines of signs only"} if rules else {}))


# -- JSON ---------------------------------------------------------------------------------------


def _json(taken: Snapshot, text: str, said: Form) -> Laid:
    rows = [line for line in text.split("\n") if line.strip()]
    if said.type == "json lines" or (len(rows) > 1 and _is_object(rows[0]) and not said.path):
        form = replace(said, type="json lines")
        return Laid(form, open_table(taken, form, {}).table, (), {"type": "an object a line"})
    try:
        document = json.loads(text)
    except (ValueError, RecursionError) as problem:
        why = str(problem)[:80]
        raise RefusedInput(
            f"{taken.name}: no whole JSON document ({why}); fetch it again"
        ) from None
    path = said.path or records_path(document)
    if path is None:
        raise RefusedInput(f"{taken.name}: no list of objects in it; nothing to draft")
    form = replace(said, type="json", path=path)
    return Laid(
        form, open_table(taken, form, {}).table, (), {"path": "the richest list of objects"}
    )


def _is_object(line: str) -> bool:
    try:
        return isinstance(json.loads(line), dict)
    except (ValueError, RecursionError):
        return False


def records_path(document: Any) -> str | None:
    """The path of the list of objects that look most like records.

    >>> records_path({"games": [{"events": [{"player": "A", "made": True, "n": 1}]}]})
    '$.games[*].events[*]'
    """
    found: dict[str, list[int]] = {}
    words: dict[str, set[str]] = {}
    _walk(document, "$", found, words)
    if not found:
        return None

    def score(path: str) -> tuple[int, int, int]:
        known = {m for name in words[path] if (m := headers.meaning(name)) is not None}
        return (min(len(known), 3), found[path][0], path.count("[*]"))

    return max(found, key=score)


def _walk(node: Any, path: str, found: dict[str, list[int]], words: dict[str, set[str]]) -> None:
    if isinstance(node, Mapping):
        for key, value in node.items():
            if re.fullmatch(r"[^.\[\]]+", str(key)):
                _walk(value, f"{path}.{key}", found, words)
    elif isinstance(node, list):
        here = f"{path}[*]"
        for item in node:
            if isinstance(item, Mapping):
                found.setdefault(here, [0])[0] += 1
                words.setdefault(here, set()).update(_scalars(item, ""))
            _walk(item, here, found, words)


def _scalars(record: Mapping[str, Any], lead: str) -> list[str]:
    names: list[str] = []
    for key, value in record.items():
        if isinstance(value, Mapping):
            names += _scalars(value, f"{lead}{key}.")
        elif not isinstance(value, list):
            names.append(f"{lead}{key}")
    return names


# -- sheets -------------------------------------------------------------------------------------


def _sheet(taken: Snapshot, said: Form) -> Laid:
    """The sheet named, else the one with most rows; with several it is asked."""
    names = [sheet.name for sheet in workbook.opened(taken.data, taken.name).sheets]
    if said.sheet is not None or len(names) < 2:
        return _one_sheet(taken, said)
    found: list[Laid] = []
    for name in names:
        try:
            found.append(_one_sheet(taken, replace(said, sheet=name)))
        except RefusedInput:
            continue
    if not found:
        return _one_sheet(taken, said)
    best = max(found, key=lambda laid: laid.table.frame.height)
    return replace(best, sheets=tuple(names)) if len(found) > 1 else best


def _one_sheet(taken: Snapshot, said: Form) -> Laid:
    bare = open_table(taken, replace(said, type="sheet", header=0), {}).table
    width = len(bare.columns)
    by_line = {
        int(line): [str(c) if c is not None else "" for c in cells]
        for line, *cells in bare.frame.head(_LOOKED_AT).iter_rows()
    }
    lines = sorted(by_line)
    rows = [by_line[line] for line in lines]
    at = _header_at(
        [_trimmed(row, rows) for row in rows], len(_trimmed(rows[0], rows)) if rows else 0
    )
    form = replace(said, type="sheet", header=lines[at] if at is not None else 0)
    named = rows[at] if at is not None else [str(n + 1) for n in range(width)]
    known = {header_form(cell): cell for cell in named if cell.strip()}
    table = open_table(taken, form, known).table
    above = tuple(" ".join(c for c in row if c.strip()) for row in rows[: at or 0])
    why = f"row {form.header} names the columns" if at is not None else "no row names columns"
    return Laid(form, table, above, {"header": why})


def _trimmed(row: Sequence[str], rows: Sequence[Sequence[str]]) -> Sequence[str]:
    """The row without the columns at its end that no row fills."""
    last = max((n for r in rows for n, cell in enumerate(r, 1) if cell.strip()), default=0)
    return row[:last]
