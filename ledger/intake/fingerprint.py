"""A hash of what a file says, whatever bytes it says it in."""

from __future__ import annotations

import hashlib

import polars as pl

_VERSION = b"offglass records 1\n"
_NOTHING = "\x1e"
_BETWEEN = "\x1f"


def content_hash(frame: pl.DataFrame, kind: str) -> str:
    """The sha256 of the records: the same for the same records in other bytes.

    Column order, line numbers, newlines, quoting, encoding and title lines do not matter; the
    order of the records and every value do. Text only goes in, so that it stays the same with
    another version of a library.

    Args:
        frame: records as `rules.convert` gives them.
        kind: the kind of file.
    """
    digest = hashlib.sha256(_VERSION + kind.encode() + b"\n")
    digest.update(str(frame.height).encode())
    for name in sorted(frame.columns):
        if name in ("line", "season") or frame[name].null_count() == frame.height:
            continue
        digest.update(f"\n{name}\n".encode())
        column = _as_text(frame[name]).fill_null(_NOTHING)
        digest.update(str(column.str.join(_BETWEEN).item()).encode())
    return digest.hexdigest()


def _as_text(column: pl.Series) -> pl.Series:
    if column.dtype == pl.String:
        return column
    if column.dtype == pl.Date:
        uniques = column.drop_nulls().unique()
        return _spread(column, uniques, uniques.dt.strftime("%Y-%m-%d"))
    if column.dtype == pl.Boolean:
        return pl.select(
            pl.when(column).then(pl.lit("yes")).when(~column).then(pl.lit("no"))
        ).to_series()
    if column.dtype.is_float():
        uniques = column.drop_nulls().unique()
        texts = pl.Series([repr(value) for value in uniques.to_list()], dtype=pl.String)
        return _spread(column, uniques, texts)
    return column.cast(pl.String)


def _spread(column: pl.Series, uniques: pl.Series, texts: pl.Series) -> pl.Series:
    return column.replace_strict(uniques, texts, default=None, return_dtype=pl.String)
