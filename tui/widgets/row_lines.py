"""The lines of a table: where its columns stand in so many cells, and what they write or draw."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain, zip_longest
from typing import TYPE_CHECKING, Any

from ledger.questions.strip import Scale, axis_cells, scale_of
from ledger.safe_text import safe, width
from tui.widgets.columns import Place, Row, ShownColumn, fitted, places, written
from tui.widgets.drawings import Drawing
from tui.widgets.lines import wrapped

if TYPE_CHECKING:
    import polars as pl

# Every so many rows one may be cut.
_FEW = 12


@dataclass(frozen=True, slots=True)
class RowLines:
    """The columns of a table in their places, with the scales of what is drawn.

    Attributes:
        places: the columns and their cells.
        scales: by the number of its place.
    """

    places: Sequence[Place]
    scales: Mapping[int, Scale]

    def row(self, row: Row, *, here: bool) -> str:
        """One row; `here` is that under the cursor."""
        out = ["▸" if here else " "]
        for number, place in enumerate(self.places):
            drawing = place.column.drawing
            if drawing is None:
                out.append(written(row, place))
            else:
                out.append(drawing.cells(row, self.scales[number], place.cells))
        return " ".join(out)

    def heading(self, ordered: tuple[str, bool] | None = None) -> str:
        """The titles; one that spills runs on over the next column.

        Args:
            ordered: the column that orders the rows, and whether they fall; a sign says so.
        """
        out = [" "]
        spilt = 0
        for place, after in zip_longest(self.places, self.places[1:]):
            if spilt:
                spilt = 0
                continue
            if place.column.spill and after is not None:
                spilt = after.cells + 1
            wide = Place(replace(place.column, right=place.column.right and not spilt),
                         place.cells + spilt)  # fmt: skip
            sign = ""
            if ordered is not None and place.column.sorts == ordered[0]:
                sign = "▾" if ordered[1] else "▴"
            out.append(fitted(f"{sign}{place.column.title}", wide))
        return " ".join(out)

    def sorts_at(self, x: int) -> str | None:
        """What a click on the headings orders by, at so many cells from the left."""
        at, sorts = 1, None
        for place in self.places:
            if place.column.sorts is not None:
                sorts = place.column.sorts
            elif place.column.drawing is None:
                sorts = None
            if at <= x < at + place.cells + 1:
                return sorts
            at += place.cells + 1
        return None

    def axis(self) -> str:
        """What the places in the drawings mean."""
        out = [" "]
        for number, place in enumerate(self.places):
            drawing = place.column.drawing
            if drawing is None:
                out.append(" " * place.cells)
            else:
                scale = self.scales[number]
                axis = axis_cells(scale, place.cells, percent=drawing.percent, share=drawing.share)
                out.append(axis)
        return " ".join(out)


def laid_out(
    columns: Sequence[ShownColumn],
    frame: pl.DataFrame | None,
    rows: Sequence[Row],
    foot: Sequence[Row],
    cells: int,
) -> RowLines:
    """The columns of a table laid out.

    Args:
        columns: all columns; those without room are left out.
        frame: all rows.
        rows: those that are looked at for the width of a column.
        foot: rows that stand under all others.
        cells: the width of the table.
    """
    more = int(frame is not None and frame.height > len(rows))
    seen = [_seen(column, rows, foot) for column in columns]
    # A few long names take the room of others only where there is room for all.
    wanted = [min(max(s) + more, c.most) for s, c in zip(seen, columns, strict=True)]
    if sum(n + 1 for n in wanted) + 1 > cells:
        wanted = [min(min(s) + more, c.most) for s, c in zip(seen, columns, strict=True)]
    found = places(columns, wanted, cells)
    scales = {
        number: _scale(place.column.drawing, frame, foot, place.cells)
        for number, place in enumerate(found)
        if place.column.drawing is not None
    }
    return RowLines(found, scales)


def why_empty(said: str, cells: int, at: int, count: int) -> str:
    """One of the lines that stand where rows would: none where there are rows, or no more words."""
    lines = wrapped(said, max(10, cells - 3), _FEW) if said and not count else []
    return f"  {lines[at]}" if 0 <= at < len(lines) else ""


def _seen(column: ShownColumn, rows: Sequence[Row], foot: Sequence[Row]) -> tuple[int, int]:
    """The cells that a column needs for all its rows, and for nearly all of them."""
    if column.drawing is not None:
        return column.least, column.least
    always = [0 if column.spill else width(column.title), 1]
    always += [width(safe(column.words(row))) for row in foot]
    wide = sorted(width(safe(column.words(row))) for row in rows) or [0]
    if column.right or column.whole or column.most == column.least:
        return max(*always, wide[-1]), max(*always, wide[-1])
    return max(*always, wide[-1]), max(*always, wide[-1 - len(wide) // _FEW])


def _scale(drawing: Drawing, frame: pl.DataFrame | None, foot: Sequence[Row], cells: int) -> Scale:
    """A scale that holds what is drawn of every row."""
    seen: Iterable[Any] = (row.get(name) for row in foot for name in drawing.spans)
    if frame is not None:
        ends = ((frame[name].min(), frame[name].max()) for name in drawing.spans)
        seen = chain(seen, *ends)
    known = [float(value) for value in seen if isinstance(value, int | float)]
    if drawing.zero:
        known.append(0.0)
    return scale_of(min(known, default=None), max(known, default=None), cells)
