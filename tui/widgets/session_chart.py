"""A trial session by session, drawn in cells.

Each session stands in its place of the plan, so that those still to come are seen as well. The mean
over the sessions so far has its interval, the session's own difference stands beside it as a ring.
At a look a double stroke says what has to lie on one side of 0 for the trial to end there.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from ledger.questions.strip import Scale, scale_of
from ledger.questions.wording import signed
from ledger.safe_text import cut, safe, width
from tui.styles.themes import Ink
from tui.widgets.canvas import AXIS, Canvas, CanvasView

MEAN, OWN, NOT_COUNTED = "●", "○", "×"
ABOVE, BELOW = "↑", "↓"
_LEFT = 8
_UNDER = 1
_ROOM_FOR_WORDS = 9
_WIDE = 110
# From so many sessions on the interval says more about them than about their small number.
_SETTLED = 3


@dataclass(frozen=True, slots=True)
class Session:
    """One session of a trial.

    Attributes:
        number: its place among the practice days.
        own: its own difference of rates, None where one technique was not shot.
        mean: the mean difference up to it, None where it is not counted.
        low: the low end of it.
        high: the high end of it.
        stop_low: at a look, the low one of the limits that must lie on one side of 0.
        stop_high: the high one.
    """

    number: int
    own: float | None
    mean: float | None = None
    low: float | None = None
    high: float | None = None
    stop_low: float | None = None
    stop_high: float | None = None


@dataclass(frozen=True, slots=True)
class Course:
    """What is drawn of a trial.

    Attributes:
        sessions: in order, those that are not counted too.
        planned: sessions that are counted by the plan.
        looks: after how many counted sessions it is looked at.
        tried: the technique that is tried, in words.
        usual: the usual one.
        to_practise: sessions to come that only practise, before those that count.
    """

    sessions: tuple[Session, ...] = ()
    planned: int = 0
    looks: tuple[int, ...] = ()
    tried: str = ""
    usual: str = ""
    to_practise: int = 0

    @property
    def drawable(self) -> bool:
        """Whether there is any difference to draw."""
        return any(session.own is not None for session in self.sessions)

    @property
    def places(self) -> int:
        """The sessions of the plan, and those beside it."""
        left_out = sum(session.mean is None for session in self.sessions)
        return max(self.planned + left_out + self.to_practise, len(self.sessions))

    def place_of(self, counted: int) -> int:
        """Where the session stands that is the so many-th counted one, if all to come count."""
        numbers = [at for at, session in enumerate(self.sessions) if session.mean is not None]
        if counted <= len(numbers):
            return numbers[counted - 1]
        return len(self.sessions) + self.to_practise + counted - len(numbers) - 1


def draw(course: Course, cells: int, height: int) -> Canvas:
    """The picture in `cells` by `height` cells."""
    canvas = Canvas(cells, height)
    words = int(height >= _ROOM_FOR_WORDS)
    plot, lines = cells - _LEFT - 1, height - _UNDER - words
    if not course.drawable or plot < 2 * course.places or lines < 4:
        canvas.put(0, 0, "no room for the picture" if course.drawable else "", AXIS)
        return canvas
    frame = _Frame(canvas, course, _scale(course, lines), plot, lines)
    _axis(frame)
    _looks(frame)
    _join(frame)
    for at, session in enumerate(course.sessions):
        _session(frame, at, session)
    _numbers(frame)
    _sides(frame)
    if words:
        _words(frame)
    return canvas


def _scale(course: Course, lines: int) -> Scale:
    """A scale that holds 0, every session, and the intervals once they say something."""
    last = [s for s in course.sessions if s.mean is not None][-1:]
    settled = [s for s in course.sessions if s.mean is not None][_SETTLED - 1 :]
    known: list[float | None] = [0.0]
    # A session that is not counted may be one of very few attempts.
    shown = [s for s in course.sessions if s.mean is not None] or list(course.sessions)
    known += [value for s in shown for value in (s.own, s.mean)]
    known += [value for s in (*settled, *last) for value in (s.stop_low, s.stop_high)]
    known += [value for s in settled for value in (s.low, s.high)]
    figures = [value for value in known if value is not None]
    return scale_of(min(figures), max(figures), 6 * max(3, (lines + 1) // 2))


@dataclass(frozen=True, slots=True)
class _Frame:
    canvas: Canvas
    course: Course
    scale: Scale
    plot: int
    lines: int

    def x(self, place: int) -> int:
        """The cell of a session."""
        every = self.course.places
        return _LEFT + round((place + 0.5) * self.plot / every)

    def y(self, difference: float) -> int:
        """The line of a difference; outside the picture where it runs out of it."""
        return self.lines - 1 - self.scale.place(difference, self.lines)

    def fine_y(self, difference: float) -> float:
        """The dot of a difference, four a line."""
        part = (difference - self.scale.low) / (self.scale.high - self.scale.low)
        return (1 - part) * (4 * self.lines - 3) + 1


def _axis(frame: _Frame) -> None:
    for y in range(frame.lines):
        frame.canvas.put(_LEFT - 1, y, "│", AXIS)
    zero = frame.y(0.0)
    for x in range(_LEFT, frame.canvas.cells):
        frame.canvas.put(x, zero, "─", AXIS)
    free = frame.canvas.lines
    for tick in frame.scale.ticks():
        y = frame.y(tick)
        if y < free:
            frame.canvas.put(0, y, f"{signed(tick):>6}", AXIS)
            frame.canvas.put(_LEFT - 1, y, "┼" if y == zero else "┤", AXIS)
            free = y


def _looks(frame: _Frame) -> None:
    """A dotted line at each look that is still to come, to where it is named."""
    done = sum(session.mean is not None for session in frame.course.sessions)
    for look in frame.course.looks:
        if look > done:
            for y in range(frame.lines):
                frame.canvas.put(frame.x(frame.course.place_of(look)), y, "┊", AXIS)


def _join(frame: _Frame) -> None:
    known = [
        (frame.x(at), session.mean)
        for at, session in enumerate(frame.course.sessions)
        if session.mean is not None
    ]
    for (x0, a), (x1, b) in pairwise(known):
        start, end = (2 * x0, frame.fine_y(a)), (2 * x1, frame.fine_y(b))
        frame.canvas.dots(start, end, "adopter")


def _session(frame: _Frame, at: int, session: Session) -> None:
    x = frame.x(at)
    if session.low is not None and session.high is not None:
        _stroke(frame, x, session.low, session.high, "│┬┴", "adopter")
    if session.stop_low is not None and session.stop_high is not None:
        _stroke(frame, x + 1, session.stop_low, session.stop_high, "║╥╨", "strong")
    if session.own is not None:
        counted = session.mean is not None
        beside = x - 1 if counted else x
        own = frame.y(session.own)
        y = min(max(own, 0), frame.lines - 1)
        frame.canvas.put(beside, y, OWN if counted else NOT_COUNTED, "not")
        if y != own:
            frame.canvas.put(beside + 1, y, ABOVE if own < y else BELOW, "not")
    if session.mean is not None:
        frame.canvas.put(x, frame.y(session.mean), MEAN, "adopter")


def _stroke(frame: _Frame, x: int, low: float, high: float, signs: str, ink: Ink) -> None:
    """A limit over another one; what runs out of the picture ends in an arrow."""
    top, bottom = frame.y(high), frame.y(low)
    last = frame.lines - 1
    for y in range(max(top, 0), min(bottom, last) + 1):
        frame.canvas.put(x, y, signs[0], ink)
    frame.canvas.put(x, max(top, 0), signs[1] if top >= 0 else ABOVE, ink)
    frame.canvas.put(x, min(bottom, last), signs[2] if bottom <= last else BELOW, ink)


def _numbers(frame: _Frame) -> None:
    """The number of each session, with the looks named first."""
    y, course = frame.lines, frame.course
    taken: list[tuple[int, int]] = []

    def write(place: int, label: str) -> None:
        at = frame.x(place) - (len(label) - 1) // 2
        at = min(at, frame.canvas.cells - len(label))
        if all(at > end or at + len(label) < start for start, end in taken):
            frame.canvas.put(at, y, label, AXIS)
            taken.append((at, at + len(label)))

    for look in course.looks:
        place = course.place_of(look)
        write(place, f"{place + 1} look")
    for place in range(course.places):
        write(place, str(place + 1))
    frame.canvas.put(0, y, "session", AXIS)


def _sides(frame: _Frame) -> None:
    """Which side of 0 is whose, in the corners where there is nothing else."""
    for y, words in (
        (0, f"more per 100 {frame.course.tried}"),
        (frame.lines - 1, f"more per 100 {frame.course.usual}"),
    ):
        text = cut(safe(words), max(0, frame.plot // 2))
        at = frame.canvas.cells - width(text)
        crossed = frame.y(0.0) == y
        free = all(sign in " ┊" for sign in _signs(frame.canvas, y)[at:])
        if free and not crossed:
            frame.canvas.put(at, y, text, AXIS)


def _signs(canvas: Canvas, y: int) -> str:
    return "".join(sign for sign, _ in canvas.line(y))


def _words(frame: _Frame) -> None:
    """What the signs mean, those that are there."""
    course, wide = frame.course, frame.canvas.cells >= _WIDE
    counted = [s for s in course.sessions if s.mean is not None]
    said: list[tuple[str, Ink, str]] = []
    if counted:
        said.append((MEAN, "adopter", "mean so far, ┬┴ 95 %" if wide else "mean so far"))
        said.append((OWN, "not", "that session"))
    if any(s.stop_low is not None for s in counted):
        said.append(("║", "strong", "clear of 0 it stops there" if wide else "clear of 0: stop"))
    if len(counted) < len(course.sessions):
        said.append((NOT_COUNTED, "not", "not counted"))
    at, y = _LEFT, frame.canvas.lines - 1
    for sign, ink, text in said:
        if at + 2 + width(text) <= frame.canvas.cells:
            frame.canvas.put(at, y, sign, ink)
            frame.canvas.put(at + 2, y, text, AXIS)
            at += width(text) + 4


class SessionChart(CanvasView):
    """The picture on a screen."""

    DEFAULT_CSS = "SessionChart { height: 1fr; min-height: 6; width: 100%; }"

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.course = Course()

    def show(self, course: Course) -> None:
        """Draw another trial."""
        self.course = course
        self.draw_anew()

    def drawn(self, cells: int, lines: int) -> Canvas:
        return draw(self.course, cells, lines)
