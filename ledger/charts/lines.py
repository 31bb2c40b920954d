"""Lines of words with room for a plot between them: who, what is drawn of him, the figure in words.

Each line is as high as every other; what stands on it is placed by its number from the top. Words
that find no room end in `…`, and quieter columns leave before the plot becomes too narrow.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import altair as alt

from ledger.charts import measure
from ledger.charts.sheet import Sheet, at_x
from ledger.charts.theme import MARGIN

SPACE = 12
# Few lines may be higher and their letters larger; where there is much room so may be some more.
_STEP, _SOME_STEP, _FEW_STEP, _FEW, _SOME = 42.0, 58.0, 72.0, 6, 14
_LETTERS, _FEW_LETTERS = (8.5, 13.0), 15.0


@dataclass(frozen=True, slots=True)
class Words:
    """A column of words.

    Attributes:
        texts: one a line, empty where there is none.
        most: the most of the picture's width that it may take.
        quiet: whether it matters less.
        leaves: in what order columns leave when the plot becomes too narrow; 0 never leaves.
        strong: the lines whose words are bold.
    """

    texts: tuple[str, ...]
    most: float = 1.0
    quiet: bool = False
    leaves: int = 0
    strong: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Heading:
    """Words over the lines that follow, on a line of their own.

    Attributes:
        line: which.
        words: of any length.
        room: that they may take; all of the picture's unless something stands on their line.
    """

    line: int
    words: str
    room: float | None = None


@dataclass(frozen=True, slots=True)
class Lines:
    """The lines on their sheet.

    Attributes:
        page: the sheet, its room left and right made to fit the words.
        count: how many lines there are.
        step: their height.
        letters: the size of the words.
        columns: each column with its place from the plot's left edge and its room.
    """

    page: Sheet
    count: int
    step: float
    letters: float
    columns: tuple[tuple[Words, float, float], ...]

    @property
    def height(self) -> float:
        """The height of all lines."""
        return self.step * self.count

    def y(self, field: str = "row") -> alt.Y:
        """An encoding of a place in lines from the top: the first one's middle is 0.5."""
        scale = alt.Scale(domain=[0, self.count], reverse=True, nice=False, zero=False)
        return alt.Y(f"{field}:Q", scale=scale, axis=None)

    def guides(self, lines: Iterable[int], width: float) -> alt.Chart:
        """A thin line through each of these lines, from the plot's left edge."""
        layer: alt.Chart = (
            self.page.data.add([{"row": line + 0.5} for line in lines])
            .mark_rule(color=self.page.theme.grid, strokeWidth=1)
            .encode(y=self.y(), x=alt.value(0), x2=alt.value(width))
        )
        return layer

    def words(self, headings: Sequence[Heading] = ()) -> list[alt.Chart]:
        """All words, and the headings at the left edge."""
        theme = self.page.theme
        layers = []
        for words, at, room in self.columns:
            colour = theme.muted if words.quiet else theme.ink
            for bold in (False, True):
                rows = self._cells(words, room, bold=bold)
                if rows:
                    layers.append(self._texts(rows, at, colour, bold=bold))
        if headings:
            whole = self.page.size.width - 2 * MARGIN
            rows = [
                {
                    "row": h.line + 0.5,
                    "words": measure.cut(h.words, h.room or whole, self.letters, bold=True),
                    "whole": h.words,
                }
                for h in headings
            ]
            layers.append(self._texts(rows, MARGIN - self.page.left, theme.ink, bold=True))
        return layers

    def across(self, texts: Mapping[int, str]) -> list[alt.Chart]:
        """Quiet words that take the place of the plot on lines of which nothing is drawn."""
        room = self.page.width + self.page.right - MARGIN
        rows = [
            {"row": line + 0.5, "words": measure.cut(text, room, self.letters), "whole": text}
            for line, text in texts.items()
        ]
        if not rows:
            return []
        return [self._cleared(rows), self._texts(rows, 0.0, self.page.theme.muted, bold=False)]

    def _cleared(self, rows: list[dict[str, Any]]) -> alt.Chart:
        """Paper under words that take the place of the plot: its lines do not run through them."""
        half = 0.45 * self.letters / self.step
        boxes = [
            {
                "x": -1,
                "x_end": measure.width(row["words"], self.letters) + 4,
                "row": row["row"] - half,
                "row_end": row["row"] + half,
            }
            for row in rows
        ]
        layer: alt.Chart = (
            self.page.data.add(boxes)
            .mark_rect(color=self.page.theme.paper, opacity=1, clip=False)
            .encode(x=at_x("x"), x2=alt.X2("x_end:Q"), y=self.y(), y2=alt.Y2("row_end:Q"))
        )
        return layer

    def _cells(self, words: Words, room: float, *, bold: bool) -> list[dict[str, Any]]:
        return [
            {
                "row": line + 0.5,
                "words": measure.cut(text, room, self.letters, bold=bold),
                "whole": text,
            }
            for line, text in enumerate(words.texts)
            if text and (line in words.strong) == bold
        ]

    def _texts(
        self, rows: list[dict[str, Any]], at: float, colour: str, *, bold: bool
    ) -> alt.Chart:
        layer: alt.Chart = (
            self.page.data.add(rows)
            .mark_text(
                align="left",
                baseline="middle",
                fontSize=self.letters,
                fontWeight="bold" if bold else "normal",
                color=colour,
                clip=False,
            )
            .encode(
                x=alt.value(at),
                y=self.y(),
                text=alt.Text("words:N"),
                tooltip=[alt.Tooltip("whole:N", title="in full")],
            )
        )
        return layer


def lined(
    page: Sheet,
    left: Sequence[Words],
    right: Sequence[Words],
    *,
    plot: float = 0.34,
) -> Lines:
    """Lines of these words on a sheet.

    Args:
        page: the sheet; its room left and right is set here.
        left: columns before the plot, each with a text for every line.
        right: columns behind it.
        plot: the least part of the picture's width that stays for the plot.
    """
    count = max(len(words.texts) for words in (*left, *right))
    few = count <= _FEW
    most = _FEW_STEP if few else _SOME_STEP if count <= _SOME else _STEP
    step = min(most, page.height / max(count, 1))
    letters = max(_LETTERS[0], min(_FEW_LETTERS if few else _LETTERS[1], step * 0.66))
    total = page.size.width

    def room(words: Words) -> float:
        widths = (
            measure.width(text, letters, bold=line in words.strong)
            for line, text in enumerate(words.texts)
        )
        return min(total * words.most, max(widths, default=0.0) + 1)

    rooms = {id(words): room(words) for words in (*left, *right)}
    staying = {id(words) for words in (*left, *right) if rooms[id(words)] > 1}
    for words in sorted((w for w in (*left, *right) if w.leaves), key=lambda w: w.leaves):
        taken = sum(rooms[key] + SPACE for key in staying)
        if total - taken - 2 * MARGIN >= total * plot:
            break
        staying.discard(id(words))
    kept_left = [(w, rooms[id(w)]) for w in left if id(w) in staying]
    kept_right = [(w, rooms[id(w)]) for w in right if id(w) in staying]
    page = replace(
        page,
        left=MARGIN + sum(r + SPACE for _, r in kept_left),
        right=MARGIN + sum(r + SPACE for _, r in kept_right),
    )
    page = page.no_higher_than(step * count)
    placed = [
        *_placed(kept_left, MARGIN - page.left),
        *_placed(kept_right, page.width + SPACE),
    ]
    return Lines(page, count, step, letters, tuple(placed))


def _placed(
    columns: Sequence[tuple[Words, float]], start: float
) -> list[tuple[Words, float, float]]:
    placed = []
    for words, room in columns:
        placed.append((words, start, room))
        start += room + SPACE
    return placed
