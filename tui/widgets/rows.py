"""A table of any number of rows, painted line by line.

Only the lines in view are ever written, in pages of 128 rows, so that 50,000 rows appear as
quickly as ten. The chosen row is kept by what it is about, not by its place.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import zip_longest
from typing import TYPE_CHECKING, Any

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from ledger.questions.strip import Scale, axis_cells, interval_cells, scale_of
from ledger.safe_text import cut, safe, width
from tui.widgets.columns import Interval, Place, Row, ShownColumn, fitted, places, written
from tui.widgets.lines import inks_of

if TYPE_CHECKING:
    import polars as pl

PAGE = 128
# Up to here every cell is looked at to find a column's width.
_LOOKED_AT = 500
_FEW = 12


class RowsView(ScrollView, can_focus=True):
    """The rows of an answer, with one of them chosen."""

    BINDINGS = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("pageup", "leaf(-1)", show=False),
        Binding("pagedown,space", "leaf(1)", show=False),
        Binding("home", "edge(0)", show=False),
        Binding("end", "edge(1)", show=False),
    ]
    DEFAULT_CSS = """
    RowsView { height: 1fr; overflow-x: hidden; overflow-y: auto; scrollbar-size-vertical: 1; }
    """

    class Chosen(Message):
        """A row was clicked twice."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.columns: tuple[ShownColumn, ...] = ()
        self.identity: tuple[str, ...] = ()
        self.marked: Callable[[Row], bool] = lambda _row: False
        self.cursor = 0
        self._frame: pl.DataFrame | None = None
        self._pages: dict[int, list[Row]] = {}
        self._places: list[Place] = []
        self._scale: Scale | None = None
        self._laid_out_for = -1
        self._wanted: tuple[Any, ...] | None = None

    @property
    def _axis_lines(self) -> int:
        """Whether there is a line under the rows: only where intervals are drawn."""
        return int(any(c.interval is not None for c in self.columns))

    # -- what is shown ---------------------------------------------------------------------

    @property
    def count(self) -> int:
        """How many rows there are."""
        return 0 if self._frame is None else self._frame.height

    @property
    def frame(self) -> pl.DataFrame | None:
        """The rows in the order shown."""
        return self._frame

    def show(
        self,
        frame: pl.DataFrame,
        columns: tuple[ShownColumn, ...],
        *,
        identity: tuple[str, ...] = (),
        marked: Callable[[Row], bool] | None = None,
    ) -> None:
        """Show other rows; the chosen row stays chosen if it is among them."""
        self._remember()
        self._frame = frame
        self.columns = columns
        self.identity = tuple(c for c in identity if c in frame.columns)
        self.marked = marked or (lambda _row: False)
        self._pages.clear()
        self._laid_out_for = -1
        self.virtual_size = Size(0, frame.height + 1 + self._axis_lines)
        found = self._find_wanted()
        self.cursor = min(self.cursor, max(0, frame.height - 1)) if found is None else found
        self.call_after_refresh(self._into_view)
        self.refresh()

    def row(self, index: int) -> Row:
        """One row by its place."""
        assert self._frame is not None
        number = index // PAGE
        page = self._pages.get(number)
        if page is None:
            if len(self._pages) > 64:
                self._pages.clear()
            page = list(self._frame.slice(number * PAGE, PAGE).iter_rows(named=True))
            self._pages[number] = page
        return page[index % PAGE]

    def chosen(self) -> Row | None:
        """The row under the cursor."""
        return self.row(self.cursor) if self.count else None

    def order_by(self, column: str, *, falling: bool) -> None:
        """Order the rows by a column of the frame, empty ones last."""
        if self._frame is not None and column in self._frame.columns:
            fresh = self._frame.sort(column, descending=falling, nulls_last=True)
            self.show(fresh, self.columns, identity=self.identity, marked=self.marked)

    def find(self, text: str) -> list[int]:
        """The places of all rows that hold the text in one of their words, without case."""
        if self._frame is None or not text.strip():
            return []
        needle = text.strip().lower()
        found: set[int] = set()
        for name in self._frame.columns:
            values = self._frame[name]
            if str(values.dtype) != "String":
                continue
            hits = values.str.to_lowercase().str.contains(needle, literal=True)
            found.update(hits.fill_null(value=False).arg_true().to_list())
        return sorted(found)

    def go(self, index: int) -> None:
        """Choose a row by its place."""
        if not self.count:
            return
        self.cursor = min(max(index, 0), self.count - 1)
        self._wanted = None
        self._into_view()
        self.refresh()

    # -- keys and mouse --------------------------------------------------------------------

    def action_step(self, rows: int) -> None:
        self.go(self.cursor + rows)

    def action_leaf(self, pages: int) -> None:
        self.go(self.cursor + pages * max(1, self.size.height - 2 - self._axis_lines))

    def action_edge(self, last: int) -> None:
        self.go(self.count - 1 if last else 0)

    def on_click(self, event: events.Click) -> None:
        index = self.scroll_offset.y + event.y - 1
        if event.y >= 1 and 0 <= index < self.count:
            self.go(index)
            if event.chain == 2:
                self.post_message(self.Chosen())

    # -- painting --------------------------------------------------------------------------

    def render_line(self, y: int) -> Strip:
        cells = self.scrollable_content_region.width
        if self._laid_out_for != cells:
            self._lay_out(cells)
        inks = inks_of(self)
        last = min(self.count + 1, self.size.height - self._axis_lines)
        if y == 0:
            return self._strip(self._heading(), inks.dim, cells)
        if y == last and self._axis_lines:
            return self._strip(self._axis(), inks.dim, cells)
        index = self.scroll_offset.y + y - 1
        if y >= last or index >= self.count:
            return Strip.blank(cells, inks.text)
        row = self.row(index)
        style = inks.mark if self.marked(row) else inks.text
        here = index == self.cursor
        if here:
            style = inks.chosen
        return self._strip(self._written(row, here=here), style, cells)

    def on_resize(self) -> None:
        self._laid_out_for = -1
        self.call_after_refresh(self._into_view)

    def _strip(self, text: str, style: Style, cells: int) -> Strip:
        return Strip([Segment(cut(text, cells), style)]).adjust_cell_length(cells, style)

    def _written(self, row: Row, *, here: bool) -> str:
        out = ["▸" if here else " "]
        for place in self._places:
            interval = place.column.interval
            if interval is not None and self._scale is not None:
                point = row.get(interval.point) if interval.point else None
                low, high = row.get(interval.low), row.get(interval.high)
                out.append(interval_cells(low, point, high, self._scale, place.cells))
            else:
                out.append(written(row, place))
        return " ".join(out)

    def _heading(self) -> str:
        out = [" "]
        spilt = 0
        for place, after in zip_longest(self._places, self._places[1:]):
            if spilt:
                spilt = 0
                continue
            if place.column.spill and after is not None:
                spilt = after.cells + 1
            wide = Place(replace(place.column, right=place.column.right and not spilt),
                          place.cells + spilt)  # fmt: skip
            out.append(fitted(place.column.title, wide))
        return " ".join(out)

    def _axis(self) -> str:
        out = [" "]
        for place in self._places:
            interval = place.column.interval
            if interval is not None and self._scale is not None:
                out.append(axis_cells(self._scale, place.cells, percent=interval.percent))
            else:
                out.append(" " * place.cells)
        return " ".join(out)

    # -- layout ----------------------------------------------------------------------------

    def _lay_out(self, cells: int) -> None:
        self._laid_out_for = cells
        self._places = places(self.columns, [self._natural(c) for c in self.columns], cells)
        self._scale = None
        for place in self._places:
            if place.column.interval is not None:
                self._scale = self._scale_for(place.column.interval, place.cells)

    def _natural(self, column: ShownColumn) -> int:
        if column.interval is not None:
            return column.least
        seen = 0 if column.spill else width(column.title)
        looked = range(min(self.count, _LOOKED_AT))
        wide = sorted(width(safe(column.words(self.row(index)))) for index in looked)
        if wide and (column.right or column.most == column.least):
            seen = max(seen, wide[-1])
        elif wide:
            # A few long names must not take the room of all others.
            seen = max(seen, wide[-1 - len(wide) // _FEW])
        if self.count > _LOOKED_AT:
            seen += 1
        return min(max(seen, 1), column.most)

    def _scale_for(self, interval: Interval, cells: int) -> Scale:
        assert self._frame is not None
        low = self._frame[interval.low].min() if self.count else None
        high = self._frame[interval.high].max() if self.count else None
        return scale_of(_number(low), _number(high), cells)

    # -- the chosen row --------------------------------------------------------------------

    def _remember(self) -> None:
        row = self.chosen()
        if row is not None and self.identity:
            self._wanted = tuple(row.get(c) for c in self.identity)

    def _find_wanted(self) -> int | None:
        if self._wanted is None or not self.identity or self._frame is None:
            return None
        for index, row in enumerate(self._frame.select(self.identity).iter_rows()):
            if row == self._wanted:
                return index
        return None

    def _into_view(self) -> None:
        around = 2 + self._axis_lines
        if self.size.height >= around and self.count:
            self.scroll_to_region(
                Region(0, self.cursor, 1, around), animate=False, force=True, immediate=True
            )


def _number(value: Any) -> float | None:
    return float(value) if isinstance(value, int | float) else None
