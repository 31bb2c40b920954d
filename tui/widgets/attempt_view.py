"""The attempt that is watched: who, when, what is asked, and the keys that answer it.

The block of nine keys is drawn as the shooter sees the ring, whatever the camera: board above, the
shooter below, his left at the left.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from textual import events
from textual.message import Message

from ledger.safe_text import cut, safe, width
from tui.in_hand import LETTERS, MISSES, ZONES, Step
from tui.widgets.canvas import Canvas, CanvasView

QUESTIONS: Mapping[Step, str] = {
    "technique": "How was it shot?",
    "miss": "Where did it go?",
    "rebound": "Where did the ball go then?",
}
_SKIPS = "0 or space: unknown"
_ROWS = ("789", "456", "123")
_LETTER_OF = {digit: letter for letter, digit in LETTERS.items()}
_ARROWS = {"left": "←", "right": "→"}
_NARROW = 60
_WIDE_CELL = 24


@dataclass(frozen=True, slots=True)
class Shown:
    """What is on the screen.

    Attributes:
        facts: who, what, when, where: a line each, the first the most important.
        asks: what is asked.
        choices: key and words of each answer, where they are no block.
        said: what was typed of it so far.
        before: what was typed before it.
        instead: what stands there where there is no attempt.
    """

    facts: tuple[str, ...] = ()
    asks: Step | None = None
    choices: tuple[tuple[str, str], ...] = ()
    said: str = ""
    before: str = ""
    instead: tuple[str, ...] = ()


@dataclass
class Picture:
    """A canvas, and which of its cells stand for which key."""

    canvas: Canvas
    keys: dict[tuple[int, int], str] = field(default_factory=dict)

    def key(self, x: int, y: int, key: str, words: str, most: int = 999) -> int:
        """Write a key and its words; the cells they take."""
        shown = cut(safe(f"{key} {words}".rstrip()), most)
        self.canvas.put(x, y, shown[: len(key)], "strong")
        self.canvas.put(x + len(key), y, shown[len(key) :], "text")
        taken = width(shown)
        self.keys.update({(at, y): key for at in range(x, x + taken)})
        return taken


def draw(shown: Shown, cells: int, lines: int) -> Picture:
    """The attempt in so many cells and lines."""
    picture = Picture(Canvas(cells, lines))
    put = picture.canvas.put
    y = 1 if lines >= 12 else 0
    for at, fact in enumerate(shown.facts or shown.instead):
        put(1, y, cut(safe(fact), cells - 2), "strong" if at == 0 else "text")
        y += 1
    if shown.asks is None:
        return picture
    y += lines >= 12
    question = QUESTIONS[shown.asks]
    whole = safe(f"{shown.said}. {question}" if shown.said else question)
    put(1, y, whole if width(whole) <= cells - 2 else question, "strong")
    y += 1
    if shown.asks == "technique":
        y = _choices(picture, shown.choices, y)
    else:
        y = _block(picture, shown.asks, y)
    if shown.before and y < lines - 1:
        put(1, lines - 1, cut(safe(shown.before), cells - 2), "dim")
    return picture


def _choices(picture: Picture, choices: Sequence[tuple[str, str]], y: int) -> int:
    """Keys and words one after another; the line below them."""
    cells = picture.canvas.cells
    x = 1
    for key, words in choices:
        need = width(safe(f"{key} {words}"))
        if x > 1 and x + need > cells - 1:
            x, y = 1, y + 1
        x += picture.key(x, y, key, words, cells - 2) + 3
    return y + 1


def _block(picture: Picture, asks: Step, y: int) -> int:
    """Nine keys as the shooter sees the ring; the line below them."""
    canvas = picture.canvas
    narrow = canvas.cells < _NARROW
    words = {key: _words(asks, key, narrow=narrow) for key in (MISSES if asks == "miss" else ZONES)}
    room = canvas.lines - y
    step = 2 if room >= 9 else 1
    cell = min(_WIDE_CELL, (canvas.cells - 1) // 3)
    middle = 1 + cell + cell // 2
    put = canvas.put
    if room >= 6:
        put(middle - 5, y, "━━━━━━━━━━", "dim")
        put(middle + 6, y, "board", "dim")
        y += 1
    for at, row in enumerate(_ROWS):
        for column, key in enumerate(row):
            if key in words:
                letter = "" if narrow else f" ({_LETTER_OF[key]})"
                picture.key(1 + column * cell, y, key, words[key] + letter, cell - 1)
        y += 1 if at == 2 else step
    if room >= 6:
        put(middle - 5, y, "▲ the shooter", "dim")
        y += 1
    if y < canvas.lines:
        put(1, y, _SKIPS, "dim")
        picture.keys.update({(x, y): "0" for x in range(1, 1 + len(_SKIPS))})
    return y + 1


def _words(asks: Step, key: str, *, narrow: bool) -> str:
    """What a key of the block stands for; in a narrow window an arrow for the side."""
    if asks == "miss":
        depth, side = MISSES[key]
        parts = [depth, side if side != "centre" else ""]
    else:
        first, _, second = ZONES[key].partition("_")
        parts = [second, first] if second and narrow else [first, second]
    words = [_ARROWS.get(part, part) if narrow else part for part in parts]
    return " ".join(word for word in words if word)


class AttemptView(CanvasView):
    """The picture on the screen; a click on a key's words is that key."""

    class Pressed(Message):
        """A key was clicked on."""

        def __init__(self, key: str) -> None:
            super().__init__()
            self.key = key

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.shown = Shown()
        self._picture: Picture | None = None

    def show(self, shown: Shown) -> None:
        """Show something else."""
        if shown != self.shown:
            self.shown = shown
            self.draw_anew()

    def drawn(self, cells: int, lines: int) -> Canvas:
        self._picture = draw(self.shown, cells, lines)
        return self._picture.canvas

    def on_click(self, event: events.Click) -> None:
        key = self._picture.keys.get((event.x, event.y)) if self._picture else None
        if key is not None:
            self.post_message(self.Pressed(key))
