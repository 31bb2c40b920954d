"""One line that names the parts of a screen, the one that is shown between brackets."""

from __future__ import annotations

from collections.abc import Sequence

from rich.segment import Segment
from textual import events
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from ledger.safe_text import cut, safe, width
from tui.widgets.lines import inks_of

_BEFORE, _AFTER = "‹ ", " ›"


def seen_of(names: Sequence[str], chosen: int, cells: int) -> list[tuple[int, str]]:
    """The parts that are seen, with the cell each begins at: the chosen one always is.

    >>> seen_of(["lists 2", "lots 1", "trials 0"], 1, 80)
    [(1, 'lists 2'), (10, '[lots 1]'), (20, 'trials 0')]
    >>> [words for _, words in seen_of(["lists 2", "lots 1", "trials 0"], 2, 24)]
    ['‹', '[trials 0]']
    """
    whole = [f"[{safe(n)}]" if i == chosen else safe(n) for i, n in enumerate(names)]
    first, last = 0, len(whole)

    def needed() -> int:
        inside = sum(width(w) + 2 for w in whole[first:last]) - 2
        return 1 + inside + 2 * (first > 0) + 2 * (last < len(whole))

    while needed() > cells and last - 1 > chosen:
        last -= 1
    while needed() > cells and first < chosen:
        first += 1
    at = 1
    out: list[tuple[int, str]] = []
    if first:
        out.append((at, _BEFORE.strip()))
        at += width(_BEFORE)
    for words in whole[first:last]:
        out.append((at, words))
        at += width(words) + 2
    if last < len(whole):
        out.append((at - 1, _AFTER.strip()))
    return out


class SectionsLine(Widget):
    """The parts of a screen; a click chooses one."""

    DEFAULT_CSS = "SectionsLine { height: 1; width: 100%; }"

    class Picked(Message):
        """A part was clicked."""

        def __init__(self, number: int) -> None:
            super().__init__()
            self.number = number

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._names: tuple[str, ...] = ()
        self._chosen = 0

    def say(self, names: Sequence[str], chosen: int) -> None:
        """Show other parts, or another one between the brackets."""
        self._names, self._chosen = tuple(names), chosen
        self.refresh()

    def on_click(self, event: events.Click) -> None:
        here = {safe(name): number for number, name in enumerate(self._names)}
        for at, words in seen_of(self._names, self._chosen, self.size.width):
            if at <= event.x < at + width(words) and words in here:
                self.post_message(self.Picked(here[words]))

    def render_line(self, y: int) -> Strip:
        inks, cells = inks_of(self), self.size.width
        segments: list[Segment] = []
        at = 0
        for start, words in seen_of(self._names, self._chosen, cells):
            here = words.startswith("[")
            fits = cut(words, max(0, cells - start))
            segments += [Segment(" " * max(0, start - at), inks.dim)]
            segments += [Segment(fits, inks.strong if here else inks.dim)]
            at = start + width(fits)
        return Strip(segments).adjust_cell_length(cells, inks.dim)
