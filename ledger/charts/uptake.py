"""Is it growing: shares over seasons with intervals, bounds where only bounds are honest."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import altair as alt

from ledger.charts import caption, measure
from ledger.charts.season_marks import RING, Plot, axis_words, marks
from ledger.charts.seasons import Point, Series, dodge, series_of
from ledger.charts.sheet import Key, Sheet, at_x, at_y, blank, placed_text, sheet
from ledger.charts.theme import MARGIN, Look, Size, Theme, looks
from ledger.questions import wording
from ledger.questions.answer import Answer
from ledger.safe_text import safe

Row = dict[str, Any]

# More lines than this in one plot cannot be told apart: each gets a panel of its own.
TOGETHER = 6
# Nor can intervals that stand closer than this, in chart units.
_LEAST_APART = 6.0
PANELS = {"wide": 12, "square": 12, "tall": 15}
# The least width of a season where the end of a bar can be written beside it.
_FIGURE_ROOM = 44.0
_AXIS_ROOM = 46
_NAME_SIZE, _FIGURE_SIZE, _PANEL_SIZE = 12.5, 11.5, 10.5
# Panels with long names have them in smaller letters before they are cut.
_PANEL_NAMES = (_NAME_SIZE, 11.5, 10.5)
_ROW_GAP, _COLUMN_GAP = 50, 26
# From a name to the next one below it, and what a forecast's line adds.
_NAME_STEP, _LINE_STEP = 34.0, 15.0
_RAISED = "the season that raised the question"
_NOUNS = {"league": "leagues", "team": "teams", "position": "positions"}


def build(
    answer: Answer, theme: Theme, size: Size, *, names: Sequence[str] | None = None
) -> alt.LayerChart | alt.ConcatChart:
    """Lines named at their ends in one plot, or one panel each where there are more than six.

    Args:
        answer: of the question `uptake`.
        theme: the colours.
        size: of the picture.
        names: all names of the ledger, so that colours hold when the cohort narrows.
    """
    rows = answer.main.rows()
    by = str(answer.asked.get("by", "league"))
    by = by if by in _NOUNS else "league"
    called = _called(rows, by)
    forecasts = answer.parts["forecast"].rows() if "forecast" in answer.parts else []
    series = series_of(rows, called, forecasts if by == "league" else [])
    if not series:
        return blank(answer, theme, size, "No season to draw.")
    most = PANELS[size.name]
    shown = series
    if len(series) > most:
        kept = sorted(series, key=lambda s: (-s.attempts, s.name))[:most]
        shown = [s for s in series if s in kept]
    coloured = looks([s.name for s in series], theme, names)
    one = _fits_one(shown, size)
    top = _top(shown, _season_room(shown, size, 0.7 if one else 0.8 / size.columns))
    sentences = caption.sentences(
        f"The {len(shown)} of {len(series)} {_NOUNS[by]} with most attempts."
        if len(shown) < len(series)
        else "",
        *_reading(shown, top, by),
        caption.counted(answer, f"{by}-season"),
        caption.studied(answer),
        caption.source(answer),
        *answer.notes,
    )
    ringed = any(p.raised and p.share is not None for s in shown for p in s.seen)
    page = sheet(
        answer,
        theme,
        size,
        caption=sentences,
        keys=[Key(_RAISED, theme.ink, RING, filled=False)] if ringed else (),
        left=MARGIN + _AXIS_ROOM,
        foot=26,
        head=22 if one else 46,
    )
    if one:
        return _together(page, shown, coloured, top)
    return _panels(page, shown, coloured, top)


def _fits_one(series: list[Series], size: Size) -> bool:
    """Whether the lines can share a plot: few enough, and their intervals stay apart."""
    room = _season_room(series, size, 0.7) / len(series)
    return len(series) == 1 or (len(series) <= TOGETHER and room >= _LEAST_APART)


def _season_room(series: list[Series], size: Size, share: float) -> float:
    """About how wide a season is, in a plot that takes a share of the picture's width."""
    first, last = _span(series)
    return size.width * share / (last - first)


def _called(rows: list[Row], by: str) -> list[str]:
    if by == "league":
        return [safe(str(r.get("league") or "–")) for r in rows]
    several = len({r.get("league") for r in rows}) > 1
    names = []
    for row in rows:
        name = safe(str(row.get(by) or "–"))
        names.append(f"{name}, {safe(str(row.get('league') or '–'))}" if several else name)
    return names


def _together(
    page: Sheet, series: list[Series], coloured: dict[str, Look], top: float
) -> alt.LayerChart:
    ends = [(s.name, _last_words(s, series), _ahead_words(s)) for s in series]
    room = min(page.size.width * 0.24, max(_end_width(*end) for end in ends))
    page = replace(page, right=MARGIN + 30 + room)
    plot = Plot(
        data=page.data,
        theme=page.theme,
        series=tuple(series),
        looks=coloured,
        width=page.width,
        height=page.height,
        span=_span(series),
        top=top,
    )
    layers = [
        *marks(plot),
        axis_words(plot),
        _share_title(page),
        *_ends(plot, ends, room),
        *page.words(),
    ]
    return page.finish(alt.LayerChart(layer=layers), width=page.width, height=page.height)


def _panels(
    page: Sheet, series: list[Series], coloured: dict[str, Look], top: float
) -> alt.ConcatChart:
    lines = math.ceil(len(series) / page.size.columns)
    columns = math.ceil(len(series) / lines)
    width = (page.width - _COLUMN_GAP * (columns - 1)) / columns
    height = (page.height - _ROW_GAP * (lines - 1)) / lines
    span = _span(series)
    plots = [
        Plot(
            data=page.data,
            theme=page.theme,
            series=(one,),
            looks=coloured,
            width=width,
            height=height,
            span=span,
            top=top,
            labelled=place % columns == 0,
            panel=True,
        )
        for place, one in enumerate(series)
    ]
    # All words stand in the first panel: Altair takes its time for every single layer.
    corners = [
        (place % columns * (width + _COLUMN_GAP), place // columns * (height + _ROW_GAP))
        for place in range(len(series))
    ]
    outside = [_share_title(page), *_panel_words(plots, corners), *page.words()]
    panels = [
        alt.LayerChart(layer=[*marks(plot), *(outside if plot is plots[0] else [])]).properties(
            width=width, height=height
        )
        for plot in plots
    ]
    return page.finish_panels(
        alt.ConcatChart(
            concat=panels,
            columns=columns,
            bounds="flush",
            spacing={"row": _ROW_GAP, "column": _COLUMN_GAP},
        )
    )


def _top(series: Sequence[Series], season_room: float) -> float:
    """The upper end of the axis: what the shares and their intervals need.

    Bounds that would press all shares flat run out above it, if their ends can stand there in
    figures; else they count too.
    """
    points = [p for s in series for p in s.points]
    highest = max((p.top for p in points if p.share is not None), default=0.0)
    bounds = max((p.most or 0.0 for p in points if p.bounded), default=0.0)
    if highest == 0 or bounds <= 1.5 * highest or season_room < _FIGURE_ROOM:
        highest = max(highest, bounds)
    steps = 20 if highest <= 0.25 else 10
    return min(1.0, max(0.1, math.ceil(round(highest * steps, 6)) / steps))


def _span(series: Sequence[Series]) -> tuple[float, float]:
    years = [p.year for s in series for p in s.points]
    return min(years) - 0.5, max(years) + 0.5


def _share_title(page: Sheet) -> alt.Chart:
    words = [{"x": MARGIN - page.left, "y": -page.head + 4, "words": "share of attempts"}]
    return placed_text(page.data, words, color=page.theme.muted, size=_FIGURE_SIZE)


def _figure(point: Point) -> str:
    if point.share is not None:
        return caption.figure(None, None, point.share, point.low, point.high)
    if point.bounded and point.least is not None and point.most is not None:
        return wording.between(point.least, point.most)
    return "no share"


def _last_words(one: Series, series: Sequence[Series], *, panel: bool = False) -> str:
    """The last figure, with its season where another season stands further right."""
    last = one.last
    latest = max(p.year for s in series for p in (s.seen if panel else s.points))
    return _figure(last) + (f", {last.season}" if last.year < latest else "")


def _ahead_words(one: Series) -> str:
    return f"forecast {_figure(one.forecast)}" if one.forecast else ""


def _end_width(name: str, *figures: str) -> float:
    widths = (measure.width(figure, _FIGURE_SIZE) for figure in figures)
    return max(measure.width(name, _NAME_SIZE, bold=True), *widths)


def _ends(plot: Plot, ends: list[tuple[str, str, str]], room: float) -> list[alt.Chart]:
    """Names and last figures at the right, moved apart, each tied to the end of its line."""
    theme = plot.theme
    wanted = [plot.y(_end_place(s.end, plot.top)) for s in plot.series]
    # A name stands 7 above its place and its figure 8 below: the last needs 8 more to end inside.
    steps = [_NAME_STEP + (_LINE_STEP if ahead else 0.0) for _, _, ahead in ends]
    lowest = max(range(len(wanted)), key=lambda i: (wanted[i], i))
    places = dodge(wanted, steps, plot.height - (steps[lowest] - _NAME_STEP))
    rows = []
    for one, words, place in zip(plot.series, ends, places, strict=True):
        name, figure, ahead = words
        at = _leader_start(plot, one.end, place)
        rows.append(
            {
                "series": one.name,
                "x": plot.width + 24,
                "x_from": plot.x(one, one.end) + 7,
                "x_to": plot.width + 8,
                "x_mark": plot.width + 15,
                "y_from": at,
                "y": place,
                "y_name": place - 7,
                "y_figure": place + 8,
                "y_ahead": place + 8 + _LINE_STEP,
                "name": measure.cut(name, room, _NAME_SIZE, bold=True),
                "figure": _shortened(figure, room, ", "),
                "ahead": _shortened(ahead, room, " ("),
            }
        )
    base = plot.data.add(rows)
    leaders = base.mark_rule(strokeWidth=1, color=theme.muted, opacity=0.5).encode(
        x=at_x("x_from"), y=at_y("y_from"), x2=alt.X2("x_to:Q"), y2=alt.Y2("y:Q")
    )
    symbols = base.mark_point(size=55, filled=True, opacity=1).encode(
        x=at_x("x_mark"), y=at_y("y_name"), color=plot.colour(), shape=plot.shape()
    )
    names = base.mark_text(
        align="left", baseline="middle", fontSize=_NAME_SIZE, fontWeight="bold", color=theme.ink
    ).encode(x=at_x("x"), y=at_y("y_name"), text=alt.Text("name:N"))
    quiet = [("y_figure", "figure"), *([("y_ahead", "ahead")] if any(e[2] for e in ends) else [])]
    figures = [
        base.mark_text(
            align="left", baseline="middle", fontSize=_FIGURE_SIZE, color=theme.muted
        ).encode(x=at_x("x"), y=at_y(y), text=alt.Text(f"{words}:N"))
        for y, words in quiet
    ]
    return [leaders, symbols, names, *figures]


def _shortened(words: str, room: float, at: str) -> str:
    """The words where they fit, else without what follows the last such sign, else cut."""
    if measure.width(words, _FIGURE_SIZE) > room:
        words = words.rpartition(at)[0] or words
    return measure.cut(words, room, _FIGURE_SIZE)


def _leader_start(plot: Plot, point: Point, place: float) -> float:
    """Where a name is tied: at the point, or level with the name where it is a whole bar."""
    if point.share is not None:
        return plot.y(point.share)
    ends = sorted(plot.y(min(end or 0.0, plot.top)) for end in (point.least, point.most))
    return min(max(place, ends[0]), ends[1])


def _end_place(point: Point, top: float) -> float:
    if point.share is not None:
        return point.share
    return (min(point.least or 0.0, top) + min(point.most or 0.0, top)) / 2


def _panel_words(plots: Sequence[Plot], corners: Sequence[tuple[float, float]]) -> list[alt.Chart]:
    """Name and last figure over each panel; under it the seasons at the ends of the axis."""
    every = [s for plot in plots for s in plot.series]
    letters = _panel_letters(plots, every)
    seasons = sorted({(p.year, p.season) for s in every for p in s.points})
    names: list[Row] = []
    right: list[Row] = []
    left: list[Row] = []
    for plot, (x, y) in zip(plots, corners, strict=True):
        one = plot.series[0]
        figure = _last_words(one, every, panel=True)
        room = plot.width - measure.width(figure, _PANEL_SIZE) - 10
        name = measure.cut(one.name, room, letters, bold=True)
        names.append({"x": x, "y": y - 14, "words": name})
        right.append({"x": x + plot.width, "y": y - 14, "words": figure})
        below = y + plot.height + 14
        left.append({"x": x, "y": below, "words": seasons[0][1]})
        if seasons[-1][0] > seasons[0][0]:
            beside = plot.width - measure.width(seasons[0][1], _PANEL_SIZE) - 10
            words = _last_season(one, seasons[-1][1], beside)
            right.append({"x": x + plot.width, "y": below, "words": words})
    data, theme = plots[0].data, plots[0].theme
    return [
        placed_text(data, names, color=theme.ink, size=letters, bold=True),
        placed_text(data, left, color=theme.muted, size=_PANEL_SIZE),
        placed_text(data, right, color=theme.muted, size=_PANEL_SIZE, align="right"),
    ]


def _panel_letters(plots: Sequence[Plot], every: Sequence[Series]) -> float:
    """The largest letters at which every name stands whole beside its figure, else the smallest."""

    def whole(letters: float) -> bool:
        return all(
            measure.width(one.name, letters, bold=True)
            + measure.width(_last_words(one, every, panel=True), _PANEL_SIZE)
            + 10
            <= plot.width
            for plot in plots
            for one in plot.series
        )

    return next((letters for letters in _PANEL_NAMES if whole(letters)), _PANEL_NAMES[-1])


def _last_season(one: Series, season: str, room: float) -> str:
    """The last season of the axis; where it is ahead, with what is foreseen of this one."""
    if one.forecast is None:
        return season
    share = wording.percent(one.forecast.share or 0.0, caption.WHOLE)
    tries = (_ahead_words(one), f"{season} {share}")
    return next((t for t in tries if measure.width(t, _PANEL_SIZE) <= room), season)


def _reading(series: Sequence[Series], top: float, by: str) -> list[str]:
    points = [p for s in series for p in s.points]
    said = []
    if any(p.ahead for p in points):
        said.append("Dashed: extrapolation; assumes growth to 100 %.")
    if any(p.low is not None for p in points):
        said.append("Upright lines: 95 % intervals.")
    if any(p.bounded for p in points):
        said.append("Pale bars: no share can be given; it lies somewhere inside.")
    if any(p.share is not None and p.low is None for p in points):
        said.append("Hollow points: too few for an interval.")
    if any(p.bounded and (p.most or 0) > top for p in points):
        said.append("A bar that runs out at the top ends at the figure written there.")
    nothing = sum(p.share is None and not p.bounded for p in points)
    if nothing:
        said.append(f"{wording.counted(nothing, f'{by}-season')} without any share: not drawn.")
    if any(len({p.run for p in s.seen}) > 1 for s in series):
        said.append("A line breaks where a season has no share.")
    return said
