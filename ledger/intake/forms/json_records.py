"""JSON: one document with its records along a path, or one object a line."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import polars as pl

from ledger.errors import RefusedInput
from ledger.intake import findings, header, tokens
from ledger.intake.encoding import MARK, Text
from ledger.intake.forms import grid, json_path, json_values
from ledger.intake.forms.form import Form
from ledger.intake.forms.json_path import Steps
from ledger.intake.forms.json_values import Unreadable
from ledger.intake.mapping import listed
from ledger.intake.records import MAX_RECORD

MAX_DOCUMENT = 128 * 1024 * 1024
MAX_CONTAINERS = 5_000_000
MAX_CELLS = 50_000_000
Result = tuple[tokens.Table, tuple[str, ...], bool]


def table_of(text: Text, form: Form, name: str, one_a_line: bool | None) -> Result:
    """The table in a JSON file, what its reader should know, and whether it is one object a line.

    Args:
        text: the file's text.
        form: its path and the records to skip.
        name: the file's name for messages.
        one_a_line: whether it holds one object a line; found out where it is `None`.

    Raises:
        RefusedInput: if it is no JSON, or its records cannot be told.
        UseError: if the path is none.
    """
    steps = json_path.parsed(form.path) if form.path else None
    if one_a_line is None:
        one_a_line = steps is None and _one_a_line(text.data)
    if one_a_line:
        return *_of_lines(text, form, name), True
    document = _document(text.data, name)
    return *_of_document(document, steps, form, name), False


def _one_a_line(data: bytes) -> bool:
    """Whether the first line is a whole object and more follows, or most lines look like one."""
    lines = [line for line in data.splitlines() if line.strip()]
    if len(lines) < 2 or not lines[0].lstrip().startswith(b"{"):
        return False
    try:
        return isinstance(json_values.parsed(lines[0].decode()), dict)
    except Unreadable:
        ends = sum(line.lstrip()[:1] == b"{" and line.rstrip()[-1:] == b"}" for line in lines)
        return 2 * ends > len(lines)


def _document(data: bytes, name: str) -> Any:
    if len(data) > MAX_DOCUMENT:
        raise RefusedInput(
            f"{name}: one JSON document larger than {MAX_DOCUMENT // 2**20} MiB; write one object"
            " a line, or split it"
        )
    if data.count(b"{") + data.count(b"[") > MAX_CONTAINERS:
        raise RefusedInput(f"{name}: holds more than {MAX_CONTAINERS} lists and objects; split it")
    try:
        return json_values.parsed(data.decode())
    except Unreadable as problem:
        what = {"bad_json": "no whole JSON", "too_deep": "nested too deep"}.get(
            problem.reason, "cannot be read one way"
        )
        raise RefusedInput(f"{name}: {what} ({problem.about}); mend it or fetch it again") from None


@dataclass(slots=True)
class _Columns:
    """Records as they come, column by column."""

    name: str
    lines: list[int] = field(default_factory=list)
    cells: dict[str, list[str]] = field(default_factory=dict)
    refused: list[grid.Refused] = field(default_factory=list)
    skipped: list[tuple[int, str, str]] = field(default_factory=list)
    left: set[str] = field(default_factory=set)
    kind: type | None = None

    def take(self, line: int, value: Any, inherited: dict[str, str]) -> None:
        """One record: an object, or a list where the first record is one."""
        if not isinstance(value, dict | list) or self.kind not in (None, type(value)):
            raise Unreadable("bad_json", _text(value))
        own = json_values.cells_of(value, "", None, self.left)
        twice = next((column for column in own if column in inherited), None)
        if twice is not None:
            raise Unreadable("doubled_name", f"{twice!r} is a field of the record and above it")
        self._add(line, inherited | own)
        self.kind = type(value)

    def _add(self, line: int, record: dict[str, str]) -> None:
        for column, cell in record.items():
            cells = self.cells.get(column)
            if cells is None:
                cells = self.cells[column] = []
                if len(self.cells) > header.MAX_COLUMNS:
                    raise header.too_many(f"{self.name}: its records name more than", 1000)
            cells += [""] * (len(self.lines) - len(cells))
            cells.append(cell)
        self.lines.append(line)

    def refuse(self, line: int, value: str, reason: str, text: str) -> None:
        shown = value[: 4 * findings.VALUE_CELLS].replace(MARK, "\ufffd")
        self.refused.append((line, None, shown, reason, text))

    def table(self) -> tokens.Table:
        rows = len(self.lines)
        if rows * len(self.cells) > MAX_CELLS:
            raise RefusedInput(
                f"{self.name}: {rows} records of {len(self.cells)} columns; split it, or leave"
                " fields out"
            )
        for cells in self.cells.values():
            cells += [""] * (rows - len(cells))
        frame = grid.frame_of(self.lines, list(self.cells.values()))
        # What could not be read stands beyond the columns, as after a row that is too long.
        none = [""] * len(self.cells)
        refused = [
            (line, column, value, reason, grid.csv_line([*none, text]))
            for line, column, value, reason, text in self.refused
        ]
        return grid.table(list(self.cells), frame, refused, self.skipped)

    def warnings(self) -> list[str]:
        if not self.left:
            return []
        return [f"lists inside records, left out: {listed(sorted(self.left))}"]


def _of_lines(text: Text, form: Form, name: str) -> tuple[tokens.Table, tuple[str, ...]]:
    _, lines = tokens.physical_lines(text.data, name)
    columns = _Columns(name)
    for line, row in lines.filter(pl.col("text").str.contains(r"\S")).iter_rows():
        if line in form.skip:
            columns.skipped.append((line, "skip_line", row))
        elif len(row) > MAX_RECORD:
            columns.refuse(line, row, "too_long", row)
        else:
            try:
                columns.take(line, json_values.parsed(row), {})
            except Unreadable as problem:
                about = row if problem.reason == "bad_json" else problem.about
                columns.refuse(line, about, problem.reason, row)
    if not columns.lines:
        first = columns.refused[0][2] if columns.refused else ""
        raise RefusedInput(
            f"{name}: no line holds a whole JSON object; the first reads {findings.show(first)!r}"
        )
    return columns.table(), tuple(columns.warnings())


def _of_document(
    document: Any, steps: Steps | None, form: Form, name: str
) -> tuple[tokens.Table, tuple[str, ...]]:
    along = steps if steps is not None else _only_path(document, name)
    columns = _Columns(name)
    walk = _Walk(along, columns.left)
    try:
        for line, (inherited, value) in enumerate(walk.records(document), 1):
            if line in form.skip:
                columns.skipped.append((line, "skip_line", _text(value)))
            else:
                try:
                    columns.take(line, value, inherited)
                except Unreadable as problem:
                    columns.refuse(line, problem.about, problem.reason, _text(value))
    except Unreadable as problem:
        raise RefusedInput(
            f"{name}: the objects around its records cannot be read one way ({problem.about})"
        ) from None
    path = findings.show(json_path.written(along))
    if not columns.lines and not columns.refused and not columns.skipped:
        there = json_path.listed(json_path.lists_in(document)) if _container(document) else ""
        hint = f"; paths that do: {there}" if there else ""
        raise RefusedInput(f"{name}: no record at {path}{hint}")
    warnings = columns.warnings()
    if walk.without:
        hold = "1 object" if walk.without == 1 else f"{walk.without} objects"
        verb = "holds" if walk.without == 1 else "hold"
        warnings.append(f"{hold} above the records {verb} nothing at {path}")
    return columns.table(), tuple(warnings)


def _container(value: Any) -> bool:
    return isinstance(value, dict | list)


def _text(value: Any) -> str:
    try:
        return grid.whole(json.dumps(value, ensure_ascii=False))
    except RecursionError:
        return "nested too deep to be written"


def _only_path(document: Any, name: str) -> Steps:
    """The path to the records where nobody said it and only one is possible."""
    if not _container(document) or not document:
        raise RefusedInput(f"{name}: holds no records; nothing to import")
    if isinstance(document, list) and any(isinstance(item, dict) for item in document):
        return (json_path.EVERY,)
    paths = json_path.lists_in(document)
    if len(paths) == 1:
        return next(iter(paths))
    if paths:
        first = findings.show(json_path.written(next(iter(paths))))
        raise RefusedInput(
            f"{name}: several lists of objects; say which are the records, such as --path"
            f" '{first}': {json_path.listed(paths)}"
        )
    if isinstance(document, dict):
        return ()
    raise RefusedInput(f"{name}: a list without objects; nothing names its fields")


@dataclass(slots=True)
class _Walk:
    """Goes along a path; counts objects that do not go on along it."""

    steps: Steps
    left: set[str]
    without: int = 0

    def records(self, document: Any) -> Iterator[tuple[dict[str, str], Any]]:
        yield from self._from(document, 0, "$", {})

    def _from(
        self, value: Any, at: int, prefix: str, above: dict[str, str]
    ) -> Iterator[tuple[dict[str, str], Any]]:
        if at == len(self.steps):
            # A path that stops at the list means its elements.
            stops = not self.steps or self.steps[-1] is not None
            many = stops and isinstance(value, list) and any(map(_container, value))
            for item in value if many else [value]:
                yield above, item
            return
        step = self.steps[at]
        if step is None:
            yield from self._each(value, at, prefix, above)
        elif isinstance(value, dict) and step in value:
            own = json_values.cells_of(value, f"{prefix}.", step, self.left)
            name = step if prefix == "$" else f"{prefix}.{step}"
            yield from self._from(value[step], at + 1, grid.whole(name), above | own)
        else:
            self.without += 1

    def _each(
        self, value: Any, at: int, prefix: str, above: dict[str, str]
    ) -> Iterator[tuple[dict[str, str], Any]]:
        if isinstance(value, list):
            for item in value:
                yield from self._from(item, at + 1, prefix, above)
        elif isinstance(value, dict):
            for key, item in value.items():
                # The name by which an object is found is often its id.
                keyed = above | {f"{prefix}[*]": grid.whole(key)}
                yield from self._from(item, at + 1, prefix, keyed)
        else:
            self.without += 1
