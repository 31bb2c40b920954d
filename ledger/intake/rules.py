"""Text cells to typed records and rejected rows, by the rules of the schema.

A row with one bad filled cell is rejected whole, with its first bad column; nothing is repaired
and nothing is guessed. Every row of the table ends as a record, a reject or a skipped row.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import polars as pl

from ledger.errors import RefusedInput
from ledger.intake import (
    cells,
    dates,
    fields,
    findings,
    guarded,
    kind_guard,
    shot_numbers,
    summary_rows,
)
from ledger.intake.cells import Cells
from ledger.intake.mapping import TAG_KEY, Columns, required_names
from ledger.intake.options import ReadOptions
from ledger.intake.tokens import Table
from ledger.intake.words import Words

_TRIP_SHOT = "trip_shot"
_BLANK_PAIR = ("", "-", "–", "—")
# Columns of a rejects file that speak of the row and fill no field.
_ABOUT_ROWS = ("guarded", "beyond_header")


@dataclass(frozen=True, slots=True)
class Converted:
    """A table after conversion.

    Attributes:
        frame: `line` and the typed columns of each field of the file or `--set`.
        rejects: rows that break a rule.
        skipped: rows that hold no record.
        unknown_techniques: technique words nobody explained, with their number of rows.
    """

    frame: pl.DataFrame
    rejects: pl.DataFrame
    skipped: pl.DataFrame
    unknown_techniques: dict[str, int]


def convert(
    table: Table,
    schema: Mapping[str, Any],
    columns: Columns,
    words: Words,
    options: ReadOptions,
    name: str,
) -> Converted:
    """The records of a table.

    Args:
        table: from `tokens.tokenize`.
        schema: the Table Schema of the kind of file.
        columns: from `mapping.resolve`.
        words: the word table with what `--word` says.
        options: what the user typed.
        name: the file's name for messages.

    Raises:
        RefusedInput: if the file is another kind of file, or the order of its dates or the words
            of `made` cannot be known.
        UseError: if `--dates` is neither an order nor a format.
    """
    context = fields.Context(words, options.dates, table.separator, name)
    profiled = options.profile is not None
    return _Conversion(table, schema, columns, context, profiled=profiled).run()


class _Conversion:
    """The state of one conversion: the cells still in, the problems found so far."""

    def __init__(
        self,
        table: Table,
        schema: Mapping[str, Any],
        columns: Columns,
        context: fields.Context,
        *,
        profiled: bool,
    ) -> None:
        self._headers = table.columns
        self._schema = schema
        self._fields = {field["name"]: field for field in schema["fields"]}
        self._columns = columns
        self._context = context
        self._profiled = profiled
        self._cells = table.frame
        self._problems: list[pl.DataFrame] = []
        self._unknown: dict[str, int] = {}

    def run(self) -> Converted:
        places = self._columns.places
        if "guarded" in places:
            self._cells = guarded.undo(self._cells, self._headers, places["guarded"])
        skipped = self._skip()
        if self._schema["name"] == "attempts" and "made" in places:
            self._refuse_counts()
        record: dict[str, pl.Series] = {"line": self._cells["line"]}
        for field in places:
            if field not in _ABOUT_ROWS:
                record |= self._from_file(self._fields[field])
        for field, value in self._columns.constants.items():
            record |= self._constant(self._fields[field], value)
        frame = pl.DataFrame(record)
        self._across(frame)
        rejects = self._rejected()
        if not rejects.is_empty():
            frame = frame.filter(~pl.col("line").is_in(rejects["line"].to_list()))
        return Converted(frame, rejects, skipped, self._unknown)

    def _raw(self, field: str) -> pl.Series:
        return self._cells[str(self._columns.places[field])]

    def _refuse_counts(self) -> None:
        counted = self._raw("made").value_counts().iter_rows()
        filled = [(cell, rows) for cell, rows in counted if cell.strip()]
        kind_guard.check(filled, self._headers, self._context.words, self._context.name)

    def _skip(self) -> pl.DataFrame:
        places = self._columns.places
        required = [str(places[f]) for f in required_names(self._schema) if f in places]
        # By number: of the two sides of one row one may hold a record and the other none.
        numbered = self._cells.with_columns(line=pl.int_range(pl.len(), dtype=pl.Int32))
        mapped = [str(at) for at in places.values()]
        found = [summary_rows.find(numbered, self._headers, required, mapped)]
        if {"made", "attempts"} <= set(places):
            pair = pl.all_horizontal(
                pl.col(str(places[field])).str.strip_chars().is_in(_BLANK_PAIR)
                for field in ("made", "attempts")
            )
            text = pl.concat_str(mapped, separator=" ")
            pairs = numbered.filter(pair, ~pl.col("line").is_in(found[0]["line"].implode()))
            found.append(pairs.select("line", reason=pl.lit("not_in_table"), text=text))
        out = pl.concat(found)
        if out.is_empty():
            return findings.skipped_frame([])
        lines = out.with_columns(line=self._cells["line"].gather(out["line"]))
        self._cells = self._cells.filter(~numbered["line"].is_in(out["line"].implode()))
        return findings.skipped_frame(lines.iter_rows())

    def _from_file(self, field: Mapping[str, Any]) -> dict[str, pl.Series]:
        """The typed columns of one field of the file; its wrong cells are noted."""
        raw = self._raw(field["name"])
        uniques = [] if fields.is_plain(field) else cells.different(raw)
        found = fields.typed(field, raw, uniques, self._context_of(field["name"], uniques))
        if field.get("constraints", {}).get("required"):
            found = found.required()
        self._note(field["name"], raw, found)
        if field["name"] == "technique":
            self._unknown = fields.unknown_techniques(raw, uniques, self._context.words)
        return fields.columns(field, raw, uniques, found, self._context.words)

    def _context_of(self, name: str, uniques: list[str]) -> fields.Context:
        if name != shot_numbers.FIELD:
            return self._context
        column = self._columns.written[name].strip()
        if self._profiled:
            out = "write trip_shot for shot in the profile"
        elif _TRIP_SHOT in self._fields:
            out = f"type --map '{findings.show(column)}={_TRIP_SHOT}'"
        else:
            out = "take the column out"
        counted = _TRIP_SHOT in self._columns.places
        words = shot_numbers.known(
            uniques, self._context.words, column, self._context.name, counted=counted, out=out
        )
        return replace(self._context, words=words)

    def _constant(self, field: Mapping[str, Any], value: str) -> dict[str, pl.Series]:
        """The typed columns of one `--set`, the same in every row."""
        raw, height = pl.Series([value]), self._cells.height
        found = fields.typed(field, raw, [value], self._context)
        if field["name"] == "technique":
            unknown = fields.unknown_techniques(raw, [value], self._context.words)
            self._unknown = dict.fromkeys(unknown, height)
        elif found.values.null_count():
            reason = found.reasons[0] if found.reasons is not None else "missing"
            raise RefusedInput(
                f"--set {field['name']}={findings.show(value)}:"
                f" {self._fix(reason, field['name'], value)}"
            )
        columns = fields.columns(field, raw, [value], found, self._context.words)
        return {key: series.new_from_index(0, height) for key, series in columns.items()}

    def _note(self, name: str, raw: pl.Series, found: Cells) -> None:
        if found.reasons is not None:
            rows = pl.DataFrame(
                {
                    "line": self._cells["line"],
                    "value": raw.str.strip_chars(),
                    "reason": found.reasons,
                }
            )
            self._problems.append(
                rows.filter(pl.col("reason").is_not_null()).with_columns(field=pl.lit(name))
            )

    def _across(self, frame: pl.DataFrame) -> None:
        """Rules that look at more than one cell of a row."""
        if "beyond_header" in self._columns.places:
            rows = self._cells.select("line", value=self._raw("beyond_header").str.strip_chars())
            self._add(rows.filter(pl.col("value") != ""), "beyond_header", "wrong_field_count")
        if {"made", "attempts"} <= set(frame.columns):
            above = frame.filter(pl.col("made") > pl.col("attempts"))
            value = pl.format("{} of {}", "made", "attempts")
            self._add(above.select("line", value=value), "made", "made_above_attempts")
        if self._schema["name"] == "tags":
            keyed = pl.lit(False)
            named = [n for n in ("attempt_id", "attempt") if n in frame.columns]
            for name in named:
                keyed = keyed | pl.col(name).is_not_null()
            if set(TAG_KEY) <= set(frame.columns):
                keyed = keyed | pl.all_horizontal(pl.col(*TAG_KEY).is_not_null())
            unkeyed = frame.filter(~keyed).select("line", value=pl.lit(""))
            self._add(unkeyed, named[0] if named else "nth", "missing")

    def _add(self, rows: pl.DataFrame, field: str, reason: str) -> None:
        if not rows.is_empty():
            self._problems.append(
                rows.with_columns(reason=pl.lit(reason), field=pl.lit(field)).select(
                    "line", "value", "reason", "field"
                )
            )

    def _rejected(self) -> pl.DataFrame:
        """The first problem of each row, by the order of the columns in the file."""
        if not self._problems:
            return findings.rejects_frame([])
        first = pl.concat(self._problems).unique("line", keep="first", maintain_order=True)
        kinds = first.select("reason", "field", "value").unique()
        written = self._columns.written
        listed = pl.DataFrame(
            [
                (reason, field, value, written.get(field, field).strip(), self._fix(*row))
                for row in kinds.iter_rows()
                for reason, field, value in (row,)
            ],
            schema=dict.fromkeys(("reason", "field", "value", "column", "fix"), pl.String),
            orient="row",
        )
        joined = first.join(listed, on=["reason", "field", "value"], how="left")
        return findings.shown(joined.select(*findings.REJECT_SCHEMA).sort("line"))

    def _fix(self, reason: str, field: str, value: str) -> str:
        if reason == "unknown_word":
            facts = self._fields[field]
            meant = "yes" if facts["type"] == "boolean" else "VALUE"
            typed = f"type --word {field}:{findings.show(value)}={meant} if that is what it means"
            known = facts.get("constraints", {}).get("enum", ())
            return f"{typed}; a VALUE is {', '.join(known)}" if known else typed
        if reason == "bad_date" and dates.exists_nowhere(value):
            return "there is no such day: write one that exists, such as 2024-03-28"
        if reason == "out_of_bounds":
            limits = self._fields[field]["constraints"]
            return f"{field} lies between {limits['minimum']} and {limits['maximum']}"
        if reason == "bad_number" and kind_guard.is_pair(value):
            return "write makes and attempts into two columns"
        if reason == "missing" and self._schema["name"] == "tags":
            return "give attempt_id, or attempt (its number here), or " + ", ".join(TAG_KEY)
        return findings.FIXES[reason]
