"""Columns of a table from the ledger's own layout of an answer, intervals drawn in cells."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from ledger.questions import wording
from ledger.questions.layout import LAYOUTS, Shown, cell
from tui import figures
from tui.widgets.columns import EARLY, Row, ShownColumn
from tui.widgets.drawings import Interval

if TYPE_CHECKING:
    from collections.abc import Sequence

    import polars as pl

    from ledger.questions.answer import Answer, Column

Says = Callable[[str], str]
# Words take what room there is, a reason more of it than a name.
_WORDS, _REASON = 60, 200
# A season is cut only where several stand in one cell.
_SEASON = 9
# From here on a share is a percentage, below it is a count of so many.
_FEW = 10
_NUMBERS = ("count", "rank", "made_of")
# Figures are never cut: half a number is a wrong one.
_FIGURES = ("difference", "amount", "tenths")
_LOOKED_AT = 500
_LEAST = {"state": 11, "claim": 9, **dict.fromkeys(_NUMBERS, 28)}


def columns_of(
    answer: Answer, *, drawn: bool = True, here: Says | None = None
) -> tuple[ShownColumn, ...]:
    """The columns of an answer: as its layout says, else one for each of its own columns.

    A column of words that is empty in every row is left out. Intervals are drawn, or stand in
    figures where something else on the screen draws them.

    Args:
        answer: whose rows.
        drawn: whether intervals are drawn.
        here: says why there is no figure in the words of the screen.
    """
    layout = LAYOUTS.get(answer.question)
    if layout is None:
        return tuple(_own(column, place) for place, column in enumerate(answer.columns))
    return laid_out(answer.frame, layout, drawn=drawn, here=here)


def is_why(name: str) -> bool:
    """Whether a column says why there is no figure."""
    return name == "why" or name.endswith("_why")


def laid_out(
    frame: pl.DataFrame,
    layout: Sequence[Shown],
    *,
    drawn: bool = True,
    here: Says | None = None,
) -> tuple[ShownColumn, ...]:
    """The columns of any rows by a layout, as `columns_of` those of an answer."""
    out: list[ShownColumn] = []
    for shown in layout:
        if shown.kind == "text" and not _filled(frame, shown.columns[0]):
            continue
        found = _laid_out(frame, shown, drawn=drawn)
        if here is not None and (shown.why or is_why(shown.columns[0])):
            found = [replace(column, words=partial(_said, here, column.words)) for column in found]
        out += found
    return tuple(out)


def _said(here: Says, words: Callable[[Row], str], row: Row) -> str:
    return here(words(row))


def _drop(frame: pl.DataFrame, shown: Shown) -> int:
    values = frame[shown.columns[0]]
    # A league or season that all rows share tells nothing beside the sentence.
    if shown.columns[0] in ("league", "season") and frame.height and values.n_unique() == 1:
        return EARLY
    return shown.drop


def _filled(frame: pl.DataFrame, name: str) -> bool:
    return frame[name].null_count() < frame.height


def _laid_out(frame: pl.DataFrame, shown: Shown, *, drawn: bool) -> list[ShownColumn]:
    first = shown.columns[0]
    if shown.kind in ("interval", "bounds"):
        figure = partial(_figure, shown)
        if not drawn:
            whole = partial(cell, shown)
            return [
                ShownColumn(shown.title, whole, figure, least=10, most=28, right=True, sorts=first)
            ]
        ends = Interval(shown.columns[1], shown.columns[2], first)
        return [
            ShownColumn(
                shown.title, figure, least=26, most=26, right=True, spill=True, sorts=first
            ),
            ShownColumn("", least=16, most=60, drop=shown.drop, drawing=ends),
        ]
    tied = _tied(frame, first) if shown.kind == "rank" else frozenset()

    def words_of(row: Row) -> str:
        return cell(shown, row, tied=row.get(first) in tied)

    return [
        ShownColumn(
            shown.title,
            words_of,
            least=_widest(frame, shown) if _never_cut(frame, shown) else _least(shown),
            most=_most(shown),
            right=shown.kind in _NUMBERS,
            drop=_drop(frame, shown),
            whole=shown.kind in ("state", "claim"),
            sorts="attempts" if shown.kind == "made_of" and "attempts" in shown.columns else first,
        )
    ]


def _most(shown: Shown) -> int:
    if is_why(shown.columns[0]):
        return _REASON
    return 28 if shown.kind in _NUMBERS else _WORDS


def _least(shown: Shown) -> int:
    if shown.columns[0] == "season":
        return _SEASON
    return _LEAST.get(shown.kind, min(9, max(4, len(shown.title))))


def _never_cut(frame: pl.DataFrame, shown: Shown) -> bool:
    """Whether half of it would be a wrong one: a figure, a day."""
    return shown.kind in _FIGURES or str(frame[shown.columns[0]].dtype) == "Date"


def _widest(frame: pl.DataFrame, shown: Shown) -> int:
    """The cells of the widest figure; a reason why there is none may be cut, a figure never."""
    known = frame.filter(frame[shown.columns[0]].is_not_null()).head(_LOOKED_AT)
    return max((len(cell(shown, row)) for row in known.iter_rows(named=True)), default=8)


def _tied(frame: pl.DataFrame, name: str) -> frozenset[object]:
    ranks = frame[name].drop_nulls()
    return frozenset(ranks.filter(ranks.is_duplicated()).to_list())


def _figure(shown: Shown, row: Row) -> str:
    """The figure beside a drawn interval, without the interval's own figures."""
    value = row.get(shown.columns[0])
    if value is None or row.get(shown.columns[1]) is None:
        return cell(shown, row)
    behind = row.get(shown.count) if shown.count else None
    number = 100 if behind is None else int(behind)
    # The share of a league is weighed over players: no count of so many.
    return wording.rate(value, max(number, _FEW) if shown.kind == "bounds" else number)


def _own(column: Column, place: int) -> ShownColumn:
    def words(row: Row) -> str:
        value = row[column.name]
        return "" if value is None else figures.cell(value, column.unit)

    return ShownColumn(
        column.title,
        words,
        least=28 if column.type in ("integer", "number") else 4,
        most=28,
        right=column.type in ("integer", "number"),
        drop=place,
        sorts=column.name,
    )
