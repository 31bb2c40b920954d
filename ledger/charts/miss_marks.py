"""What is drawn of misses: a grid of depth by side, zones of rebounds on a half court."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import altair as alt

from ledger.charts import caption, measure
from ledger.charts.court_marks import Court
from ledger.charts.sheet import Align, Sheet, at_x, at_y, placed_text
from ledger.questions import wording

Row = dict[str, Any]

DEPTHS = ("long", "level", "short")
SIDES = ("left", "centre", "right")
# Of fewer misses a share is no figure: the counts stand there, and no shade.
FEW = 10
SIDE_ROW, _DEPTH_ROOM = 18.0, 46.0
_BIG, _SMALL = 13.0, 10.5
_THREE_LINES, _TWO_LINES = 50.0, 32.0
_WIDEST = "88 % (88 to 88)"
_AIR = 8
_STRENGTH = (0.05, 0.6)


@dataclass(frozen=True, slots=True)
class Block:
    """A room of the picture, in chart units from the plot's upper left corner."""

    x: float
    y: float
    width: float
    height: float


@dataclass(slots=True)
class Drawing:
    """Grids and courts of one picture, collected and then made into layers.

    Attributes:
        page: the sheet.
        cells_top: the greatest share of a cell, which is the darkest.
        zones_top: the greatest share of a zone.
    """

    page: Sheet
    cells_top: float
    zones_top: float
    _boxes: list[Row] = field(default_factory=list)
    _lines: list[Row] = field(default_factory=list)
    _texts: list[tuple[Row, float, bool, bool, Align]] = field(default_factory=list)

    def name(self, x: float, y: float, name: str) -> None:
        """Whose misses."""
        self._say(x, y, name, 14, bold=True)

    def heading(self, x: float, y: float, name: str, said: str) -> None:
        """Whose misses, and how many."""
        self._say(x, y, name, 14, bold=True)
        self._say(x + measure.width(name, 14, bold=True) + 12, y, said, 12, quiet=True)

    def silence(self, x: float, y: float, said: str) -> None:
        """Words where nothing can be drawn."""
        self._say(x, y, said, 12, quiet=True)

    def grid(self, block: Block, cells: Sequence[Row], studied: bool) -> None:
        """Nine cells: the ring's far side above, the shooter's left at the left."""
        width = (block.width - _DEPTH_ROOM) / 3
        height = (block.height - SIDE_ROW) / 3
        # All cells alike: what the widest figure needs decides for each of them.
        counts = all(measure.width(_both(r), _BIG, bold=True) <= width - _AIR for r in cells)
        for column, side in enumerate(SIDES):
            middle = block.x + _DEPTH_ROOM + (column + 0.5) * width
            self._say(middle, block.y + 7, side, 12, quiet=True, align="center")
        for line, depth in enumerate(DEPTHS):
            y = block.y + SIDE_ROW + line * height
            self._say(block.x, y + height / 2, depth, 12, quiet=True)
            for column, side in enumerate(SIDES):
                row = next(r for r in cells if (r["depth"], r["side"]) == (depth, side))
                x = block.x + _DEPTH_ROOM + column * width
                corners = (x + 1, y + 1), (x + width - 1, y + height - 1)
                self._box(corners, row, self.cells_top, studied)
                self._cell_figures(Block(x, y, width, height), row, counts=counts)

    def court(self, court: Court, zones: Sequence[Row], studied: bool, key: str) -> None:
        """The zones of a court by their share, its lines above them, how many it tells of."""
        said = f"where {wording.counted(zones[0]['seen'], 'live miss', 'live misses')} came down"
        self._say(court.x, court.y - SIDE_ROW + 7, said, 12, quiet=True)
        for row in zones:
            corners = court.zone(str(row["zone"]))
            self._box(corners, row, self.zones_top, studied)
            (_, top), (_, bottom) = corners
            x, y, room = court.figure(str(row["zone"]))
            self._zone_figures(x, y, room - 4, bottom - top, row)
        self._lines += court.lines(key)

    def layers(self) -> list[alt.Chart]:
        """Shades, lines and words, the lowest first."""
        data, theme = self.page.data, self.page.theme
        boxes = (
            data.add(self._boxes)
            .mark_rect(clip=False)
            .encode(
                x=at_x("x"),
                x2=alt.X2("x_end:Q"),
                y=at_y("y"),
                y2=alt.Y2("y_end:Q"),
                color=alt.Color("colour:N", scale=None),
                opacity=alt.Opacity(
                    "shade:Q", scale=alt.Scale(domain=[0, 1], range=list(_STRENGTH)), legend=None
                ),
                tooltip=[
                    alt.Tooltip("said:N", title="share"),
                    alt.Tooltip("of:N", title="counted"),
                ],
            )
        )
        frames = (
            data.add(self._boxes)
            .mark_rect(filled=False, stroke=theme.muted, strokeWidth=0.5, opacity=0.5, clip=False)
            .encode(x=at_x("x"), x2=alt.X2("x_end:Q"), y=at_y("y"), y2=alt.Y2("y_end:Q"))
        )
        layers = [boxes, frames]
        if self._lines:
            layers.append(
                data.add(self._lines)
                .mark_line(color=theme.ink, opacity=0.75, clip=False)
                .encode(
                    x=at_x("x"),
                    y=at_y("y"),
                    order=alt.Order("order:Q"),
                    detail=alt.Detail("line:N"),
                    strokeWidth=alt.StrokeWidth("wide:Q", scale=None),
                )
            )
        return [*layers, *self._words()]

    def _words(self) -> list[alt.Chart]:
        looks = dict.fromkeys(
            (size, bold, quiet, align) for _, size, bold, quiet, align in self._texts
        )
        theme = self.page.theme
        return [
            placed_text(
                self.page.data,
                [row for row, *look in self._texts if tuple(look) == (size, bold, quiet, align)],
                color=theme.muted if quiet else theme.ink,
                size=size,
                bold=bold,
                align=align,
            )
            for size, bold, quiet, align in looks
        ]

    def _box(
        self, corners: tuple[tuple[float, float], tuple[float, float]], row: Row, top: float,
        studied: bool,
    ) -> None:  # fmt: skip
        (x, y), (x_end, y_end) = corners
        state = "adopter" if studied else "not"
        self._boxes.append(
            {
                "x": x,
                "y": y,
                "x_end": x_end,
                "y_end": y_end,
                "colour": self.page.theme.states[state],
                "share": row["share"],
                "shade": (row["share"] or 0.0) / top if row["seen"] >= FEW else 0.0,
                "said": caption.figure(
                    row["count"], row["seen"], row["share"], row["low"], row["high"]
                ),
                "of": f"{row['count']} of {row['seen']}",
            }
        )

    def _cell_figures(self, block: Block, row: Row, *, counts: bool) -> None:
        """The share with its limits, and the count, on as many lines as there is room for."""
        room, middle = block.width - _AIR, block.x + block.width / 2
        share, limits = _said(row)
        one = f"{share} ({limits})" if limits else share
        count = wording.counted(row["count"], "miss", "misses")
        wide = measure.width(_WIDEST, _BIG, bold=True) <= room
        if block.height < _TWO_LINES:
            lines = [(one, _BIG if wide else _SMALL, True)]
        elif not limits:
            lines = [(share, _BIG, True)]
        elif block.height >= _THREE_LINES:
            lines = [(share, _BIG, True), (limits, _SMALL, False), (count, _SMALL, False)]
        elif wide:
            lines = [(one, _BIG, True), (count, _SMALL, False)]
        else:
            lines = [(_both(row) if counts else share, _BIG, True), (limits, _SMALL, False)]
        top = block.y + block.height / 2 - (len(lines) - 1) * 8
        for place, (words, size, bold) in enumerate(lines):
            self._say(middle, top + 16 * place, words, size, bold=bold, align="center")

    def _zone_figures(self, x: float, y: float, room: float, height: float, row: Row) -> None:
        """The share of a zone with its limits: beside it, or below it where the zone is narrow."""
        share, limits = _said(row)
        one = f"{share} ({limits})"
        if limits and measure.width(one, _SMALL, bold=True) <= room and height < 2 * _TWO_LINES:
            self._say(x, y, one, _SMALL, bold=True, align="center")
            return
        close = limits.replace(" to ", "–")
        tries = [(limits, _SMALL), (close, _SMALL), (close, _SMALL - 1.5)]
        below = next(((w, s) for w, s in tries if w and measure.width(w, s) <= room), ("", 0.0))
        if height < _TWO_LINES:
            below = ("", 0.0)
        big = _BIG if measure.width(share, _BIG, bold=True) <= room else _SMALL
        self._say(x, y - (8 if below[0] else 0), share, big, bold=True, align="center")
        if below[0]:
            self._say(x, y + 8, below[0], below[1], align="center")

    def _say(
        self,
        x: float,
        y: float,
        words: str,
        size: float,
        *,
        bold: bool = False,
        quiet: bool = False,
        align: Align = "left",
    ) -> None:
        self._texts.append(({"x": x, "y": y, "words": words}, size, bold, quiet, align))


def _both(row: Row) -> str:
    """The share and its count on one line."""
    return f"{_said(row)[0]} · {wording.count(row['count'])}"


def _said(row: Row) -> tuple[str, str]:
    """The share and its limits in whole percent; of few misses the count alone."""
    if row["seen"] < FEW or row["share"] is None:
        return f"{wording.count(row['count'])} of {wording.count(row['seen'])}", ""
    limits = wording.limits(row["low"], row["high"], caption.WHOLE)
    return wording.percent(row["share"], caption.WHOLE), limits
