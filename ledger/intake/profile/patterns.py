"""Regular expressions in bulk: whether one matches, and its named groups, in one pass."""

from __future__ import annotations

from functools import lru_cache

import polars as pl

# A group around the whole pattern tells a match whose own groups are all empty from none.
_WHOLE = "whole_match__"


@lru_cache(maxsize=256)
def group_names(pattern: str) -> tuple[str, ...]:
    """The names of a pattern's named groups, in order.

    Raises:
        ValueError: in one line, where it is no regular expression of the standard kind.
    """
    for text in (pattern, _whole(pattern)):
        try:
            found = pl.select(pl.lit("").str.extract_groups(text)).to_series()
            pl.select(pl.lit("").str.contains(text))
        except (pl.exceptions.ComputeError, pl.exceptions.PolarsError) as problem:
            raise ValueError(_reason(str(problem))) from None
    names = [field.name for field in found.dtype.fields]  # type: ignore[attr-defined]
    return tuple(name for name in names if name != _WHOLE and not name.isdecimal())


def groups(texts: pl.Series, pattern: str) -> tuple[pl.Series, dict[str, pl.Series]]:
    """Which texts a pattern matches, and its named groups, null where they took no part.

    Args:
        texts: cells.
        pattern: a pattern that `group_names` accepts.
    """
    found = pl.select(texts.str.extract_groups(_whole(pattern))).to_series().struct.unnest()
    named = {name: found[name] for name in group_names(pattern)}
    return found[_WHOLE].is_not_null(), named


def _whole(pattern: str) -> str:
    return f"(?P<{_WHOLE}>{pattern})"


def _reason(problem: str) -> str:
    """The one line of a compiler's message that says what is wrong."""
    lines = [line.strip() for line in problem.splitlines() if line.strip()]
    told = next((line for line in lines if line.startswith("error:")), lines[0] if lines else "")
    return told.removeprefix("error:").removeprefix("regex error:").strip().rstrip(".")
