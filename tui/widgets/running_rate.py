"""One player's running rate over his games, drawn in cells.

His attempts run from left to right. The line is the rate of the last attempts up to each game, its
interval the ground under it. A strip below says of each game how it was shot, by a sign. A change
of his shot stands as a line at its day, over a ground from the first to the last day it may have
happened.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from datetime import date
from itertools import accumulate, pairwise
from typing import Literal

from ledger.questions.strip import Scale, scale_of
from ledger.safe_text import cut, safe, width
from tui.styles.themes import Ink
from tui.widgets.canvas import AXIS, SHADE, Canvas, CanvasView

How = Literal["focus", "other", "both", "unknown"]
# The sign of a game, and the ink of a player of that state.
SIGNS: dict[How, tuple[str, Ink]] = {
    "focus": ("●", "adopter"),
    "other": ("○", "not"),
    "both": ("◐", "occasional"),
    "unknown": ("·", "untagged"),
}
RANGE = "▒"
_LEFT = 7
# The lines under the curve: strip and seasons; the words of the signs where there is room.
_UNDER = 2
_ROOM_FOR_WORDS = 9
_WIDE = 110


@dataclass(frozen=True, slots=True)
class Game:
    """One game of a player.

    Attributes:
        day: its day.
        season: as its label.
        attempts: attempts in it.
        how: how he was seen to shoot in it.
        rate: the running rate up to it, None where there is none yet.
        low: its low end.
        high: its high end.
    """

    day: date
    season: str
    attempts: int
    how: How
    rate: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class Change:
    """A change of his shot: its day, the days it lies between, and what it is called."""

    day: date | None
    first: date | None
    last: date | None
    words: str


@dataclass(frozen=True, slots=True)
class Career:
    """What is drawn of a player.

    Attributes:
        games: in order.
        changes: in order.
        studied: the studied technique in words.
    """

    games: tuple[Game, ...] = ()
    changes: tuple[Change, ...] = ()
    studied: str = ""

    @property
    def drawable(self) -> bool:
        """Whether there is any rate to draw."""
        return any(game.rate is not None for game in self.games)


def draw(career: Career, cells: int, height: int) -> Canvas:
    """The picture in `cells` by `height` cells."""
    canvas = Canvas(cells, height)
    words = int(height >= _ROOM_FOR_WORDS)
    above = int(any(change.day for change in career.changes))
    plot, lines = cells - _LEFT - 1, height - _UNDER - words - above
    if plot < 12 or lines < 3 or not career.drawable:
        canvas.put(0, 0, "no room for the picture" if career.drawable else "", AXIS)
        return canvas
    frame = _Frame.of(canvas, career, (plot, lines), above)
    _axis(frame)
    _band(frame)
    for change in career.changes:
        _range(frame, change)
    _curve(frame)
    _changes(frame)
    shown = _strip(frame)
    _seasons(frame)
    if words:
        _words(frame, shown)
    return canvas


@dataclass(frozen=True, slots=True)
class _Frame:
    canvas: Canvas
    career: Career
    scale: Scale
    ends: tuple[int, ...]
    plot: int
    lines: int
    above: int

    @classmethod
    def of(cls, canvas: Canvas, career: Career, size: tuple[int, int], above: int) -> _Frame:
        """The scale holds every limit; games take room by their attempts."""
        known = [g for g in career.games if g.rate is not None]
        low = min((g.low for g in known if g.low is not None), default=0.0)
        high = max((g.high for g in known if g.high is not None), default=1.0)
        scale = scale_of(low, high, 6 * max(3, (size[1] + 1) // 2))
        ends = tuple(accumulate(max(g.attempts, 1) for g in career.games))
        return cls(canvas, career, scale, ends, size[0], size[1], above)

    def spread(self, attempts: float, places: int) -> int:
        """The place of so many attempts among `places`."""
        return min(places - 1, int(attempts / self.ends[-1] * places))

    def x(self, game: int, places: int) -> int:
        """The place of the end of a game."""
        return self.spread(self.ends[game] - 0.5, places)

    def start(self, game: int) -> int:
        """The cell in which a game begins."""
        return self.spread(self.ends[game - 1] if game else 0, self.plot)

    def y(self, share: float) -> int:
        """The line of a share."""
        return self.above + self.lines - 1 - self.scale.place(share, self.lines)

    def fine_y(self, share: float) -> float:
        """The dot of a share, four a line."""
        part = (share - self.scale.low) / (self.scale.high - self.scale.low)
        return 4 * self.above + (1 - part) * (4 * self.lines - 3) + 1

    def game_at(self, day: date) -> int:
        """The first game not before a day, the last one where all are."""
        days = [game.day for game in self.career.games]
        return min(bisect_left(days, day), len(days) - 1)


def _axis(frame: _Frame) -> None:
    for y in range(frame.above, frame.above + frame.lines):
        frame.canvas.put(_LEFT - 1, y, "│", AXIS)
    free = frame.canvas.lines
    for tick in frame.scale.ticks():
        y = frame.y(tick)
        if y < free:
            frame.canvas.put(0, y, f"{100 * tick:3.0f} %", AXIS)
            frame.canvas.put(_LEFT - 1, y, "┤", AXIS)
            free = y


def _known(frame: _Frame, places: int) -> list[tuple[int, Game]]:
    """Games with a rate and their places, of several in one place the last."""
    found = {
        frame.x(number, places): game
        for number, game in enumerate(frame.career.games)
        if game.rate is not None
    }
    return sorted(found.items())


def _band(frame: _Frame) -> None:
    """The interval as a ground: straight from game to game, as the line is."""
    known = _known(frame, frame.plot)
    for (x0, a), (x1, b) in pairwise([*known, known[-1]]):
        for x in range(x0, max(x1, x0 + 1)):
            part = (x - x0) / max(x1 - x0, 1)
            low, high = (
                (one or 0.0) + ((two or 0.0) - (one or 0.0)) * part
                for one, two in ((a.low, b.low), (a.high, b.high))
            )
            for y in range(frame.y(high), frame.y(low) + 1):
                frame.canvas.shade(_LEFT + x, y, SHADE)


def _curve(frame: _Frame) -> None:
    known = _known(frame, 2 * frame.plot)
    for (x0, a), (x1, b) in pairwise([*known, known[-1]]):
        start = (2 * _LEFT + x0, frame.fine_y(a.rate or 0.0))
        frame.canvas.dots(start, (2 * _LEFT + x1, frame.fine_y(b.rate or 0.0)), "strong")
    last = known[-1]
    frame.canvas.put(_LEFT + last[0] // 2, frame.y(last[1].rate or 0.0), "◆", "strong")


def _range(frame: _Frame, change: Change) -> None:
    """The days a change may have happened between, over the whole height."""
    if change.first is None or change.last is None or change.day is None:
        return
    first, last = (frame.start(frame.game_at(day)) for day in (change.first, change.last))
    for x in range(first, last + 1):
        for y in range(frame.above, frame.above + frame.lines):
            frame.canvas.shade(_LEFT + x, y, RANGE)


def _changes(frame: _Frame) -> None:
    """A line at each day, and above it what it is, where the words have room."""
    free = 0
    for change in frame.career.changes:
        if change.day is None:
            continue
        x = _LEFT + frame.start(frame.game_at(change.day))
        for y in range(frame.above, frame.above + frame.lines):
            frame.canvas.put(x, y, "┃", "mark")
        words = cut(safe(change.words), frame.canvas.cells - 2)
        # Beside the line at its right, else at its left.
        text, start = f"↓ {words}", x
        if start + width(text) > frame.canvas.cells:
            text, start = f"{words} ↓", x - width(words) - 1
        if start >= free:
            frame.canvas.put(start, 0, text, "mark")
            free = start + width(text) + 1
        elif x >= free:
            frame.canvas.put(x, 0, "↓", "mark")
            free = x + 2


def _strip(frame: _Frame) -> set[How]:
    """How he shot, a sign a cell: of several games in one cell, both where they differ.

    Returns:
        Whose signs are there.
    """
    seen: dict[int, set[How]] = {}
    for number, game in enumerate(frame.career.games):
        for x in range(frame.start(number), frame.x(number, frame.plot) + 1):
            seen.setdefault(x, set()).add(game.how)
    shown: set[How] = set()
    y = frame.above + frame.lines
    for x, hows in seen.items():
        known = hows - {"unknown"}
        how: How = "both" if len(known) > 1 else next(iter(known), "unknown")
        shown.add(how)
        sign, ink = SIGNS[how]
        frame.canvas.put(_LEFT + x, y, sign, ink)
    frame.canvas.put(0, y, "shot", AXIS)
    return shown


def _seasons(frame: _Frame) -> None:
    """Where each season begins; for one season its first and its last day."""
    y = frame.above + frame.lines + 1
    games = frame.career.games
    starts = [n for n, game in enumerate(games) if not n or game.season != games[n - 1].season]
    free = 0
    for number in starts:
        at = _LEFT + frame.start(number)
        label = safe(games[number].season)
        if len(starts) == 1:
            label += f", from {games[0].day}"
        if at >= free and at + width(label) <= frame.canvas.cells:
            frame.canvas.put(at, y, label, AXIS)
            free = at + width(label) + 1
    last = f"to {games[-1].day}"
    at = frame.canvas.cells - width(last) - 1
    if at >= free:
        frame.canvas.put(at, y, last, AXIS)


def _words(frame: _Frame, shown: set[How]) -> None:
    """What the signs mean, those that are there."""
    studied = safe(frame.career.studied) or "with the studied technique"
    words: dict[How, str] = {
        "focus": studied,
        "other": "otherwise",
        "both": "both",
        "unknown": "not watched",
    }
    said = [(*SIGNS[how], text) for how, text in words.items() if how in shown]
    wide = frame.canvas.cells >= _WIDE
    said.append((SHADE, AXIS, "95 % of his last 50" if wide else "95 %"))
    if any(change.day and change.first for change in frame.career.changes):
        said.append((RANGE, AXIS, "the change lies here, 90 %" if wide else "change, 90 %"))
    at, y = _LEFT, frame.canvas.lines - 1
    for sign, ink, text in said:
        if at + 2 + width(text) <= frame.canvas.cells:
            frame.canvas.put(at, y, sign, ink)
            frame.canvas.put(at + 2, y, text, AXIS)
            at += width(text) + 4


class RunningRate(CanvasView):
    """The picture on a screen."""

    DEFAULT_CSS = "RunningRate { height: 1fr; min-height: 6; width: 100%; }"

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.career = Career()

    def show(self, career: Career) -> None:
        """Draw another player."""
        self.career = career
        self.draw_anew()

    def drawn(self, cells: int, lines: int) -> Canvas:
        return draw(self.career, cells, lines)
