"""Who told what alike: a grid of people by people, and every field with its agreement.

The grid has how many attempts two people told the same technique of; a ground marks pairs who
differ often. A field has how many attempts all told alike, and its agreement beyond chance on a
common scale, over a dotted line at two thirds: what lies left of it is too little to compare by.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ledger.questions.agreement_words import ENOUGH
from ledger.questions.strip import Scale, axis_cells, interval_cells
from ledger.questions.wording import count
from ledger.safe_text import cut, safe, width
from tui.styles.themes import Ink
from tui.widgets.canvas import AXIS, Canvas, CanvasView

LEGEND = "● agreement beyond chance; left of ┊, two thirds, too little to compare by"
_SCALE = Scale(0.0, 1.0, 0.25)
# Pairs who told another technique of one attempt in so many.
GROUNDS = ((0.20, "▒"), (0.10, "░"))
_LEAST_STRIP, _MOST_STRIP = 18, 48
_GAP = 3
_LEAST_NAME, _NAME = 6, 13


@dataclass(frozen=True, slots=True)
class FieldTold:
    """One field: how many attempts were told alike, and the agreement beyond chance.

    Attributes:
        words: the field.
        alike: attempts all told the same of.
        units: attempts two people or more told.
        alpha: agreement beyond chance, or None.
        low: its lower limit.
        high: its upper limit.
        said: the figure with its limits, or why there is none.
    """

    words: str
    alike: int
    units: int
    alpha: float | None
    low: float | None
    high: float | None
    said: str


@dataclass(frozen=True, slots=True)
class AgreementGrid:
    """What is drawn.

    Attributes:
        people: in the order of the grid.
        pairs: alike, of and the share told alike, by two people.
        fields: in their order.
    """

    people: tuple[str, ...] = ()
    pairs: Mapping[tuple[str, str], tuple[int, int, float | None]] = field(default_factory=dict)
    fields: tuple[FieldTold, ...] = ()


def draw(grid: AgreementGrid, cells: int, lines: int) -> Canvas:
    """The grid and the fields side by side, under each other, or the fields alone."""
    canvas = Canvas(cells, lines)
    if not grid.fields:
        return canvas
    names = [safe(name) for name in grid.people]
    # Room for the ground of a pair, one cell before its figures.
    told = (f" {count(alike)}/{count(of)}" for alike, of, _ in grid.pairs.values())
    wide = min(_NAME, max([_LEAST_NAME, *(width(n) for n in names), *(width(t) for t in told)]))
    grid_cells = 1 + wide + len(names) * (wide + 1)
    grid_lines = len(names) + 2
    beside = grid_cells + _GAP + _fields_least(grid.fields) <= cells and lines >= grid_lines
    under = grid_cells <= cells and lines >= grid_lines + 1 + len(grid.fields) + 2
    if len(names) > 2 and (beside or under):
        _people(canvas, grid, names, wide)
        corner = (grid_cells + _GAP, 0) if beside else (0, grid_lines + 1)
        _fields(canvas, grid.fields, corner)
    else:
        _fields(canvas, grid.fields, (0, 0))
    return canvas


def _people(canvas: Canvas, grid: AgreementGrid, names: Sequence[str], wide: int) -> None:
    canvas.put(0, 0, cut("same technique", canvas.cells), "strong")
    for column, name in enumerate(names):
        x = 1 + wide + column * (wide + 1)
        short = cut(name, wide)
        canvas.put(x + 1 + wide - width(short), 1, short, AXIS)
    for row, one in enumerate(grid.people):
        y = row + 2
        canvas.put(0, y, cut(names[row], wide), AXIS)
        for column, other in enumerate(grid.people):
            x = 1 + wide + column * (wide + 1) + 1
            told = grid.pairs.get((one, other)) or grid.pairs.get((other, one))
            if row == column:
                canvas.put(x + wide - 1, y, "·", AXIS)
            elif told is None:
                canvas.put(x + wide - 1, y, "–", AXIS)
            else:
                _pair(canvas, (x, y), wide, told)


def _pair(
    canvas: Canvas, place: tuple[int, int], wide: int, told: tuple[int, int, float | None]
) -> None:
    alike, of, share = told
    differ = 0.0 if share is None else 1 - share
    sign = next((s for least, s in GROUNDS if round(differ, 9) >= least), "")
    words = f"{count(alike)}/{count(of)}"
    if width(words) > wide:
        words = count(of)
    words = f"{sign}{words}" if width(words) < wide else words
    canvas.put(place[0] + wide - width(words), place[1], words, "text")


def _fields_least(fields: Sequence[FieldTold]) -> int:
    words, figures, _ = _widths(fields)
    return words + 1 + figures + 2 + _LEAST_STRIP


def _widths(fields: Sequence[FieldTold]) -> tuple[int, int, int]:
    words = max(width(f.words) for f in fields)
    figures = max(width(_alike(f)) for f in fields)
    # A reason stands in place of the drawing, a figure beside it.
    said = max((width(safe(f.said)) for f in fields if f.alpha is not None), default=0)
    return words, max(figures, width("alike")), said


def _alike(told: FieldTold) -> str:
    return f"{count(told.alike)}/{count(told.units)}" if told.units else "–"


def _fields(canvas: Canvas, fields: Sequence[FieldTold], corner: tuple[int, int]) -> None:
    """A line each: what, how many alike, agreement beyond chance drawn and in figures."""
    left, top = corner
    words, figures, said = _widths(fields)
    at = left + words + 1
    strip = at + figures + 2
    room = canvas.cells - strip
    # The figure stands beside its drawing where both have room.
    beside = room - said - 2 >= _LEAST_STRIP
    wide = min(_MOST_STRIP, room - said - 2 if beside else room)
    if wide < _LEAST_STRIP:
        beside, wide = True, 0
    canvas.put(at + figures - width("alike"), top, "alike", AXIS)
    canvas.put(strip, top, cut("beyond chance", room), AXIS)
    shown = min(len(fields), canvas.lines - top - 2)
    for row in range(max(0, shown)):
        one, y = fields[row], top + 1 + row
        alike = _alike(one)
        canvas.put(left, y, one.words, "text")
        canvas.put(at + figures - width(alike), y, alike, "text")
        if one.alpha is None and one.low is None:
            canvas.put(strip, y, cut(safe(one.said), canvas.cells - strip), AXIS)
            continue
        if wide:
            _strip(canvas, (strip, y), wide, one)
        if beside:
            after = strip + wide + 2 if wide else strip
            whole = safe(one.said)
            fits = width(whole) <= canvas.cells - after
            canvas.put(after, y, whole if fits else whole.partition(" (")[0], "text")
    if wide and shown > 0:
        canvas.put(strip, top + 1 + shown, axis_cells(_SCALE, wide, share=False), AXIS)


def _strip(canvas: Canvas, place: tuple[int, int], cells: int, told: FieldTold) -> None:
    drawn = list(interval_cells(told.low, told.alpha, told.high, _SCALE, cells))
    enough = _SCALE.place(ENOUGH, cells)
    if drawn[enough] == " ":
        drawn[enough] = "┊"
    poor = told.alpha is not None and told.alpha < ENOUGH
    ink: Ink = "mark" if poor else "text"
    canvas.put(*place, "".join(drawn), ink)


class AgreementGridView(CanvasView):
    """The grid on a screen."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self.told = AgreementGrid()

    def show(self, told: AgreementGrid) -> None:
        """Draw another answer."""
        self.told = told
        self.draw_anew()

    def drawn(self, cells: int, lines: int) -> Canvas:
        return draw(self.told, cells, lines)
