"""The sheet a chart is drawn on: headline above, cohort under it, caption below, room between.

Every sheet has exactly its size, a tall one at most, because all of it is placed by the project's
own arithmetic: Vega's automatic layout is off. What lies outside the plot (names, legend, caption)
is drawn as text marks at places counted from the plot's upper left corner.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal, TypeVar

import altair as alt

from ledger.charts import measure
from ledger.charts.caption import told
from ledger.charts.rowsets import Rowsets
from ledger.charts.theme import MARGIN, Size, Theme, config
from ledger.questions.answer import Answer
from ledger.safe_text import safe

_TITLE_SIZES = ((20.0, 25, 2), (17.0, 22, 3), (15.0, 19, 4))
_COHORT_SIZE, _COHORT_LINE, _COHORT_LINES = 13.0, 18, 2
_CAPTION_SIZE, _CAPTION_LINE, _CAPTION_LINES = 11.0, 15, 4
_LEGEND_SIZE, _LEGEND_LINE = 12.0, 20
_GAP = 12
# The height of a plot that only says why there is none.
_BLANK = 80.0

Chart = TypeVar("Chart", alt.LayerChart, alt.ConcatChart)
Align = Literal["left", "center", "right"]


@dataclass(frozen=True, slots=True)
class Key:
    """One entry of a legend: a shape in a colour, and its word."""

    word: str
    colour: str
    shape: str
    filled: bool = True


@dataclass(frozen=True, slots=True)
class Sheet:
    """Where things go on one picture, in chart units.

    Attributes:
        theme: the colours.
        size: the whole picture.
        title: the headline's lines.
        title_size: their letters' size.
        title_line: their distance.
        cohort: the lines under the headline.
        keys: the legend's rows.
        caption: the lines at the foot.
        left: from the picture's edge to the plot.
        right: from the plot to the picture's edge.
        foot: room for the axis under the plot.
        head: room for words right above the plot.
        data: the rows of all layers.
        said: every sentence of the caption, whether or not there is room for it.
    """

    theme: Theme
    size: Size
    title: tuple[str, ...]
    title_size: float
    title_line: int
    cohort: tuple[str, ...]
    keys: tuple[tuple[Key, ...], ...]
    caption: tuple[str, ...]
    left: float
    right: float
    foot: float
    head: float = 0.0
    data: Rowsets = field(default_factory=Rowsets)
    said: tuple[str, ...] = ()

    @property
    def legend_height(self) -> float:
        """The room of the legend, the words above the plot, and the air around them."""
        return _GAP + self.head + len(self.keys) * _LEGEND_LINE + (_GAP if self.keys else 0)

    @property
    def top(self) -> float:
        """From the picture's upper edge to the plot."""
        words = len(self.title) * self.title_line + 5 + len(self.cohort) * _COHORT_LINE
        return MARGIN + words + self.legend_height

    @property
    def below(self) -> float:
        """From the lowest place of the plot to the picture's lower edge."""
        return self.foot + _GAP + len(self.caption) * _CAPTION_LINE + MARGIN - 8

    @property
    def width(self) -> float:
        """The width of the plot."""
        return self.size.width - self.left - self.right

    @property
    def height(self) -> float:
        """The greatest height of the plot."""
        return self.size.height - self.top - self.below

    def no_higher_than(self, plot: float) -> Sheet:
        """The sheet cut to a plot of this height, where the picture's size sets only its most.

        A tall picture stands in a document: what it does not need is room for the text below it.
        """
        need = math.ceil(self.top + plot + self.below)
        if self.size.bare or self.size.name != "tall" or need >= self.size.height:
            return self
        return replace(self, size=replace(self.size, height=need))

    def title_params(self) -> alt.TitleParams:
        """Headline and cohort, at the sheet's left edge."""
        return alt.TitleParams(
            list(self.title),
            subtitle=list(self.cohort),
            anchor="start",
            frame="group",
            orient="top",
            dx=MARGIN - self.left,
            offset=0,
            fontSize=self.title_size,
            lineHeight=self.title_line,
        )

    def words(self) -> list[alt.Chart]:
        """The layers outside the plot: the caption, and the legend where there is one."""
        caption = [
            placed_text(
                self.data,
                [
                    {"x": MARGIN - self.left, "y": self._caption_y(i), "words": line}
                    for i, line in enumerate(self.caption)
                ],
                color=self.theme.muted,
                size=_CAPTION_SIZE,
            )
        ]
        return [self._sill(), *caption, *(self._legend() if self.keys else [])]

    def finish(self, chart: Chart, *, width: float, height: float) -> Chart:
        """The layers of one plot with their headline, on a sheet of exactly the size asked for.

        Args:
            chart: the layers.
            width: of the plot.
            height: of the plot.
        """
        return self._on_paper(chart, width, height, width=width, height=height)

    def finish_panels(self, chart: Chart, *, width: float = 0.0) -> Chart:
        """Panels with their headline; the sheet's room is all around the first one's corner.

        Args:
            chart: the panels.
            width: of every panel where they stand in one column: Vega then counts it itself.
        """
        return self._on_paper(chart, width, 0.0)

    def _on_paper(self, chart: Chart, across: float, down: float, **own: float) -> Chart:
        # Each step copies the whole chart: the rows come in with the last one.
        done: Chart = chart.configure(**config(self.theme)).properties(
            **own,
            title=self.title_params(),
            padding={
                "left": self.left,
                "top": self.top,
                "right": self.size.width - self.left - across,
                "bottom": self.size.height - self.top - down,
            },
            autosize=alt.AutoSizeParams(type="none"),
            background=self.theme.paper,
            datasets=self.data.datasets,
            usermeta={"caption": list(self.said)},
        )
        return done

    def _sill(self) -> alt.Chart:
        # Vega puts a title on top of whatever is drawn highest: this unseen line is always that.
        ends = [{"x": MARGIN - self.left, "y": 0.5 - self.legend_height, "x_end": 0}]
        line: alt.Chart = (
            self.data.add(ends)
            .mark_rule(stroke=self.theme.paper, strokeWidth=1, clip=False)
            .encode(x=at_x("x"), y=at_y("y"), x2=alt.X2("x_end:Q"))
        )
        return line

    def _caption_y(self, line: int) -> float:
        foot = self.size.height - self.top - MARGIN + 8
        return foot - (len(self.caption) - line - 0.5) * _CAPTION_LINE

    def _legend(self) -> list[alt.Chart]:
        places: list[dict[str, Any]] = []
        for row, keys in enumerate(self.keys):
            x = MARGIN - self.left
            y = -_GAP - self.head - (len(self.keys) - row - 0.5) * _LEGEND_LINE
            for key in keys:
                fill = key.colour if key.filled else self.theme.paper
                places.append(
                    {"x": x + 5, "word_x": x + 17, "y": y, "words": key.word, "shape": key.shape}
                    | {"colour": key.colour, "fill": fill}
                )
                x += _key_width(key)
        base = self.data.add(places)
        shapes = base.mark_point(size=70, strokeWidth=1.8, opacity=1, clip=False).encode(
            x=at_x("x"),
            y=at_y("y"),
            shape=alt.Shape("shape:N", scale=None),
            stroke=alt.Stroke("colour:N", scale=None),
            fill=alt.Fill("fill:N", scale=None),
        )
        texts = base.mark_text(
            align="left", baseline="middle", fontSize=_LEGEND_SIZE, color=self.theme.ink
        ).encode(x=at_x("word_x"), y=at_y("y"), text=alt.Text("words:N"))
        return [shapes, texts]


def sheet(
    answer: Answer,
    theme: Theme,
    size: Size,
    *,
    caption: Iterable[str],
    keys: Sequence[Key] = (),
    left: float = MARGIN,
    right: float = MARGIN,
    foot: float = 44,
    head: float = 0,
) -> Sheet:
    """The sheet of one answer: its headline and cohort wrapped to the width, its caption fitted.

    Args:
        answer: gives headline and cohort.
        theme: the colours.
        size: of the whole picture; a bare one has neither headline nor cohort nor caption.
        caption: sentences, the most needed first; what finds no room is counted, never dropped
            unseen.
        keys: the legend.
        left: room left of the plot, the margin included.
        right: room right of the plot, the margin included.
        foot: room for the axis below the plot.
        head: room for words right above the plot.
    """
    room = size.width - 2 * MARGIN
    headline = safe(answer.headline)
    for letters, line, lines in _TITLE_SIZES:  # noqa: B007
        title = measure.balanced(headline, room, letters, lines=lines, bold=True)
        if not title[-1].endswith("…") or headline.endswith("…"):
            break
    cohort = measure.wrap(safe(answer.cohort), room, _COHORT_SIZE, lines=_COHORT_LINES)
    said = tuple(_sentence(c) for c in caption)
    return Sheet(
        theme=theme,
        size=size,
        title=() if size.bare else tuple(title),
        title_size=letters,
        title_line=line,
        cohort=() if size.bare else tuple(cohort),
        keys=_key_rows(keys, room),
        caption=() if size.bare else _fitted(said, room),
        left=left,
        right=right,
        foot=foot,
        head=head,
        said=said,
    )


def at_x(field: str) -> alt.X:
    """An encoding of a place in chart units, to the right from the plot's left edge."""
    return alt.X(f"{field}:Q", scale=None, axis=None)


def at_y(field: str) -> alt.Y:
    """An encoding of a place in chart units, down from the plot's upper edge."""
    return alt.Y(f"{field}:Q", scale=None, axis=None)


def placed_text(
    data: Rowsets,
    rows: Sequence[Mapping[str, Any]],
    *,
    color: str,
    size: float,
    align: Align = "left",
    bold: bool = False,
) -> alt.Chart:
    """Texts (`words`) at places (`x`, `y`) in chart units; the words are data, never a formula."""
    layer: alt.Chart = (
        data.add(rows)
        .mark_text(
            align=align,
            baseline="middle",
            fontSize=size,
            fontWeight="bold" if bold else "normal",
            color=color,
            clip=False,
        )
        .encode(x=at_x("x"), y=at_y("y"), text=alt.Text("words:N"))
    )
    return layer


def blank(answer: Answer, theme: Theme, size: Size, why: str) -> alt.LayerChart:
    """A sheet that says why there is nothing to draw."""
    page = sheet(answer, theme, size, caption=told(answer)).no_higher_than(_BLANK)
    words = placed_text(
        page.data,
        [{"x": 0, "y": 40, "words": safe(why)}],
        color=theme.muted,
        size=_TITLE_SIZES[1][0],
    )
    layers = alt.LayerChart(layer=[words, *page.words()])
    done = page.finish(layers, width=page.width, height=page.height)
    done.usermeta = {**done.usermeta, "blank": True}
    return done


def _key_width(key: Key) -> float:
    return 17 + measure.width(key.word, _LEGEND_SIZE) + 20


def _key_rows(keys: Sequence[Key], room: float) -> tuple[tuple[Key, ...], ...]:
    rows: list[list[Key]] = []
    used = room + 1
    for key in keys:
        need = _key_width(key)
        if used + need > room:
            rows.append([])
            used = 0
        rows[-1].append(key)
        used += need
    return tuple(tuple(row) for row in rows)


def _sentence(text: str) -> str:
    shown = safe(text).strip()
    shown = shown[:1].upper() + shown[1:]
    return shown if shown.endswith((".", "!", "?", "…", ":")) else shown + "."


def _fitted(sentences: Sequence[str], room: float) -> tuple[str, ...]:
    """As many whole sentences as fit the caption; the last line says how many more there are."""
    for kept in range(len(sentences), 0, -1):
        left = len(sentences) - kept
        text = " ".join(sentences[:kept])
        if left:
            text += f" ({left} more {'note' if left == 1 else 'notes'} with the answer.)"
        lines = measure.wrap(text, room, _CAPTION_SIZE, lines=_CAPTION_LINES + 1)
        if len(lines) <= _CAPTION_LINES or kept == 1:
            return tuple(measure.wrap(text, room, _CAPTION_SIZE, lines=_CAPTION_LINES))
    return ()
