"""What is found wrong with rows: the stable reason codes and the frames that list them.

A rejected row is data, not an exception: its line, its column, its value and what would mend it.
A skipped row holds no record (a totals row, a footnote); it is counted and listed all the same.
"""

from __future__ import annotations

from collections.abc import Iterable

import polars as pl

from ledger import safe_text

VALUE_CELLS = 80

REJECT_SCHEMA = {
    "line": pl.Int32,
    "column": pl.String,
    "value": pl.String,
    "reason": pl.String,
    "fix": pl.String,
}
SKIP_SCHEMA = {"line": pl.Int32, "reason": pl.String, "text": pl.String}

FIXES = {
    "above_header": "move the row below the line that names the columns",
    "ambiguous_quotes": "a quote opens here and closes on a later line that reads like a row"
    " of its own: remove or close the stray quote",
    "bad_clock": "write the time left as 5:38, 0:47.3 or seconds",
    "bad_date": "write a date that exists as 2024-03-28, or type --dates with the order",
    "bad_encoding": "a sign that is no letter (bytes that are none in this encoding, or U+FDD0):"
    " mend the text, or type --encoding if the whole file uses another one",
    "bad_json": "a record is one whole object with named fields, as JSON writes it: mend it",
    "bad_number": "write a plain number such as 7 or 4.57",
    "bad_pair": "write makes and attempts as 7-9, or leave the cell blank",
    "bad_period": "write the period as a number, overtimes counted on",
    "bad_season": "write the season as 2023-24 or with its year",
    "cell_error": "the sheet shows an error in this cell: mend its formula and save the sheet",
    "clock_without_period": "a clock that counts up needs its period: fill the period",
    "control_character": "remove the control characters",
    "cut_row": "the file ends in the middle of this row: fetch it again",
    "doubled_name": "one object names a field twice: keep one of them",
    "formula_without_value": "the formula was saved without its value: open the sheet, let it"
    " calculate and save it",
    "made_above_attempts": "made cannot be above attempts: check the two columns",
    "missing": "fill the cell, or type --set for a value that holds for the whole file",
    "no_match": "no pattern of the profile matches: fill the fields, or add a pattern",
    "not_in_second_file": "the second file of the profile has no such row: add it there",
    "not_one_result": "made takes the result of one attempt: yes or no",
    "out_of_bounds": "check the value: it lies outside what is possible",
    "outside_columns": "text stands outside every column of the form: mend the line, or give the"
    " form a column for it",
    "stray_quote": "quote the whole field and double the quotes inside it",
    "tab_in_line": "positions cannot be counted over a tab: write blanks instead",
    "too_deep": "objects inside objects go too deep: keep the fields that are needed",
    "too_long": "shorten the text",
    "twice_in_second_file": "rows of the second file differ: keep the right one",
    "two_values": "two places of the row say different things: keep the right one",
    "unclosed_quote": "close the quote",
    "unknown_word": "type --word to say what the word means",
    "wrong_field_count": "give the row as many fields as the header, quote fields that hold the "
    "separator",
}


def rejects_frame(rows: Iterable[tuple[int, str | None, str | None, str, str]]) -> pl.DataFrame:
    """Rejected rows as a frame; values are cut to 80 cells and made safe to show."""
    frame = pl.DataFrame(list(rows), schema=REJECT_SCHEMA, orient="row")
    return shown(frame)


def without(frame: pl.DataFrame, out: pl.DataFrame) -> pl.DataFrame:
    """The rows of a frame whose `line` is none of the other's; often that is all of them."""
    if out.is_empty():
        return frame
    return frame.filter(~pl.col("line").is_in(out["line"].implode()))


def shown(frame: pl.DataFrame) -> pl.DataFrame:
    """The frame with its values cut and made safe for a terminal."""
    if frame.is_empty():
        return frame
    values = frame["value"].unique().drop_nulls().to_list()
    made_safe = [show(value) for value in values]
    return frame.with_columns(
        pl.col("value").replace_strict(values, made_safe, default=None, return_dtype=pl.String),
    )


def show(value: str) -> str:
    """One value cut to 80 cells and made safe for a terminal."""
    return safe_text.cut(safe_text.safe(value[: 4 * VALUE_CELLS]), VALUE_CELLS)


def skipped_frame(rows: Iterable[tuple[int, str, str]]) -> pl.DataFrame:
    """Skipped rows as a frame."""
    return pl.DataFrame(
        [(line, reason, show(text)) for line, reason, text in rows],
        schema=SKIP_SCHEMA,
        orient="row",
    )


def lines_named(lines: Iterable[int], most: int = 5) -> str:
    """Line numbers in words: `line 4`, `lines 4, 7, 9 and 12 more`."""
    numbers = sorted(lines)
    if len(numbers) == 1:
        return f"line {numbers[0]}"
    listed = ", ".join(map(str, numbers[:most]))
    more = len(numbers) - most
    return f"lines {listed}" + (f" and {more} more" if more > 0 else "")
