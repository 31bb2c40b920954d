"""One field of the schema: from text cells to its typed columns.

Which reader a field gets is told by its type and kind in the schema; no field name is known here
but `technique`, whose unknown words are kept and never reject a row.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import polars as pl

from ledger.errors import RefusedInput
from ledger.intake import cells, clocks, dates, findings, names, numbers, seasons
from ledger.intake.cells import Cells, Read
from ledger.intake.words import NOT_RECORDED, UNCLEAR, Words


@dataclass(frozen=True, slots=True)
class Context:
    """What a reader must know beside the cells.

    Attributes:
        words: the word table with what `--word` says.
        dates: what was typed after `--dates`.
        separator: the file's separator.
        name: the file's name for messages.
    """

    words: Words
    dates: str | None
    separator: str
    name: str


def is_plain(field: Mapping[str, Any]) -> bool:
    """Whether a field is text kept as written: an id or a free remark."""
    return (
        field["type"] == "string" and not field.get("coded") and field.get("kind") in (None, "id")
    )


def typed(field: Mapping[str, Any], raw: pl.Series, uniques: list[str], context: Context) -> Cells:
    """The typed values of a field and the reasons of its wrong cells.

    Args:
        field: the field as the schema has it.
        raw: its cells.
        uniques: the different filled cells (not used for plain text).
        context: what the readers must know.

    Raises:
        RefusedInput: if no cell of a required coded field or of a date can be read.
    """
    kind, limits = field.get("kind"), field.get("constraints", {})
    most = int(limits.get("maxLength", names.MAX_NAME))
    if field.get("coded"):
        return _coded(field, raw, uniques, context)
    if is_plain(field):
        return cells.as_text(raw, most, single_line=kind == "id")
    if kind == "name":
        return cells.convert(raw, uniques, _name_reader(most), pl.String)
    if kind == "season":
        return cells.convert(raw, uniques, _season, pl.String)
    if field["type"] == "date":
        read_date = dates.reader(uniques, context.dates, context.name)
        return cells.convert(raw, uniques, _or("bad_date", read_date), pl.Date)
    if field["type"] == "integer" and kind is None:
        return cells.whole_numbers(raw, limits.get("minimum"), limits.get("maximum"))
    read, reason = _number_reader(field, uniques, context.separator)
    dtype = pl.Int32 if field["type"] == "integer" else pl.Float64
    return cells.convert(raw, uniques, _within(_or(reason, read), limits), dtype)


def columns(
    field: Mapping[str, Any], raw: pl.Series, uniques: list[str], found: Cells, words: Words
) -> dict[str, pl.Series]:
    """The columns a field fills: one of its own name, more for a season and a technique."""
    name = field["name"]
    if field.get("kind") == "season":
        return _season_columns(uniques, found)
    if name != "technique":
        return {name: found.values.alias(name)}
    meant = {cell: words.look(name, cell) for cell in uniques}
    written = [cell for cell in uniques if meant[cell] not in (UNCLEAR, NOT_RECORDED)]
    unclear = [cell for cell in uniques if meant[cell] == UNCLEAR]
    kept = cells.convert(raw, written, lambda cell: (names.clean(cell)[:200], None), pl.String)
    return {
        name: found.values.alias(name),
        "technique_as_written": kept.values.alias("technique_as_written"),
        "unclear": raw.is_in(unclear).alias("unclear"),
    }


def unknown_techniques(raw: pl.Series, uniques: list[str], words: Words) -> dict[str, int]:
    """Technique words nobody explained, as written, with their number of cells."""
    unknown = [cell for cell in uniques if words.look("technique", cell) is None]
    counted: dict[str, int] = {}
    for cell, rows in raw.filter(raw.is_in(unknown)).value_counts(sort=True).iter_rows():
        word = names.clean(cell)
        counted[word] = counted.get(word, 0) + rows
    return counted


def _coded(field: Mapping[str, Any], raw: pl.Series, uniques: list[str], context: Context) -> Cells:
    name, boolean = field["name"], field["type"] == "boolean"

    def read(cell: str) -> tuple[Any, str | None]:
        value = context.words.look(name, cell)
        if name == "technique":
            return (None if value in (UNCLEAR, NOT_RECORDED) else value), None
        if value is None:
            return None, "unknown_word"
        return (value == "yes" if boolean else value), None

    found = cells.convert(raw, uniques, read, pl.Boolean if boolean else pl.String)
    required = field.get("constraints", {}).get("required")
    if required and uniques and found.values.null_count() == len(raw):
        listed = ", ".join(findings.show(cell.strip()) for cell in uniques[:6])
        word = findings.show(uniques[0].strip())
        raise RefusedInput(
            f"{context.name}: no word of {name} is known ({listed}); say what they mean, such as"
            f" --word {name}:{word}=yes"
        )
    return found


def _number_reader(
    field: Mapping[str, Any], uniques: list[str], separator: str
) -> tuple[Callable[[str], Any], str]:
    kind = field.get("kind")
    if kind == "period":
        return clocks.period_reader(uniques), "bad_period"
    if kind == "clock":
        return clocks.clock_reader(uniques), "bad_clock"
    if field["type"] == "number":
        return numbers.number_reader(uniques, separator), "bad_number"
    raise AssertionError(f"no rule for the field {field['name']}")


def _season_columns(uniques: list[str], found: Cells) -> dict[str, pl.Series]:
    """The season as first written, its normal form and the year it starts in."""
    first: dict[str, str] = {}
    years: dict[str, int] = {}
    for cell in uniques:
        season = seasons.season_of(cell)
        if season is not None:
            first.setdefault(season[0], names.clean(cell))
            years[season[0]] = season[1]
    keys = found.values
    return {
        "season": cells.spread(keys, first, pl.String).alias("season"),
        "season_key": keys.alias("season_key"),
        "start_year": cells.spread(keys, years, pl.Int32).alias("start_year"),
    }


def _or(reason: str, read: Callable[[str], Any]) -> Read:
    """A reader that gives the reason where nothing can be read."""

    def reading(cell: str) -> tuple[Any, str | None]:
        value = read(cell)
        return (value, None) if value is not None else (None, reason)

    return reading


def _within(read: Read, limits: Mapping[str, Any]) -> Read:
    """A reader that also keeps the schema's bounds."""
    low, high = limits.get("minimum"), limits.get("maximum")

    def reading(cell: str) -> tuple[Any, str | None]:
        value, reason = read(cell)
        if reason is None and (
            (low is not None and value < low) or (high is not None and value > high)
        ):
            return None, "out_of_bounds"
        return value, reason

    return reading


def _name_reader(most: int) -> Read:
    def reading(cell: str) -> tuple[str | None, str | None]:
        name = names.clean(cell)
        reason = names.fault(name, most)
        return (None, reason) if reason else (name or None, None)

    return reading


def _season(cell: str) -> tuple[str | None, str | None]:
    label = names.clean(cell)
    reason = names.fault(label)
    if reason is not None:
        return None, reason
    season = seasons.season_of(label)
    return (season[0], None) if season is not None else (None, "bad_season")
