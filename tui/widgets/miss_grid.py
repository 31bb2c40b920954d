"""Where misses went, as the shooter sees it: long above, short below, left at the left.

A cell has the share and the count of the misses that went so, and a ground that is the denser the
larger the share. Below ten misses there are counts only, and no ground.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ledger.questions.wording import count, percent
from ledger.safe_text import cut, safe, width
from tui.styles.themes import Ink
from tui.widgets.canvas import AXIS, Canvas
from tui.widgets.leaves import LeavesView, fitting

DEPTHS = ("long", "level", "short")
SIDES = ("left", "centre", "right")
LEAST = 10
# Nine kinds of misses: each would have 11 % if they went anywhere alike.
GROUNDS = ((0.20, "▓"), (0.12, "▒"), (0.05, "░"))
LEGEND = "as the shooter sees it; ░ 5 %  ▒ 12 %  ▓ 20 % or more of the misses"
_LABEL = 6
_NARROW, _WIDE = 9, 13
_GAP = 2
# Whole percent in a picture.
_WHOLE = 10


@dataclass(frozen=True, slots=True)
class Told:
    """How many, and which share of all that is; no share where it may not be given."""

    count: int
    share: float | None


@dataclass(frozen=True, slots=True)
class MissGrid:
    """The misses of one technique (of one player).

    Attributes:
        title: what they are.
        more: whose they are, where there is room behind the title.
        told: by depth and side.
        seen: misses with a depth and a side.
        marked: whether it is the technique that is studied.
        foot: what is said under it.
    """

    title: str
    more: str = ""
    told: Mapping[tuple[str, str], Told] = field(default_factory=dict)
    seen: int = 0
    marked: bool = False
    foot: str = ""


def ground_of(share: float | None, grounds: Sequence[tuple[float, str]] = GROUNDS) -> str:
    """The sign of the ground under a share."""
    if share is None:
        return " "
    return next((sign for least, sign in grounds if share >= least), " ")


def draw(grids: Sequence[MissGrid], cells: int, lines: int, chosen: int = 0) -> Canvas:
    """As many grids as fit, the chosen one among them."""
    canvas = Canvas(cells, lines)
    if not grids:
        return canvas
    tall = 2 if lines >= 8 else 1
    head = 2 if lines >= 3 * tall + 2 else 1
    foot = int(any(g.foot for g in grids) and lines >= 3 * tall + head + 1)
    high = head + 3 * tall + foot
    least = _LABEL + 3 * _NARROW + 2
    if cells < _LABEL + 3 * 4 or lines < 3 + head:
        canvas.put(0, 0, cut("no room for the picture", cells), AXIS)
        return canvas
    shown = fitting(len(grids), chosen, (cells, lines), (least, high), _GAP)
    room = (cells - _GAP * (shown.across - 1)) // shown.across
    wide = min(_WIDE, (room - _LABEL - 2) // 3)
    for place, number in enumerate(shown.numbers):
        x, y = shown.corner(place, (_LABEL + 3 * wide + 2, high), _GAP)
        frame = _Frame(canvas, x, y, wide, tall, head, chosen=number == chosen and shown.some)
        _one(frame, grids[number], foot=bool(foot))
    return canvas


@dataclass(frozen=True, slots=True)
class _Frame:
    canvas: Canvas
    x: int
    y: int
    wide: int
    tall: int
    head: int
    chosen: bool


def _one(frame: _Frame, grid: MissGrid, *, foot: bool) -> None:
    ink: Ink = "mark" if grid.marked else "strong"
    whole = _LABEL + 3 * frame.wide + 2
    title = ("▸ " if frame.chosen else "") + safe(grid.title)
    if width(title) + width(safe(grid.more)) <= whole:
        title += safe(grid.more)
    frame.canvas.put(frame.x, frame.y, cut(title, whole), ink)
    if frame.head == 2:
        for column, side in enumerate(SIDES):
            x = frame.x + _LABEL + column * (frame.wide + 1)
            frame.canvas.put(x + (frame.wide - width(side)) // 2, frame.y + 1, side, AXIS)
    for row, depth in enumerate(DEPTHS):
        y = frame.y + frame.head + row * frame.tall
        frame.canvas.put(frame.x, y, depth, AXIS)
        for column, side in enumerate(SIDES):
            x = frame.x + _LABEL + column * (frame.wide + 1)
            told = grid.told.get((depth, side), Told(0, None))
            _cell(frame, x, y, told, few=grid.seen < LEAST)
    if foot and grid.foot:
        frame.canvas.put(frame.x, frame.y + frame.head + 3 * frame.tall,
                         cut(safe(grid.foot), whole), "text")  # fmt: skip


def _cell(frame: _Frame, x: int, y: int, told: Told, *, few: bool) -> None:
    sign = " " if few else ground_of(told.share)
    for dx in range(frame.wide):
        for dy in range(frame.tall):
            frame.canvas.shade(x + dx, y + dy, sign)
    lines = words_of(told, frame.wide, frame.tall, few=few)
    for dy, words in enumerate(lines):
        ink: Ink = "text" if dy == 0 and told.count else AXIS
        gap = frame.wide - width(words)
        if frame.tall == 1:
            # Where a cell is one line its ground is one sign before the figures.
            frame.canvas.put(x, y, " " * (frame.wide if gap else 0), AXIS)
            frame.canvas.put(x, y, f"{sign}{words}" if gap else words, ink)
        else:
            padded = f" {words} " if gap > 1 else words
            frame.canvas.put(x + (frame.wide - width(padded)) // 2, y + dy, padded, ink)


def words_of(told: Told, cells: int, lines: int, *, few: bool) -> list[str]:
    """Share and count in so many lines of so many cells; the share where one of both has room.

    Where there are few misses it is the count alone.
    """
    number = count(told.count)
    if few or told.share is None or not told.count:
        return [number]
    share = percent(told.share, _WHOLE)
    if lines > 1:
        return [share, number] if width(share) <= cells else [number]
    both = f"{share} {number}"
    return [next((words for words in (both, share) if width(words) <= cells), number)]


class MissGridView(LeavesView[MissGrid]):
    """The grids on a screen."""

    def drawn(self, cells: int, lines: int) -> Canvas:
        return draw(self.leaves, cells, lines, self.chosen)
