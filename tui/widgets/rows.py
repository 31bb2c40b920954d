"""A table of any number of rows, painted line by line.

Only the lines in view are ever written, in pages of 128 rows, so that 50,000 rows appear as
quickly as ten. The chosen row is kept by what it is about, not by its place.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from ledger.safe_text import cut
from tui.widgets.columns import Row, ShownColumn
from tui.widgets.lines import inks_of
from tui.widgets.row_lines import RowLines, laid_out, parting, under, why_empty

if TYPE_CHECKING:
    import polars as pl

PAGE = 128
# Up to here every cell is looked at to find a column's width.
_LOOKED_AT = 500


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

    class Moved(Message):
        """Another row is under the cursor."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.columns: tuple[ShownColumn, ...] = ()
        self.identity: tuple[str, ...] = ()
        self.marked: Callable[[Row], bool] = lambda _row: False
        self.cursor = 0
        self._frame: pl.DataFrame | None = None
        self._pages: dict[int, list[Row]] = {}
        self._lines: RowLines | None = None
        self._lines_cells = 0
        self._foot: tuple[Row, ...] = ()
        # The key that shows all of a row, said where columns have no room.
        self.whole_by = ""
        self._empty = ""
        self._wanted: tuple[Any, ...] | None = None
        # The column that orders the rows and whether they fall; None for the order they came in.
        self.ordered: tuple[str, bool] | None = None

    @property
    def _axis_lines(self) -> int:
        """Whether there is an axis under the rows: only where something is drawn."""
        cells = self.scrollable_content_region.width
        if not self.count and not self._foot:
            return 0
        if cells and self._frame is not None:
            return int(bool(self._laid_out(cells).scales))
        return int(any(c.drawing is not None for c in self.columns))

    @property
    def _foot_lines(self) -> int:
        """The lines under the rows: what stands for all of them, where there is room, the axis."""
        return self._axis_lines + sum(self._under())

    def _under(self) -> tuple[int, int]:
        return under(self.size.height - 1 - self._axis_lines, self.count, len(self._foot))

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
        foot: Sequence[Row] = (),
        empty: str = "",
    ) -> None:
        """Show other rows; the chosen row stays chosen if it is among them.

        Args:
            frame: the rows.
            columns: how they are written and drawn.
            identity: the columns that say what a row is about.
            marked: whether a row stands out.
            foot: rows under all others that cannot be chosen, such as all of them together.
            empty: where there is no row, why, and the key that changes it.
        """
        self._remember()
        self._frame = frame
        self.columns = columns
        self._foot = tuple(foot)
        self._empty = empty
        self.identity = tuple(c for c in identity if c in frame.columns)
        self.marked = marked or (lambda _row: False)
        self._pages.clear()
        self._lines = None
        self.ordered = None
        self.virtual_size = Size(0, frame.height + 1 + self._foot_lines)
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

    def about(self) -> tuple[Any, ...]:
        """What the chosen row is about."""
        row = self.chosen()
        return tuple(row.get(c) for c in self.identity) if row is not None else ()

    def want(self, about: tuple[Any, ...]) -> None:
        """Choose the row that is about this, now or when it comes."""
        self._wanted = about
        found = self._find_wanted()
        if found is not None:
            self.go(found)

    def order_by(self, column: str, *, falling: bool) -> None:
        """Order the rows by a column of the frame, empty ones last."""
        if self._frame is not None and column in self._frame.columns:
            fresh = self._frame.sort(column, descending=falling, nulls_last=True)
            self.show(
                fresh, self.columns, identity=self.identity, marked=self.marked, foot=self._foot
            )
            self.ordered = (column, falling)

    def turn_order(self, column: str) -> None:
        """Order by a column, figures falling and words rising; once more turns it round."""
        if self._frame is None or column not in self._frame.columns:
            return
        falling = str(self._frame[column].dtype) not in ("String", "Date")
        if self.ordered is not None and self.ordered[0] == column:
            falling = not self.ordered[1]
        self.order_by(column, falling=falling)

    def find(self, text: str) -> list[int]:
        """The places of all rows that hold the text in one of their words, without case."""
        return [] if self._frame is None else _holding(self._frame, text)

    def go(self, index: int) -> None:
        """Choose a row by its place."""
        if not self.count:
            return
        before, self.cursor = self.cursor, min(max(index, 0), self.count - 1)
        self._wanted = None
        if self.cursor != before:
            self.post_message(self.Moved())
        self._into_view()
        self.refresh()

    # -- keys and mouse --------------------------------------------------------------------

    def action_step(self, rows: int) -> None:
        self.go(self.cursor + rows)

    def action_leaf(self, pages: int) -> None:
        self.go(self.cursor + pages * max(1, self.size.height - 2 - self._foot_lines))

    def action_edge(self, last: int) -> None:
        self.go(self.count - 1 if last else 0)

    def on_click(self, event: events.Click) -> None:
        index = self.scroll_offset.y + event.y - 1
        if event.y == 0 and self.count:
            sorts = self._laid_out(self.scrollable_content_region.width).sorts_at(event.x)
            if sorts is not None:
                self.turn_order(sorts)
        elif event.y < self.size.height - self._foot_lines and 0 <= index < self.count:
            self.go(index)
            if event.chain == 2:
                self.post_message(self.Chosen())

    # -- painting --------------------------------------------------------------------------

    def render_line(self, y: int) -> Strip:
        cells = self.scrollable_content_region.width
        lines = self._laid_out(cells)
        inks = inks_of(self)
        last = min(self.count + 1, self.size.height - self._foot_lines)
        if y == 0:
            return self._strip(lines.heading(self.ordered, self.whole_by), inks.dim, cells)
        foot, parted = self._under()
        if parted and y == last:
            said = parting(self.scroll_offset.y + 1, last - 1, self.count)
            return self._strip(said, inks.dim, cells)
        last += parted
        if last <= y < last + foot:
            return self._strip(lines.foot(self._foot[y - last]), inks.strong, cells)
        if y == last + foot and self._axis_lines:
            return self._strip(lines.axis(), inks.dim, cells)
        index = self.scroll_offset.y + y - 1
        if y >= last or index >= self.count:
            said = why_empty(self._empty, cells, y - last - self._axis_lines - foot, self.count)
            return self._strip(said, inks.text, cells)
        row = self.row(index)
        here = index == self.cursor
        style = inks.chosen if here else inks.mark if self.marked(row) else inks.text
        return self._strip(lines.row(row, here=here), style, cells)

    def on_resize(self) -> None:
        self._lines = None
        if self._frame is not None:
            self.virtual_size = Size(0, self.count + 1 + self._foot_lines)
        self.call_after_refresh(self._into_view)

    def _strip(self, text: str, style: Style, cells: int) -> Strip:
        return Strip([Segment(cut(text, cells), style)]).adjust_cell_length(cells, style)

    def _laid_out(self, cells: int) -> RowLines:
        """The columns in so many cells; they are laid out anew when anything of it changes."""
        if self._lines is None or self._lines_cells != cells:
            looked = [self.row(index) for index in range(min(self.count, _LOOKED_AT))]
            self._lines = laid_out(self.columns, self._frame, looked, self._foot, cells)
            self._lines_cells = cells
        return self._lines

    # -- the chosen row --------------------------------------------------------------------

    def _remember(self) -> None:
        row = self.chosen()
        if row is not None and self.identity:
            self._wanted = tuple(row.get(c) for c in self.identity)

    def _find_wanted(self) -> int | None:
        if self._wanted is None or not self.identity or self._frame is None:
            return None
        about = self._frame.select(self.identity).iter_rows()
        return next((index for index, row in enumerate(about) if row == self._wanted), None)

    def _into_view(self) -> None:
        around = 2 + self._foot_lines
        if self.size.height >= around and self.count:
            self.scroll_to_region(
                Region(0, self.cursor, 1, around), animate=False, force=True, immediate=True
            )


def _holding(frame: pl.DataFrame, text: str) -> list[int]:
    needle = text.strip().lower()
    found: set[int] = set()
    for name in frame.columns if needle else ():
        values = frame[name]
        if str(values.dtype) == "String":
            hits = values.str.to_lowercase().str.contains(needle, literal=True)
            found.update(hits.fill_null(value=False).arg_true().to_list())
    return sorted(found)
