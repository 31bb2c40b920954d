"""What is drawn of shares over seasons: bounds, bands, lines, intervals, points, a forecast."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from ledger.charts import caption
from ledger.charts.axes import share_y
from ledger.charts.rowsets import Rowsets
from ledger.charts.seasons import Point, Series, season_labels
from ledger.charts.sheet import placed_text
from ledger.charts.theme import Look, Theme
from ledger.questions import wording

_LABEL_SIZE = 11.5
# The ring around the season that raised the question, and how much larger it is than the point.
RING = "circle"
_RINGED = 4.0
# Pale beside a line, and still to be seen on the paper in grey.
_PALE = 0.5
# A band behind each line is readable for so many lines in one plot.
_BANDS = 2


@dataclass(frozen=True, slots=True)
class Plot:
    """One plot of seasons against shares.

    Attributes:
        data: the rows of all layers of the picture.
        theme: the colours.
        series: the lines.
        looks: colour and shape by name, for all series of the picture.
        width: of the plot.
        height: of the plot.
        span: both ends of the axis of years.
        top: the upper end of the axis of shares, which begins at 0.
        labelled: whether the axis of shares has its labels.
        panel: whether it is one of several: fewer words on its axes.
    """

    data: Rowsets
    theme: Theme
    series: tuple[Series, ...]
    looks: dict[str, Look]
    width: float
    height: float
    span: tuple[float, float]
    top: float
    labelled: bool = True
    panel: bool = False

    def year(self, series: Series, point: Point) -> float:
        """The place on the axis of years: series stand side by side within a season."""
        count = len(self.series)
        if count == 1:
            return point.year
        per_year = self.width / (self.span[1] - self.span[0])
        step = min(9.0 / per_year, 0.6 / count)
        return point.year + (self.series.index(series) - (count - 1) / 2) * step

    @property
    def room(self) -> float:
        """The width of a season for each series, in chart units."""
        return self.width / (self.span[1] - self.span[0]) / len(self.series)

    def x(self, series: Series, point: Point) -> float:
        """The same place in chart units from the plot's left edge."""
        return self.place(self.year(series, point))

    def place(self, year: float) -> float:
        """A year's place in chart units from the plot's left edge."""
        return (year - self.span[0]) / (self.span[1] - self.span[0]) * self.width

    def y(self, share: float) -> float:
        """The place of a share in chart units from the plot's upper edge."""
        return (1 - share / self.top) * self.height

    def colour(self) -> alt.Color:
        """An encoding of the series by colour, its domain that of the whole picture."""
        return alt.Color("series:N", scale=self.scale("colour"), legend=None)

    def shape(self) -> alt.Shape:
        """An encoding of the series by shape."""
        return alt.Shape("series:N", scale=self.scale("shape"), legend=None)

    def scale(self, what: str) -> alt.Scale:
        """The scale of `colour` or `shape`, the same in every plot of the picture."""
        names = list(self.looks)
        return alt.Scale(domain=names, range=[getattr(self.looks[n], what) for n in names])


def marks(plot: Plot) -> list[alt.Chart]:
    """The layers of a plot, the lowest first; layers without anything to show are left out."""
    rows = [_row(plot, s, p) for s in plot.series for p in s.points]
    played = [r for r in rows if not r["ahead"]]
    drawn = [r for r in played if r["share"] is not None]
    bounded = [r for r in played if r["bounded"]]
    ranged = [r for r in rows if r["share"] is not None and r["low"] is not None]
    x = alt.X("year:Q", scale=alt.Scale(domain=list(plot.span), nice=False, zero=False), axis=None)
    layers = [_ground(plot, x)]
    if bounded:
        layers += [_bounds(bounded, plot, x), *_ends_above(bounded, plot)]
    if len(plot.series) <= _BANDS and ranged:
        layers.append(_band([r for r in ranged if not r["ahead"]], plot, x))
    layers += [_lines(drawn, plot, x), *_forecasts(plot, x)]
    for ahead, dash in ((False, [1.0, 0.0]), (True, [4.0, 3.0])):
        spans = [r for r in ranged if r["ahead"] == ahead]
        if spans:
            layers.append(_intervals(spans, plot, x, dash))
    layers.append(_points([r for r in rows if r["share"] is not None], plot, x))
    ringed = [r for r in drawn if r["raised"]]
    if ringed:
        layers.append(_rings(ringed, plot, x))
    return layers


def axis_words(plot: Plot) -> alt.Chart:
    """The seasons' names under the plot."""
    rows = [
        {"x": plot.place(year), "y": plot.height + 14, "words": words}
        for year, words in season_labels(plot.series, plot.width, plot.span, _LABEL_SIZE)
    ]
    color = plot.theme.muted
    return placed_text(plot.data, rows, color=color, size=_LABEL_SIZE, align="center")


def _row(plot: Plot, series: Series, point: Point) -> dict[str, Any]:
    if point.share is not None:
        said = caption.figure(None, None, point.share, point.low, point.high)
    else:
        said = point.why or "no share"
    bounds = ""
    if point.least is not None and point.most is not None:
        bounds = wording.between(point.least, point.most)
    hollow = point.ahead or point.low is None
    return {
        "series": series.name,
        "line": f"{plot.series.index(series)}/{point.run}",
        "year": plot.year(series, point),
        "season": point.season,
        "share": point.share,
        "low": point.low,
        "high": point.high,
        "least": point.least,
        "most": point.most,
        "said": said,
        "bounds": bounds,
        "watched": f"{point.tagged:,} of {point.attempts:,}" if not point.ahead else "none yet",
        "ahead": point.ahead,
        "bounded": point.bounded,
        "raised": point.raised,
        "fill": plot.theme.paper if hollow else plot.looks[series.name].colour,
    }


def _y(field: str, plot: Plot) -> alt.Y:
    ticks: int | list[float] = max(2, min(6, int(plot.height // 45)))
    if plot.panel:
        ticks = [0, plot.top / 2, plot.top]
    return share_y(field, plot.top, ticks=ticks, labels=plot.labelled)


def _slim(plot: Plot, rows: Sequence[dict[str, Any]], *fields: str) -> alt.Chart:
    """A chart on the rows with the fields it draws and no others."""
    return plot.data.add([{"series": r["series"], **{f: r[f] for f in fields}} for r in rows])


def _hints() -> list[alt.Tooltip]:
    return [
        alt.Tooltip("series:N", title="who"),
        alt.Tooltip("season:N", title="season"),
        alt.Tooltip("said:N", title="share"),
        alt.Tooltip("bounds:N", title="at least, at most"),
        alt.Tooltip("watched:N", title="watched"),
    ]


def _ground(plot: Plot, x: alt.X) -> alt.Chart:
    """The line at 0 that the shares stand on; it also holds the axis where nothing else does."""
    layer: alt.Chart = (
        plot.data.add([{"year": plot.span[0], "end": plot.span[1], "zero": 0}])
        .mark_rule(strokeWidth=1.2, color=plot.theme.muted, opacity=0.7)
        .encode(x=x, x2=alt.X2("end:Q"), y=_y("zero", plot))
    )
    return layer


def _bounds(rows: Sequence[dict[str, Any]], plot: Plot, x: alt.X) -> alt.Chart:
    wide = min(9.0 if len(plot.series) == 1 else 6.0, 0.7 * plot.room)
    layer: alt.Chart = (
        _slim(plot, rows, "year", "least", "most", "season", "said", "bounds", "watched")
        .mark_rule(strokeWidth=wide, opacity=_PALE, clip=True)
        .encode(
            x=x, y=_y("least", plot), y2=alt.Y2("most:Q"), color=plot.colour(), tooltip=_hints()
        )
    )
    return layer


def _ends_above(rows: Sequence[dict[str, Any]], plot: Plot) -> list[alt.Chart]:
    """The ends of bars that run out at the top, in figures, those of one season one by one."""
    stands: Counter[str] = Counter()
    words = []
    for row in rows:
        if row["most"] > plot.top:
            y = 8 + 13 * stands[row["season"]]
            stands[row["season"]] += 1
            said = f"to {wording.percent(row['most'], caption.WHOLE)}"
            words.append({"x": plot.place(row["year"]) + 7, "y": y, "words": said})
    if not words:
        return []
    return [placed_text(plot.data, words, color=plot.theme.muted, size=_LABEL_SIZE - 1)]


def _band(rows: Sequence[dict[str, Any]], plot: Plot, x: alt.X) -> alt.Chart:
    layer: alt.Chart = (
        _slim(plot, rows, "line", "year", "low", "high")
        .mark_area(opacity=0.14, line=False)
        .encode(
            x=x,
            y=_y("low", plot),
            y2=alt.Y2("high:Q"),
            color=plot.colour(),
            detail=alt.Detail("line:N"),
        )
    )
    return layer


def _lines(rows: Sequence[dict[str, Any]], plot: Plot, x: alt.X) -> alt.Chart:
    layer: alt.Chart = (
        _slim(plot, rows, "line", "year", "share")
        .mark_line(strokeWidth=2.2, opacity=0.95)
        .encode(x=x, y=_y("share", plot), color=plot.colour(), detail=alt.Detail("line:N"))
    )
    return layer


def _forecasts(plot: Plot, x: alt.X) -> list[alt.Chart]:
    rows = []
    for one in plot.series:
        ahead = next((p for p in one.points if p.ahead), None)
        if ahead is None or one.last.share is None:
            continue
        rows += [_row(plot, one, point) | {"line": "ahead"} for point in (one.last, ahead)]
    if not rows:
        return []
    return [
        _slim(plot, rows, "line", "year", "share")
        .mark_line(strokeWidth=2, strokeDash=[5, 4], opacity=0.95)
        .encode(x=x, y=_y("share", plot), color=plot.colour(), detail=alt.Detail("line:N"))
    ]


def _intervals(
    rows: Sequence[dict[str, Any]], plot: Plot, x: alt.X, dash: list[float]
) -> alt.Chart:
    # Many seasons or many lines: thinner, so that neighbours stay apart.
    layer: alt.Chart = (
        _slim(plot, rows, "year", "low", "high")
        .mark_rule(strokeWidth=max(1.0, min(2.0, plot.room / 6)), strokeDash=dash, opacity=0.6)
        .encode(
            x=x,
            y=_y("low", plot),
            y2=alt.Y2("high:Q"),
            color=plot.colour(),
        )
    )
    return layer


def _points(rows: Sequence[dict[str, Any]], plot: Plot, x: alt.X) -> alt.Chart:
    layer: alt.Chart = (
        _slim(plot, rows, "year", "share", "fill", "season", "said", "bounds", "watched")
        .mark_point(size=_point_size(plot), strokeWidth=1.6, opacity=1)
        .encode(
            x=x,
            y=_y("share", plot),
            stroke=alt.Stroke("series:N", scale=plot.scale("colour"), legend=None),
            fill=alt.Fill("fill:N", scale=None),
            shape=plot.shape(),
            tooltip=_hints(),
        )
    )
    return layer


def _rings(rows: Sequence[dict[str, Any]], plot: Plot, x: alt.X) -> alt.Chart:
    layer: alt.Chart = (
        _slim(plot, rows, "year", "share", "season")
        .mark_point(
            size=_point_size(plot) * _RINGED,
            shape=RING,
            filled=False,
            stroke=plot.theme.ink,
            strokeWidth=1.4,
            opacity=1,
        )
        .encode(x=x, y=_y("share", plot))
    )
    return layer


def _point_size(plot: Plot) -> float:
    return max(14.0, min(60.0, plot.room * 4))
