"""Cells to draw in: text, dots of an eighth of a cell, and a ground under both.

What is drawn belongs to an ink: the number of a line of a chart, or the name of one of the theme's
styles. A picture never speaks by its inks alone: the same picture is drawn without colour.
"""

from __future__ import annotations

from abc import abstractmethod
from itertools import groupby

from rich.segment import Segment
from textual.strip import Strip
from textual.widget import Widget

from ledger.safe_text import safe, width
from tui.styles.themes import Ink
from tui.widgets.lines import inks_of

AXIS: Ink = "dim"
SHADE = "░"
_DOTS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))


class Canvas:
    """Cells with a sign and the ink it is written in.

    Args:
        cells: its width.
        lines: its height.
    """

    def __init__(self, cells: int, lines: int) -> None:
        self.cells = cells
        self.lines = lines
        self._signs: dict[tuple[int, int], tuple[str, Ink]] = {}
        self._dots: dict[tuple[int, int], tuple[int, Ink]] = {}
        self._ground: dict[tuple[int, int], tuple[str, Ink]] = {}

    def put(self, x: int, y: int, text: str, ink: Ink) -> None:
        """Write text from one cell to the right; what lies outside is lost."""
        at = x
        for sign in text:
            if 0 <= y < self.lines and at >= 0 and at + max(1, width(sign)) <= self.cells:
                self._signs[at, y] = (sign, ink)
            at += max(1, width(sign))

    def dot(self, x: int, y: int, ink: Ink) -> None:
        """Set one of the 2 by 4 dots of a cell."""
        cell = (x // 2, y // 4)
        bits, _ = self._dots.get(cell, (0, ink))
        self._dots[cell] = (bits | _DOTS[x % 2][y % 4], ink)

    def dots(self, start: tuple[float, float], end: tuple[float, float], ink: Ink) -> None:
        """A straight line of dots between two places, in dots."""
        (x0, y0), (x1, y1) = start, end
        steps = max(round(abs(x1 - x0)), round(abs(y1 - y0)), 1)
        for k in range(steps + 1):
            self.dot(round(x0 + (x1 - x0) * k / steps), round(y0 + (y1 - y0) * k / steps), ink)

    def shade(self, x: int, y: int, sign: str = SHADE, ink: Ink = AXIS) -> None:
        """Lay a ground under a cell; whatever is drawn there stands on it."""
        self._ground[x, y] = (sign, ink)

    def line(self, y: int) -> list[tuple[str, Ink]]:
        """One line as signs with their inks."""
        out: list[tuple[str, Ink]] = []
        x = 0
        while x < self.cells:
            if (x, y) in self._signs:
                sign, ink = self._signs[x, y]
            elif (x, y) in self._dots:
                bits, ink = self._dots[x, y]
                sign = chr(0x2800 + bits)
            else:
                sign, ink = self._ground.get((x, y), (" ", AXIS))
            out.append((sign, ink))
            x += max(1, width(sign))
        return out

    def text(self) -> str:
        """The picture without its inks."""
        return "\n".join("".join(s for s, _ in self.line(y)).rstrip() for y in range(self.lines))


class CanvasView(Widget):
    """A picture on a screen; it is drawn anew when its size or its subject changes."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._canvas: Canvas | None = None
        self._drawn_in = (0, 0)

    @abstractmethod
    def drawn(self, cells: int, lines: int) -> Canvas:
        """The picture in so many cells and lines."""

    def draw_anew(self) -> None:
        """What is drawn has changed."""
        self._canvas = None
        self.refresh()

    def on_resize(self) -> None:
        self.draw_anew()

    def render_line(self, y: int) -> Strip:
        # It may be painted in another size before it is told of it.
        size = (self.size.width, self.size.height)
        if self._canvas is None or self._drawn_in != size:
            self._canvas, self._drawn_in = self.drawn(*size), size
        inks = inks_of(self)
        runs = groupby(self._canvas.line(y), key=lambda cell: cell[1])
        segments = [Segment(safe("".join(s for s, _ in run)), inks.of(ink)) for ink, run in runs]
        return Strip(segments).adjust_cell_length(self.size.width, inks.text)
