"""Rows of dots with intervals on one scale: the picture of a ranking, and of who does it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import altair as alt

from ledger.charts import measure
from ledger.charts.axes import share_x
from ledger.charts.sheet import Align, Key, Sheet
from ledger.charts.theme import MARGIN, SETTLED, STATE_SHAPES, STATE_WORDS, Theme

_STEP = 42.0
_SPACE = 12
# The least part of the picture's width that stays for the plot.
_PLOT_SHARE = 0.34
# So little is no scale any more, as on a telephone: then the remarks leave too.
_LEAST_SHARE = 0.2


@dataclass(frozen=True, slots=True)
class Dot:
    """One row: words at the left, a dot with its interval, words at the right.

    Attributes:
        place: the rank as shown, or empty.
        name: whose row it is.
        second: a quieter word beside the name, or empty.
        value: where the dot stands, a share, or None where no figure can be given.
        low: the interval's lower end, or None.
        high: its upper end, or None.
        tick: a second figure drawn as a small upright line, or None.
        state: decides shape and colour; None for rows without one.
        figure: the figure in words.
        remark: words at the far right.
    """

    place: str
    name: str
    second: str
    value: float | None
    low: float | None
    high: float | None
    tick: float | None
    state: str | None
    figure: str
    remark: str


@dataclass(frozen=True, slots=True)
class Group:
    """Rows that belong together, under a heading or none."""

    heading: str
    dots: tuple[Dot, ...]


@dataclass(frozen=True, slots=True)
class _Columns:
    """The columns of words beside the plot: where each begins, from the plot's left edge."""

    place: float
    name: float
    name_room: float
    second: float
    second_room: float
    figure: float
    remark: float
    remark_room: float
    letters: float


def state_keys(states: set[str], theme: Theme) -> tuple[Key, ...]:
    """The legend of the states that occur, in their usual order."""
    return tuple(
        Key(word, theme.states[state], STATE_SHAPES[state], filled=state in SETTLED)
        for state, word in STATE_WORDS.items()
        if state in states
    )


def draw_dots(
    page: Sheet, groups: Sequence[Group], *, domain: tuple[float, float], axis_title: str
) -> alt.LayerChart:
    """The rows on their sheet.

    Args:
        page: the sheet; its room left and right is set here, to fit the words.
        groups: the rows, from the top; a group with a heading takes one row more.
        domain: both ends of the scale, in shares; must hold every interval.
        axis_title: what the scale measures.
    """
    lines = sum(len(g.dots) + bool(g.heading) for g in groups)
    step = min(_STEP, page.height / max(lines, 1))
    page, columns = _columns(page, [d for g in groups for d in g.dots], step)
    height = step * lines
    page = page.no_higher_than(height)
    rows, headings = _rows(groups, columns, page.theme)
    base = page.data.add(rows)
    y = alt.Y("row:Q", scale=alt.Scale(domain=[0, lines], reverse=True, nice=False), axis=None)
    layers = [
        _guides(base, y, page),
        *_marks(rows, y, page, domain, axis_title, step),
        *_words(base, y, columns, page.theme),
    ]
    if headings:
        layers.append(_headings(headings, y, columns, page))
    chart = alt.LayerChart(layer=[*layers, *page.words()])
    return page.finish(chart, width=page.width, height=height)


def _columns(page: Sheet, dots: Sequence[Dot], step: float) -> tuple[Sheet, _Columns]:
    letters = max(8.5, min(13.0, step * 0.66))
    total = page.size.width

    def widest(texts: list[str], most: float) -> float:
        return min(most, max((measure.width(t, letters) for t in texts), default=0.0) + 1)

    place = widest([d.place for d in dots], 50)
    name = widest([d.name for d in dots], total * 0.24)
    second = widest([d.second for d in dots], total * 0.15)
    figure = widest([d.figure for d in dots], total)
    remark = widest([d.remark for d in dots], total * 0.20)

    def room(*widths: float) -> float:
        return MARGIN + sum(w + _SPACE for w in widths if w > 1)

    # The quieter words give way before the plot becomes too narrow to compare anything.
    if total - room(place, name, second, figure, remark) - MARGIN < total * _PLOT_SHARE:
        second = 0.0
    if total - room(place, name, second, figure, remark) - MARGIN < total * _LEAST_SHARE:
        remark = 0.0
    left, right = room(place, name, second), room(figure, remark) - 8
    page = replace(page, left=left, right=right)
    start = MARGIN - left
    name_at = start + (place + _SPACE if place > 1 else 0)
    figure_at = page.width + _SPACE
    return page, _Columns(
        place=name_at - _SPACE,
        name=name_at,
        name_room=name,
        second=name_at + name + _SPACE,
        second_room=second,
        figure=figure_at,
        remark_room=remark,
        remark=figure_at + (figure + _SPACE if figure > 1 else 0),
        letters=letters,
    )


def _rows(
    groups: Sequence[Group], columns: _Columns, theme: Theme
) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    rows: list[dict[str, Any]] = []
    headings: list[dict[str, Any]] = []
    line = 0.5
    for group in groups:
        if group.heading:
            headings.append({"row": line, "words": group.heading})
            line += 1
        for dot in group.dots:
            colour = theme.states.get(dot.state or "", theme.ink)
            rows.append(
                {
                    "row": line,
                    "place": dot.place,
                    "name": dot.name,
                    "second": dot.second,
                    "name_cut": measure.cut(dot.name, columns.name_room, columns.letters),
                    "second_cut": measure.cut(dot.second, columns.second_room, columns.letters)
                    if columns.second_room > 1
                    else "",
                    "remark_cut": measure.cut(dot.remark, columns.remark_room, columns.letters)
                    if columns.remark_room > 1
                    else "",
                    "value": dot.value,
                    "low": dot.low,
                    "high": dot.high,
                    "tick": dot.tick,
                    "state": dot.state or "plain",
                    "said": STATE_WORDS.get(dot.state or "", "–"),
                    "colour": colour,
                    "fill": colour if (dot.state or "not") in SETTLED else theme.paper,
                    "figure": dot.figure,
                    "remark": dot.remark,
                }
            )
            line += 1
    return rows, headings


def _guides(base: alt.Chart, y: alt.Y, page: Sheet) -> alt.Chart:
    layer: alt.Chart = base.mark_rule(color=page.theme.grid, strokeWidth=1).encode(
        y=y, x=alt.value(0), x2=alt.value(page.width)
    )
    return layer


def _marks(
    rows: list[dict[str, Any]],
    y: alt.Y,
    page: Sheet,
    domain: tuple[float, float],
    axis_title: str,
    step: float,
) -> list[alt.Chart]:
    theme = page.theme

    def x(field: str) -> alt.X:
        return share_x(field, domain, title=axis_title, ticks=max(3, int(page.width // 80)))

    hints = _hints()
    colour = alt.Color("colour:N", scale=None)
    intervals = (
        page.data.add([r for r in rows if r["low"] is not None and r["high"] is not None])
        .mark_rule(strokeWidth=2.2, strokeCap="round", opacity=0.75)
        .encode(x=x("low"), x2=alt.X2("high:Q"), y=y, color=colour, tooltip=hints)
    )
    dots = (
        page.data.add([r for r in rows if r["value"] is not None])
        .mark_point(size=min(90.0, step * 5), strokeWidth=1.8, opacity=1)
        .encode(
            x=x("value"),
            y=y,
            stroke=alt.Stroke("colour:N", scale=None),
            fill=alt.Fill("fill:N", scale=None),
            shape=_shape(),
            tooltip=hints,
        )
    )
    ticked = [r for r in rows if r["tick"] is not None]
    if not ticked:
        return [intervals, dots]
    ticks = (
        page.data.add(ticked)
        .mark_tick(orient="vertical", size=min(12.0, step * 0.6), thickness=1.4, opacity=0.9)
        .encode(x=x("tick"), y=y, color=alt.value(theme.muted))
    )
    return [intervals, ticks, dots]


def _hints() -> list[alt.Tooltip]:
    return [
        alt.Tooltip("name:N", title="who"),
        alt.Tooltip("second:N", title="where"),
        alt.Tooltip("figure:N", title="figure"),
        alt.Tooltip("said:N", title="technique"),
        alt.Tooltip("remark:N", title="also"),
    ]


def _shape() -> alt.Shape:
    """The state by its shape; rows without any state are plain."""
    shapes = {**STATE_SHAPES, "plain": "circle"}
    scale = alt.Scale(domain=list(shapes), range=list(shapes.values()))
    return alt.Shape("state:N", scale=scale, legend=None)


def _words(base: alt.Chart, y: alt.Y, columns: _Columns, theme: Theme) -> list[alt.Chart]:
    letters = columns.letters

    def column(field: str, at: float, colour: str, align: Align = "left") -> alt.Chart:
        words: alt.Chart = base.mark_text(
            align=align, baseline="middle", fontSize=letters, color=colour, clip=False
        ).encode(x=alt.value(at), y=y, text=alt.Text(f"{field}:N"))
        return words

    return [
        column("place", columns.place, theme.muted, "right"),
        column("name_cut", columns.name, theme.ink),
        column("second_cut", columns.second, theme.muted),
        column("figure", columns.figure, theme.ink),
        column("remark_cut", columns.remark, theme.muted),
    ]


def _headings(
    headings: list[dict[str, Any]], y: alt.Y, columns: _Columns, page: Sheet
) -> alt.Chart:
    layer: alt.Chart = (
        page.data.add(headings)
        .mark_text(
            align="left",
            baseline="middle",
            fontSize=columns.letters,
            fontWeight="bold",
            color=page.theme.ink,
            clip=False,
        )
        .encode(x=alt.value(columns.name), y=y, text=alt.Text("words:N"))
    )
    return layer
