"""One column of text cells to one typed column, each different cell read once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import polars as pl

_CONTROLS = r"[\x00-\x08\x0e-\x1f\x7f-\x{9f}]"
_LINE_CONTROLS = r"[\x00-\x1f\x7f-\x{9f}]"
_DIGITS = 18
_INTEGER = rf"^[+-]?[0-9]{{1,{_DIGITS}}}(?:\.0)?$"
_LEAST, _MOST = -(2**31), 2**31 - 1
# From a filled cell to its value, or to a reason code of `findings.FIXES`.
Read = Callable[[str], tuple[Any, str | None]]


@dataclass(frozen=True, slots=True)
class Cells:
    """A column after conversion.

    Attributes:
        values: the typed values, null where the cell is blank or wrong.
        reasons: the reason code of each wrong cell, null elsewhere; `None` if no cell is wrong.
    """

    values: pl.Series
    reasons: pl.Series | None = None

    def required(self) -> Cells:
        """The same with the reason `missing` where there is neither a value nor a reason."""
        lacking = self.values.is_null()
        if self.reasons is not None:
            lacking = lacking & self.reasons.is_null()
        return Cells(self.values, _flagged(self.reasons, lacking, "missing"))


def different(raw: pl.Series) -> list[str]:
    """The different filled cells, in the order they first appear."""
    uniques = raw.unique(maintain_order=True)
    return [cell for cell in uniques.to_list() if cell.strip()]


def spread(raw: pl.Series, meant: Mapping[str, Any], dtype: Any) -> pl.Series:
    """What each cell stands for; null where `meant` does not have it."""
    old = pl.Series(list(meant), dtype=pl.String)
    new = pl.Series(list(meant.values()), dtype=dtype)
    return raw.replace_strict(old, new, default=None, return_dtype=dtype)


def convert(raw: pl.Series, uniques: list[str], read: Read, dtype: Any) -> Cells:
    """Read every different filled cell once and spread the results over the rows."""
    good: dict[str, Any] = {}
    bad: dict[str, str] = {}
    for cell in uniques:
        value, reason = read(cell)
        if reason is not None:
            bad[cell] = reason
        elif value is not None:
            good[cell] = value
    return Cells(spread(raw, good, dtype), spread(raw, bad, pl.String) if bad else None)


def whole_numbers(raw: pl.Series, low: int | None, high: int | None) -> Cells:
    """Whole numbers (`7`, `7.0`), read in bulk: such a column may never repeat itself.

    Args:
        raw: the cells.
        low: the least that may be, where there is a bound.
        high: the most.
    """
    least, most = low if low is not None else _LEAST, high if high is not None else _MOST
    quick = raw.cast(pl.Int64, strict=False)
    # Digits with or without a sign are the rule; whatever is not so simple is read with care.
    if not quick.has_nulls() and _shorter(raw) and quick.is_between(least, most).all():
        return Cells(quick.cast(pl.Int32))
    trimmed = raw.str.strip_chars()
    good = trimmed.str.contains(_INTEGER)
    bare = trimmed.str.strip_suffix(".0").str.strip_prefix("+")
    values = pl.select(pl.when(good).then(bare).cast(pl.Int64)).to_series()
    reasons = _flagged(None, (trimmed != "") & ~good, "bad_number")
    beyond = ~values.is_between(least, most)
    reasons = _flagged(reasons, beyond.fill_null(False), "out_of_bounds")
    kept = pl.select(pl.when(~beyond).then(values).cast(pl.Int32)).to_series()
    return Cells(kept, reasons)


def _shorter(raw: pl.Series) -> bool:
    """Whether no cell has more digits than a number may have."""
    longest = raw.str.len_bytes().max()
    return not isinstance(longest, int) or longest <= _DIGITS


def as_text(raw: pl.Series, most: int, single_line: bool) -> Cells:
    """Text kept as written but for blanks around it; null where it is blank.

    Args:
        raw: the cells.
        most: how many characters are allowed.
        single_line: reject a tab or a line break within the text.
    """
    trimmed = raw.str.strip_chars()
    values = pl.select(pl.when(trimmed != "").then(trimmed)).to_series()
    reasons = _flagged(None, values.str.len_chars() > most, "too_long")
    controls = _LINE_CONTROLS if single_line else _CONTROLS
    return Cells(values, _flagged(reasons, values.str.contains(controls), "control_character"))


def _flagged(reasons: pl.Series | None, wrong: pl.Series, reason: str) -> pl.Series | None:
    """The reasons with one more where `wrong` holds."""
    if not wrong.any():
        return reasons
    flagged = pl.when(wrong).then(pl.lit(reason))
    kept = flagged if reasons is None else flagged.otherwise(reasons)
    return pl.select(kept).to_series()
