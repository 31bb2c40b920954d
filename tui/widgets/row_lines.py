"""The lines of a table: where its columns stand in so many cells, and what they write or draw."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain, zip_longest
from typing import TYPE_CHECKING, Any

from ledger.questions.strip import Scale, axis_cells, scale_of
from ledger.questions.wording import counted
from ledger.safe_text import safe, width
from tui.widgets.columns import EARLY, Place, Row, ShownColumn, fitted, places, written
from tui.widgets.drawings import Drawing
from tui.widgets.lines import wrapped

if TYPE_CHECKING:
    import polars as pl

# Every so many rows one may be cut.
_FEW = 12
# So many rows stay before anything else stands under them.
_LEAST_ROWS = 3


@dataclass(frozen=True, slots=True)
class RowLines:
    """The columns of a table in their places, with the scales of what is drawn.

    Attributes:
        places: the columns and their cells.
        scales: by the number of its place.
        left_out: how many columns have no room, those aside in which all rows are alike.
        cells: the width of the table.
    """

    places: Sequence[Place]
    scales: Mapping[int, Scale]
    left_out: int = 0
    cells: int = 0

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

    def foot(self, row: Row) -> str:
        """A row that stands for all of them; its name runs on where nothing stands behind it."""
        line = self.row(row, here=False)
        if not self.places or self.places[0].column.drawing is not None:
            return line
        name, end = safe(self.places[0].column.words(row)), 2 + self.places[0].cells
        over = 2 + width(name) - end
        if over <= 0 or line[end : end + over + 1].strip():
            return line
        return f"  {name}{line[end + over :]}"

    def heading(self, ordered: tuple[str, bool] | None = None, whole_by: str = "") -> str:
        """The titles; one that spills runs on over the next column.

        Args:
            ordered: the column that orders the rows, and whether they fall; a sign says so.
            whole_by: the key that shows all columns of a row, said where some have no room.
        """
        out = [" "]
        spilt = 0
        for number, (place, after) in enumerate(zip_longest(self.places, self.places[1:])):
            if spilt:
                spilt = 0
                continue
            title = place.column.title
            if place.column.drawing is not None and place.column.drawing.zero:
                title = _over_zero(title, self.scales[number], place.cells)
            if place.column.spill and after is not None:
                spilt = after.cells + 1
            wide = Place(replace(place.column, right=place.column.right and not spilt),
                         place.cells + spilt)  # fmt: skip
            sign = ""
            if ordered is not None and place.column.sorts == ordered[0]:
                sign = "▾" if ordered[1] else "▴"
            out.append(fitted(f"{sign}{title}", wide))
        line = " ".join(out)
        return _signed(line, self.left_out, whole_by, self.cells) if self.left_out else line

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
    there = {id(place.column) for place in found}
    gone = sum(id(c) not in there and c.drop < EARLY for c in columns)
    return RowLines(found, scales, gone, cells)


def _over_zero(title: str, scale: Scale, cells: int) -> str:
    """A title whose `│` stands over the zero of the drawings under it, as far as there is room."""
    before, line, _ = title.partition("│")
    shift = min(scale.place(0.0, cells) - width(before), cells - width(title))
    return " " * shift + title if line else title


def _signed(line: str, many: int, whole_by: str, cells: int) -> str:
    """The headings with how many there are more: at their end, else in the first gap there is."""
    line = line.rstrip()
    signs = [f"+{many} ({whole_by})"] if whole_by else []
    for sign in (*signs, f"+{many}", "…"):
        free = cells - width(line)
        if free > width(sign):
            return line + " " * (free - width(sign)) + sign
        gap = re.search(rf"(?<=\S) {{{len(sign) + 2},}}(?=\S)", line)
        if gap is not None:
            at = gap.start() + 1
            return line[:at] + sign + line[at + len(sign) :]
    return line


def under(room: int, count: int, foot: int) -> tuple[int, int]:
    """The lines under the rows: those for all of them, and one that parts them from a few seen.

    Args:
        room: the lines for both.
        count: how many rows there are.
        foot: how many rows stand for all of them.
    """
    shown = foot if room - foot >= _LEAST_ROWS else 0
    return shown, int(shown > 0 and count > room - shown)


def parting(first: int, seen: int, count: int) -> str:
    """Which of the rows are seen, where something else stands under them."""
    return f"  … {first} to {min(count, first + seen - 1)} of {counted(count, 'row')}"


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
