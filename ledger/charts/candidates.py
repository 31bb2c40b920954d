"""Who should try it: points a season that a player would gain, with what is not ruled out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import altair as alt

from ledger.charts import assumed_gains, caption
from ledger.charts.axes import signed_x
from ledger.charts.lines import Heading, Lines
from ledger.charts.point_lines import (
    PART,
    counted,
    domain,
    hints,
    laid_out,
    nothing_gained,
    player,
    season,
)
from ledger.charts.sheet import Key, blank, sheet
from ledger.charts.theme import Size, Theme
from ledger.questions import wording
from ledger.questions.answer import Answer
from ledger.safe_text import safe

Row = dict[str, Any]

_FIGURES = ("points_per_season", "points_low", "points_high", "points_low_80", "points_high_80")
_WITHOUT = "No prediction"


def build(answer: Answer, theme: Theme, size: Size) -> alt.LayerChart:
    """Players in the answer's order with both intervals; those without a figure say why below.

    Where nothing can be predicted but gains were assumed, the points of those gains are drawn.
    """
    every = answer.main.rows()
    told = [row for row in every if row.get("points_per_season") is not None]
    assumed = answer.parts["assumed"].rows() if "assumed" in answer.parts else []
    assumed = [row for row in assumed if row.get("points_per_season") is not None]
    if not told and not assumed:
        why = next((str(row["why"]) for row in every if row.get("why")), "no list was named")
        return blank(answer, theme, size, f"No points to draw: {why}.")
    if not told:
        return assumed_gains.build(answer, theme, size, every, assumed)
    without = [row for row in every if row.get("points_per_season") is None]
    most = int(size.rows * PART)
    shown = told[: most - bool(without) - min(len(without), most // 3)]
    rest = without[: most - len(shown) - 1]
    page = sheet(
        answer,
        theme,
        size,
        keys=_keys(theme),
        foot=46,
        caption=caption.told(
            answer,
            caption.first_of(len(shown), len(told), "players with a figure"),
            caption.first_of(len(rest), len(without), "players without"),
            counted(every),
            "Points are makes gained over the attempts of a season.",
        ),
    )
    rows = [*shown, *([None] if rest else []), *rest]
    figures = [*(_figure(row) for row in shown), *[""] * (len(rows) - len(shown))]
    laid = laid_out(page, rows, figures)
    reasons = {place: _figure(row) for place, row in enumerate(rows) if place > len(shown)}
    drawn = [_drawn(row, place) for place, row in enumerate(shown)]
    headings = [Heading(len(shown), _WITHOUT)] if rest else []
    layers = [
        laid.guides(range(len(shown)), laid.page.width),
        *_marks(laid, drawn),
        *laid.words(headings),
        *laid.across(reasons),
        *laid.page.words(),
    ]
    return laid.page.finish(alt.LayerChart(layer=layers), width=laid.page.width, height=laid.height)


def _keys(theme: Theme) -> tuple[Key, ...]:
    return (
        Key("likeliest", theme.states["adopter"], "circle", filled=False),
        Key("thick: 80 % interval, thin: 95 %", theme.states["adopter"], "stroke"),
    )


def _figure(row: Row | None) -> str:
    if row is None:
        return ""
    if row.get("points_per_season") is None:
        return safe(str(row.get("why") or "–"))
    ends_ = row.get("points_low"), row.get("points_high")
    return wording.amount(row["points_per_season"], *ends_)


def _drawn(row: Row, place: int) -> Row:
    return {name: row.get(name) for name in _FIGURES} | {
        "row": place + 0.5,
        "name": player(row),
        "figure": _figure(row),
        "season": season(row),
    }


def _marks(laid: Lines, drawn: Sequence[Row]) -> list[alt.Chart]:
    page, theme = laid.page, laid.page.theme
    both = domain([row[f] for row in drawn for f in _FIGURES if row[f] is not None])
    colour = theme.states["adopter"]

    def x(field: str) -> alt.X:
        title = "points a season more, or fewer"
        return signed_x(field, both, title=title, ticks=max(3, int(page.width // 70)))

    layers = [nothing_gained(laid, x, len(drawn))]
    for low, high, thick in (
        ("points_low", "points_high", 2.0),
        ("points_low_80", "points_high_80", min(7.0, laid.step * 0.3)),
    ):
        there = [row for row in drawn if row[low] is not None and row[high] is not None]
        layers.append(
            page.data.add(there)
            .mark_rule(strokeWidth=thick, color=colour, opacity=0.75)
            .encode(x=x(low), x2=alt.X2(f"{high}:Q"), y=laid.y(), tooltip=hints())
        )
    layers.append(
        page.data.add(drawn)
        .mark_point(
            size=min(110.0, laid.step * 5),
            strokeWidth=2,
            shape="circle",
            fill=theme.paper,
            stroke=colour,
            opacity=1,
        )
        .encode(x=x("points_per_season"), y=laid.y(), tooltip=hints())
    )
    return layers
