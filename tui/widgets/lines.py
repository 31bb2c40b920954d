"""Lines of words: the top line, the sentence, the headline, the notes, the keys.

Everything that is shown here passes `safe`, and is plain content, never markup.
"""

from __future__ import annotations

from collections.abc import Iterable

from rich.segment import Segment
from textual import events
from textual.content import Content
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import Static

from ledger.safe_text import cut, safe, width
from tui.actions import ShownKey, gap_of
from tui.styles.themes import INKS, Inks

# What stands on the screen until the answer to something else has come.
BEFORE = "before"


def inks_of(widget: Widget) -> Inks:
    """The styles of the theme in use; of what is out of date all of them stand back."""
    inks = INKS.get(widget.app.theme, INKS["offglass-dark"])
    return inks.back() if widget.has_class(BEFORE) else inks


def plain(*paragraphs: str) -> Content:
    """Paragraphs from anywhere as content that cannot act."""
    return Content("\n".join(safe(p) for p in paragraphs))


def wrapped(text: str, cells: int, most: int) -> list[str]:
    """The text in at most so many lines of so many cells; what is left out ends in `…`.

    A percent sign stays with its figure.
    """
    lines: list[str] = []
    for word in safe(text).replace(" %", "\u00a0%").split(" "):
        if lines and width(lines[-1]) + 1 + width(word) <= cells:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    lines = [cut(line.replace("\u00a0", " "), cells) for line in lines]
    if len(lines) <= most:
        return lines
    return [*lines[: most - 1], cut(f"{lines[most - 1]} …", cells)]


class Words(Static):
    """Paragraphs of plain text, wrapped; what does not fit in its height ends in `…`."""

    def __init__(self, *paragraphs: str, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(plain(*paragraphs), id=id, classes=classes, markup=False)
        self.said: tuple[str, ...] = paragraphs
        # The key that shows the whole, said where some of it is left out.
        self.whole_by = ""
        # The most lines it was fitted to.
        self._most: object = None

    def say(self, *paragraphs: str) -> None:
        """Show other words."""
        if paragraphs != self.said:
            self.said = paragraphs
            self.fit()

    def say_meanwhile(self, word: str) -> None:
        """Show a word until others come, in as many lines as there are: nothing below moves."""
        self.said = (word,)
        lines = [word, *[""] * (self.content_size.height - 1)]
        self.update(Content("\n".join(lines)), layout=False)

    def on_resize(self) -> None:
        self.fit()

    def notify_style_update(self) -> None:
        # The classes of a screen come after its size, and with them the room for words.
        super().notify_style_update()
        if self.is_attached and self.styles.max_height != self._most:
            self.fit()

    def fit(self) -> None:
        """Wrap anew, for a height or width that has changed."""
        whole = plain(*self.said)
        most = self._most = self.styles.max_height
        cells = self.content_size.width
        if most is not None and most.is_cells and cells > 1:
            lines = [line.plain.rstrip() for line in whole.wrap(cells)]
            room = int(most.value)
            if len(lines) > room:
                sign = f"… ({self.whole_by})" if self.whole_by else "…"
                lines = [*lines[: room - 1], _with_sign(lines[room - 1], sign, cells)]
                whole = Content("\n".join(lines))
        # The room is laid out anew only where something below would move.
        stays = (
            cells > 0
            and whole.get_height(self.styles.get_rules(), cells) == self.content_size.height
        )
        self.update(whole, layout=not stays)


def _with_sign(line: str, sign: str, cells: int) -> str:
    """The line with a sign at its end; whole words give way to it: half a figure is a wrong one."""
    words = line.split(" ")
    while len(words) > 1 and width(" ".join(words)) + 1 + len(sign) > cells:
        words.pop()
    return f"{cut(' '.join(words), max(1, cells - 1 - len(sign)))} {sign}"


class TopLine(Widget):
    """The program and the ledger at the left, what the ledger holds at the right."""

    DEFAULT_CSS = "TopLine { height: 1; width: 100%; }"

    def __init__(self) -> None:
        super().__init__()
        self._left = ""
        self._right = ""

    def say(self, left: str, right: str) -> None:
        """Show a ledger's name and its facts."""
        self._left, self._right = safe(left), safe(right)
        self.refresh()

    def render_line(self, y: int) -> Strip:
        cells = self.size.width
        inks = inks_of(self)
        right = self._right if width(self._right) + 14 < cells else ""
        left = cut(self._left, max(0, cells - width(right) - 3))
        gap = cells - width(left) - width(right) - 2
        return Strip(
            [
                Segment(" " + left, inks.dim),
                Segment(" " * max(gap, 0), inks.dim),
                Segment(right + " ", inks.dim),
            ]
        ).adjust_cell_length(cells, inks.dim)


class KeysLine(Widget):
    """The keys that matter now; a click on one does what it does."""

    DEFAULT_CSS = "KeysLine { height: 1; width: 100%; }"

    def __init__(self) -> None:
        super().__init__()
        self._shown: tuple[ShownKey, ...] = ()

    def say(self, shown: Iterable[ShownKey]) -> None:
        """Show keys with their words."""
        self._shown = tuple(shown)
        self.refresh()

    async def on_click(self, event: events.Click) -> None:
        at, gap = 1, gap_of(self.size.width)
        for one in self._shown:
            cells = width(safe(one.key)) + 1 + width(safe(one.words))
            if at <= event.x < at + cells:
                await self.screen.run_action(one.action)
                return
            at += cells + gap

    def render_line(self, y: int) -> Strip:
        inks = inks_of(self)
        segments = [Segment(" ", inks.dim)]
        gap = " " * gap_of(self.size.width)
        for one in self._shown:
            segments.append(Segment(safe(one.key), inks.strong))
            segments.append(Segment(f" {safe(one.words)}{gap}", inks.dim))
        return Strip(segments).adjust_cell_length(self.size.width, inks.dim)
