"""Tables as CSV cells and back, exactly.

A text that a spreadsheet would run, or that is empty, gets an apostrophe in front, and the last
column, `guarded`, names the columns of that row where it stands: reading takes it off again. So an
empty cell always means nothing, and `'x` without a guard means what it says.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING

from ledger.errors import RefusedInput
from ledger.store.allowlist import ColumnRule

if TYPE_CHECKING:
    import polars as pl

GUARDED = "guarded"
# The signs of safe_text.safe_cell, as a pattern for whole columns; a test holds the two together.
_NEEDS_GUARD = "^[=+\\-@\t\r\uff1d\uff0b\uff0d\uff20]|^$"
_DATE = "%Y-%m-%d"
_TIME = "%Y-%m-%dT%H:%M:%S%.6f"
_TIME_READ = "%Y-%m-%dT%H:%M:%S%.f"

FIELD_TYPES = {
    "VARCHAR": "string",
    "TINYINT": "integer",
    "SMALLINT": "integer",
    "INTEGER": "integer",
    "BIGINT": "integer",
    "DOUBLE": "number",
    "BOOLEAN": "boolean",
    "DATE": "date",
    "TIMESTAMP": "datetime",
}


def to_csv(frame: pl.DataFrame) -> bytes:
    """A table as UTF-8 CSV with a header, its texts guarded; the same bytes for the same table.

    Args:
        frame: string, integer, float, boolean, date and datetime columns.
    """
    import polars as pl

    texts = [name for name, kind in frame.schema.items() if kind == pl.String]
    needs = {n: pl.col(n).str.contains(_NEEDS_GUARD).fill_null(value=False) for n in texts}
    named = [pl.when(needs[n]).then(pl.lit(n)) for n in texts]
    joined = pl.concat_str(named, separator=" ", ignore_nulls=True) if named else pl.lit("")
    guarded = pl.when(joined != "").then(joined).alias(GUARDED)
    cells = [
        pl.when(needs[n]).then(pl.concat_str(pl.lit("'"), pl.col(n))).otherwise(pl.col(n)).alias(n)
        for n in texts
    ]
    numbers = [_number_cell(n) for n, kind in frame.schema.items() if kind == pl.Float64]
    out = io.BytesIO()
    frame.with_columns(*cells, *numbers, guarded).write_csv(
        out,
        quote_style="non_numeric",
        line_terminator="\n",
        date_format=_DATE,
        datetime_format=_TIME,
    )
    return out.getvalue()


def from_csv(data: bytes, columns: Sequence[ColumnRule], name: str) -> pl.DataFrame:
    """What `to_csv` wrote, in the types of a table; nothing is guessed or bent.

    Args:
        data: the whole file.
        columns: the table's columns.
        name: the file, for messages.

    Raises:
        RefusedInput: for other columns, or a cell that is not what its column holds.
    """
    import polars as pl

    try:
        # Ours begin with a quoted name; bytes that look packed would be unpacked by the reader.
        if not data.startswith(b'"'):
            raise OSError
        cells = pl.read_csv(io.BytesIO(data), infer_schema=False)
    except (pl.exceptions.PolarsError, OSError):
        raise RefusedInput(
            f"{name} is no whole CSV file in UTF-8: export the ledger again"
        ) from None
    wanted = [*(c.name for c in columns), GUARDED]
    if cells.columns != wanted:
        raise RefusedInput(
            f"{name} has the columns {', '.join(cells.columns[:8])} where "
            f"{', '.join(wanted[:8])} belong: export the ledger again"
        )
    cells = _unguarded(cells, columns, name)
    typed = []
    for column in columns:
        values = _typed(cells[column.name], column.type)
        bad = values.is_null() & (cells[column.name].is_not_null() | column.required)
        if bad.any():
            at = int(bad.arg_max() or 0)
            raise RefusedInput(
                f"{name}, record {at + 1}, column {column.name}: "
                f"{_shown(cells[column.name][at])} is no {FIELD_TYPES[column.type]}"
            )
        typed.append(values.alias(column.name))
    return pl.DataFrame(typed)


def _number_cell(name: str) -> pl.Expr:
    import polars as pl

    # Table Schema writes the infinite in capitals; every other number stays a number.
    text = pl.col(name).cast(pl.String)
    endless = pl.col(name).is_infinite().any()
    return pl.when(endless).then(text.str.replace("inf", "INF")).otherwise(text).alias(name)


def _unguarded(cells: pl.DataFrame, columns: Sequence[ColumnRule], name: str) -> pl.DataFrame:
    import polars as pl

    if cells[GUARDED].null_count() == len(cells):
        return cells
    texts = {c.name for c in columns if c.type == "VARCHAR"}
    lists = cells[GUARDED].fill_null("").str.split(" ")
    named = set(lists.explode().unique().to_list()) - {""}
    if named - texts:
        raise RefusedInput(
            f"{name}: the column guarded names {_shown(min(named - texts))}, which is no text"
        )
    out = []
    for text in sorted(named):
        held = lists.list.contains(text)
        guard = cells[text].str.starts_with("'").fill_null(value=False)
        wrong = held & ~guard
        if wrong.any():
            raise RefusedInput(
                f"{name}, record {int(wrong.arg_max() or 0) + 1}, column {text}: "
                "named as guarded but without its apostrophe"
            )
        out.append(
            pl.when(held).then(pl.col(text).str.slice(1)).otherwise(pl.col(text)).alias(text)
        )
    return cells.with_columns(out)


def _typed(cells: pl.Series, kind: str) -> pl.Series:
    import polars as pl

    if kind == "VARCHAR":
        return cells
    if kind == "BOOLEAN":
        words = {"true": True, "false": False}
        return cells.replace_strict(words, default=None, return_dtype=pl.Boolean)
    if kind == "DATE":
        return cells.str.to_date(_DATE, strict=False)
    if kind == "TIMESTAMP":
        return cells.str.to_datetime(_TIME_READ, strict=False, time_unit="us")
    whole = {"TINYINT": pl.Int8, "SMALLINT": pl.Int16, "INTEGER": pl.Int32, "BIGINT": pl.Int64}
    return cells.cast(whole.get(kind, pl.Float64), strict=False)


def _shown(value: object) -> str:
    return "an empty cell" if value is None else repr(str(value)[:60])
