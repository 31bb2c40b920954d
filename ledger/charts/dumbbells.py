"""Two rates on one line with their intervals, and beside it the gain with its own."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import altair as alt

from ledger.charts.axes import difference_x, ends, share_x
from ledger.charts.lines import Lines

Row = dict[str, Any]

# The figures of a line, named as the answer names them.
FIGURES = (
    *("rate_before", "before_low", "before_high", "rate_after", "after_low", "after_high"),
    *("gain", "gain_low", "gain_high"),
)
_STEP = 0.1


def dumbbells(laid: Lines, drawn: Sequence[Row], width: float) -> list[alt.Chart]:
    """Before above, after below, tied to each other; each with its interval.

    Args:
        laid: the lines.
        drawn: the figures, `row`, `row_before`, `row_after`, and the look of what came after.
        width: of the plot.
    """
    theme, data = laid.page.theme, laid.page.data
    values = [r[f] for r in drawn for f in FIGURES[:6] if r[f] is not None]
    domain = ends(values or [0.0, 1.0], _STEP)
    ticks = max(3, int(width // 70))

    def x(field: str) -> alt.X:
        return share_x(field, domain, title="share made, before and after", ticks=ticks)

    pairs = [r for r in drawn if r["rate_before"] is not None and r["rate_after"] is not None]
    ties = (
        data.add(pairs)
        .mark_rule(strokeWidth=1.2, color=theme.muted, opacity=0.6)
        .encode(
            x=x("rate_before"),
            x2=alt.X2("rate_after:Q"),
            y=laid.y("row_before"),
            y2=alt.Y2("row_after:Q"),
        )
    )
    layers = [ties]
    for when, colour in (("before", alt.value(theme.muted)), ("after", _own("colour"))):
        there = [r for r in drawn if r[f"rate_{when}"] is not None and r[f"{when}_low"] is not None]
        layers.append(
            data.add(there)
            .mark_rule(strokeWidth=1.8, strokeCap="round", opacity=0.7)
            .encode(
                x=x(f"{when}_low"),
                x2=alt.X2(f"{when}_high:Q"),
                y=laid.y(f"row_{when}"),
                color=colour,
            )
        )
    return [*layers, *_dots(laid, drawn, x)]


def _dots(laid: Lines, drawn: Sequence[Row], x: Callable[[str], alt.X]) -> list[alt.Chart]:
    """Both rates: the one before hollow and round, the one after filled."""
    theme, data = laid.page.theme, laid.page.data
    size = min(70.0, laid.step * 3.2)
    before = (
        data.add([r for r in drawn if r["rate_before"] is not None])
        .mark_point(
            size=size, strokeWidth=1.6, stroke=theme.muted, fill=theme.paper, shape="circle",
            opacity=1,
        )
        .encode(x=x("rate_before"), y=laid.y("row_before"), tooltip=_hints())
    )  # fmt: skip
    after = (
        data.add([r for r in drawn if r["rate_after"] is not None])
        .mark_point(size=size, strokeWidth=1.6, filled=True, opacity=1)
        .encode(
            x=x("rate_after"),
            y=laid.y("row_after"),
            color=_own("colour"),
            shape=alt.Shape("shape:N", scale=None),
            tooltip=_hints(),
        )
    )
    return [before, after]


def gains(laid: Lines, drawn: Sequence[Row], width: float) -> list[alt.Chart]:
    """The gain of each line with its interval, on a scale that shows where none is.

    Args:
        laid: the lines.
        drawn: as for `dumbbells`.
        width: of the plot.
    """
    theme, data = laid.page.theme, laid.page.data
    judged = [r for r in drawn if all(r[f] is not None for f in FIGURES[6:])]
    domain = ends([0.0, *(r[f] for r in judged for f in FIGURES[6:])], _STEP)
    ticks = max(3, int(width // 55))

    def x(field: str) -> alt.X:
        return difference_x(field, domain, title="more makes per 100", ticks=ticks)

    none = (
        data.add([{"none": 0.0}])
        .mark_rule(strokeWidth=1.4, color=theme.ink, opacity=0.8)
        .encode(x=x("none"), y=alt.value(0), y2=alt.value(laid.height))
    )
    intervals = (
        data.add(judged)
        .mark_rule(strokeCap="round", opacity=0.8)
        .encode(
            x=x("gain_low"),
            x2=alt.X2("gain_high:Q"),
            y=laid.y(),
            color=_own("colour"),
            strokeWidth=alt.StrokeWidth("wide:Q", scale=None),
        )
    )
    dots = (
        data.add(judged)
        .mark_point(size=min(80.0, laid.step * 4), strokeWidth=1.8, opacity=1)
        .encode(
            x=x("gain"),
            y=laid.y(),
            stroke=alt.Stroke("colour:N", scale=None),
            fill=alt.Fill("fill:N", scale=None),
            shape=alt.Shape("shape:N", scale=None),
            tooltip=_hints(),
        )
    )
    return [none, intervals, dots]


def _own(field: str) -> alt.Color:
    return alt.Color(f"{field}:N", scale=None)


def _hints() -> list[alt.Tooltip]:
    return [
        alt.Tooltip("name:N", title="who"),
        alt.Tooltip("when:N", title="since"),
        alt.Tooltip("counts:N", title="made before and after"),
        alt.Tooltip("figure:N", title="more per 100"),
    ]
