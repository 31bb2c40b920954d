"""Editable charts: bars or lines with their intervals, and the figures in a workbook."""

from __future__ import annotations

from math import ceil, floor, log10
from typing import TYPE_CHECKING, Any

from pptx.chart.data import CategoryChartData
from pptx.enum.chart import XL_CHART_TYPE, XL_LEGEND_POSITION, XL_TICK_LABEL_POSITION
from pptx.oxml import parse_xml
from pptx.oxml.ns import qn

from ledger.charts.deck.stage import Box, Stage, points
from ledger.charts.deck.words import colour
from ledger.charts.deck.workbook import workbook

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from ledger.charts.deck.figures import Figures, Line

_C = 'xmlns:c="http://schemas.openxmlformats.org/drawingml/2006/chart"'
_A = 'xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main"'
_ACCENTS = 6


def put_plot(
    slide: Any, stage: Stage, box: Box, figures: Figures, alt: str, day: date | None
) -> None:
    """An editable chart in a room.

    Args:
        slide: where.
        stage: its template.
        box: the room.
        figures: what is drawn.
        alt: the chart in words.
        day: the date of its workbook.
    """
    maker: Any = CategoryChartData
    data = maker(number_format=_format(figures))
    # Names and categories are set from the workbook below, never by the library, which would make
    # a formula of one that looks so.
    data.categories = [f"c{i}" for i, _ in enumerate(figures.categories)]
    for i, line in enumerate(figures.lines):
        data.add_series(f"s{i}", line.values)
    bars = figures.kind == "bars"
    kind = XL_CHART_TYPE.BAR_CLUSTERED if bars else XL_CHART_TYPE.LINE_MARKERS
    frame = slide.shapes.add_chart(kind, box.left, box.top, box.width, box.height, data)
    frame.name = "Chart"
    frame._element.nvGraphicFramePr.cNvPr.set("descr", alt)
    chart = frame.chart
    _named(chart, figures)
    _styled(chart, stage, figures)
    accents = _accents([line.place for line in figures.lines])
    for i, (series, line) in enumerate(zip(chart.plots[0].series, figures.lines, strict=True)):
        _painted(series, f"accent{accents[i]}", bars=bars)
        _limits(series._element, line, _ranges(figures, i))
    chart.part.chart_workbook.update_from_xlsx_blob(workbook(figures, day))


def _accents(places: Sequence[int]) -> list[int]:
    """The template's accents, 1 to 6, by the places of the colours; no two alike while some last.

    The project's own template has the colours of its pictures as accents, as far as those go.
    """
    found = {place: place + 1 for place in places if place < _ACCENTS}
    free = [accent for accent in range(1, _ACCENTS + 1) if accent not in found.values()]
    for place in places:
        if place not in found:
            found[place] = free.pop(0) if free else place % _ACCENTS + 1
    return [found[place] for place in places]


def _named(chart: Any, figures: Figures) -> None:
    """The real names and categories in place of those the chart was made with."""
    for i, line in enumerate(figures.lines):
        series = chart.plots[0].series[i]._element
        for value in series.findall(f"{qn('c:tx')}//{qn('c:v')}"):
            value.text = line.name
        for point in series.findall(f"{qn('c:cat')}//{qn('c:pt')}"):
            point.find(qn("c:v")).text = figures.categories[int(point.get("idx"))]


def _styled(chart: Any, stage: Stage, figures: Figures) -> None:
    bars = figures.kind == "bars"
    chart.font.size = points(stage.letters(11))
    colour(chart.font._rPr, "tx1")
    chart.has_title = False
    chart.has_legend = len(figures.lines) > 1
    if chart.has_legend:
        chart.legend.position = XL_LEGEND_POSITION.BOTTOM
        chart.legend.include_in_layout = False
    names, values = chart.category_axis, chart.value_axis
    names.tick_label_position = XL_TICK_LABEL_POSITION.LOW
    names.has_major_gridlines = False
    names.format.line.fill.background()
    values.has_major_gridlines = True
    values.format.line.fill.background()
    colour(values.major_gridlines.format.line._get_or_add_ln(), "bg2")
    values.tick_labels.number_format = _format(figures)
    values.tick_labels.number_format_is_linked = False
    values.has_title = True
    values.axis_title.text_frame.text = figures.axis
    for run in values.axis_title.text_frame.paragraphs[0].runs:
        run.font.size, run.font.bold = points(stage.letters(11)), False
    values.minimum_scale, values.maximum_scale = _scale(figures)
    if bars:
        names.reverse_order = True
        chart.plots[0].gap_width = 70
        chart.plots[0].vary_by_categories = False
        # With the first bar at the top the scale would stand there too.
        crosses = names._element.getparent().find(f"{qn('c:valAx')}/{qn('c:crosses')}")
        crosses.set("val", "max")
    else:
        for line in chart.plots[0].series:
            line.smooth = False


def _scale(figures: Figures) -> tuple[float, float]:
    """Round ends of a scale that holds 0 and every interval; a library would cut these off."""
    cells = [(*line.values, *line.lows, *line.highs) for line in figures.lines]
    ends = [0.0, *(value for line in cells for value in line if value is not None)]
    low, high = min(ends), max(ends)
    if figures.share:
        return 0.0, min(1.0, max(1, ceil(high * 10)) / 10)
    step = 10.0 ** floor(log10(max(high - low, 1e-9)))
    return floor(low / step) * step, ceil(high / step) * step


def _painted(series: Any, accent: str, *, bars: bool) -> None:
    if bars:
        series.format.fill.solid()
        fill = series._element.find(qn("c:spPr"))
        colour(fill, accent)
        # Pale enough for the lines of the intervals to be seen on it.
        fill.find(f"{qn('a:solidFill')}/{qn('a:schemeClr')}").append(
            parse_xml(f'<a:alpha {_A} val="55000"/>')
        )
        return
    colour(series.format.line._get_or_add_ln(), accent)
    marker = series.marker.format
    marker.fill.solid()
    colour(series._element.find(f"{qn('c:marker')}/{qn('c:spPr')}"), accent)
    colour(marker.line._get_or_add_ln(), accent)


def _limits(series: Any, line: Line, ranges: tuple[str, str]) -> None:
    """The ends of the intervals, each category its own, taken from the workbook's cells."""
    if all(low is None for low in line.lows):
        return
    down = [_apart(v, low) for v, low in zip(line.values, line.lows, strict=True)]
    up = [_apart(high, v) for v, high in zip(line.values, line.highs, strict=True)]
    direction = '<c:errDir val="y"/>' if series.find(qn("c:marker")) is not None else ""
    bars = parse_xml(
        f'<c:errBars {_C} {_A}>{direction}<c:errBarType val="both"/><c:errValType val="cust"/>'
        f'<c:noEndCap val="0"/>{_amounts("plus", up, ranges[1])}'
        f"{_amounts('minus', down, ranges[0])}"
        '<c:spPr><a:ln w="15875"><a:solidFill><a:schemeClr val="tx1"/></a:solidFill></a:ln>'
        "</c:spPr></c:errBars>"
    )
    series.find(qn("c:cat")).addprevious(bars)


def _amounts(name: str, amounts: Sequence[float | None], cells: str) -> str:
    points_ = "".join(
        f'<c:pt idx="{i}"><c:v>{amount!r}</c:v></c:pt>'
        for i, amount in enumerate(amounts)
        if amount is not None
    )
    return (
        f"<c:{name}><c:numRef><c:f>{cells}</c:f><c:numCache><c:formatCode>General</c:formatCode>"
        f'<c:ptCount val="{len(amounts)}"/>{points_}</c:numCache></c:numRef></c:{name}>'
    )


def _apart(upper: float | None, lower: float | None) -> float | None:
    return None if upper is None or lower is None else max(0.0, upper - lower)


def _ranges(figures: Figures, line: int) -> tuple[str, str]:
    """The workbook's cells of the distances down and up."""
    first = 2 + len(figures.lines) + 4 * line + 2
    last = len(figures.categories) + 1
    columns = [_letters(first), _letters(first + 1)]
    return tuple(f"Sheet1!${c}$2:${c}${last}" for c in columns)  # type: ignore[return-value]


def _letters(column: int) -> str:
    name = ""
    while column:
        column, rest = divmod(column - 1, 26)
        name = chr(65 + rest) + name
    return name


def _format(figures: Figures) -> str:
    return "0%" if figures.share else "0.0"
