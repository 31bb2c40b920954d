"""Values of a colleague's ledger held to the same rules as those of a file."""

from __future__ import annotations

from typing import Any

import polars as pl

from ledger import resources
from ledger.store.batch import REFUSED
from ledger.store.names import tidy

FIRST_YEAR, LAST_YEAR = 1890, 2100
_LONGEST = 10_000
_CONTROL = "[\x00-\x1f\x7f-\x9f]"
_CONTROL_OF_TEXT = "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]"
_FIX = "such a value no file may bring: mend it in the other ledger, then merge again"


def within(frame: pl.DataFrame, kinds: tuple[str, ...]) -> tuple[pl.DataFrame, pl.DataFrame]:
    """The rows whose values a file could have brought, and the others.

    Args:
        frame: `line` and columns named as fields of the schemas.
        kinds: the schemas the fields are looked for in, in that order.

    Returns:
        The good rows, and the refused ones (`line, column, value, reason, fix`), one row each.
    """
    refused: list[pl.DataFrame] = []
    for name, field in _fields(kinds).items():
        if name not in frame.columns:
            continue
        wrong = _bad(frame, name, field)
        bad = frame.clear() if wrong is None else frame.filter(wrong)
        if len(bad):
            refused.append(
                bad.select(
                    "line",
                    pl.lit(name).alias("column"),
                    pl.col(name).cast(pl.String).str.slice(0, 200).alias("value"),
                    pl.lit("out_of_bounds").alias("reason"),
                    pl.lit(_FIX).alias("fix"),
                ).cast(pl.Schema(REFUSED))
            )
    if not refused:
        return frame, pl.DataFrame(schema=REFUSED)
    told = pl.concat(refused).unique("line", keep="first", maintain_order=True)
    return frame.join(told, on="line", how="anti", maintain_order="left"), told


def _fields(kinds: tuple[str, ...]) -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for kind in kinds:
        for field in resources.schema(kind)["fields"]:
            found.setdefault(field["name"], field)
    return found


def _bad(frame: pl.DataFrame, name: str, field: dict[str, Any]) -> pl.Expr | None:
    """Rows in which one field cannot be what it is; `None` where every value can."""
    rules, value = field.get("constraints", {}), pl.col(name)
    kind = frame.schema[name]
    wrong: list[pl.Expr] = []
    if kind == pl.String:
        wrong = _text(frame[name], field)
    elif kind == pl.Date:
        wrong = [~value.dt.year().is_between(FIRST_YEAR, LAST_YEAR)]
    elif kind.is_numeric():
        if kind.is_float():
            wrong.append(~value.is_finite())
        if "minimum" in rules:
            wrong.append(value < rules["minimum"])
        if "maximum" in rules:
            wrong.append(value > rules["maximum"])
    # A game without a label is known by its two teams.
    if rules.get("required") and name != "game":
        wrong.append(value.is_null())
    return pl.any_horizontal(w.fill_null(False) for w in wrong) if wrong else None


def _text(texts: pl.Series, field: dict[str, Any]) -> list[pl.Expr]:
    rules, value = field.get("constraints", {}), pl.col(texts.name)
    plain = field.get("kind") in ("name", "season", "id")
    wrong = [
        value.str.len_chars() > int(rules.get("maxLength", _LONGEST)),
        value.str.contains(_CONTROL if plain else _CONTROL_OF_TEXT),
    ]
    if "enum" in rules:
        wrong.append(~value.is_in(rules["enum"]))
    if field.get("kind") == "name":
        different = texts.unique().drop_nulls().to_list()
        untidy = [n for n in different if not n or tidy(n) != n]
        if untidy:
            wrong.append(value.is_in(untidy))
    return wrong
