"""Points a season of gains that somebody assumed, where nothing can be predicted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import altair as alt

from ledger.charts import caption
from ledger.charts.axes import signed_x
from ledger.charts.lines import Lines
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
from ledger.charts.sheet import Key, sheet
from ledger.charts.theme import Size, Theme
from ledger.questions import wording
from ledger.questions.answer import Answer

Row = dict[str, Any]
Who = tuple[Any, Any]

_SHAPES = ("circle", "square", "triangle-up", "diamond", "cross")


def build(
    answer: Answer, theme: Theme, size: Size, every: Sequence[Row], assumed: Sequence[Row]
) -> alt.LayerChart:
    """A shape for each gain, no interval, and none pretended.

    Args:
        answer: of the question `candidates`.
        theme: the colours.
        size: of the picture.
        every: the answer's rows.
        assumed: its rows of assumed gains, those with points.
    """
    gains = sorted({row["gain"] for row in assumed})[: len(_SHAPES)]
    names = list(dict.fromkeys(_who(row) for row in assumed))
    shown = names[: int(size.rows * PART)]
    drawn = [
        {
            "row": shown.index(_who(row)) + 0.5,
            "name": player(row),
            "points": row["points_per_season"],
            "figure": wording.amount(row["points_per_season"]),
            "season": season(row),
            "shape": _SHAPES[gains.index(row["gain"])],
        }
        for row in assumed
        if _who(row) in shown and row["gain"] in gains
    ]
    page = sheet(
        answer,
        theme,
        size,
        keys=[_key(gain, shape, theme) for gain, shape in zip(gains, _SHAPES, strict=False)],
        foot=46,
        caption=caption.told(
            answer,
            caption.first_of(len(shown), len(names), "players"),
            "No prediction: the gains are assumed, so nothing here has an interval.",
            counted(every),
        ),
    )
    figures = [
        ", ".join(d["figure"] for d in drawn if d["row"] == place + 0.5)
        for place in range(len(shown))
    ]
    laid = laid_out(page, [_of(name, every, assumed) for name in shown], figures)
    page = laid.page
    layers = [
        laid.guides(range(len(shown)), page.width),
        *_marks(laid, drawn, len(shown)),
        *laid.words(),
        *page.words(),
    ]
    return page.finish(alt.LayerChart(layer=layers), width=page.width, height=laid.height)


def _key(gain: float, shape: str, theme: Theme) -> Key:
    more = wording.signed(gain).removeprefix("+")
    return Key(f"if he made {more} more per 100", theme.states["adopter"], shape, filled=False)


def _who(row: Row) -> Who:
    return row.get("player"), row.get("league")


def _of(name: Who, every: Sequence[Row], assumed: Sequence[Row]) -> Row:
    """The row of a player, with his team where the answer tells it."""
    return next((row for row in (*every, *assumed) if _who(row) == name), {})


def _marks(laid: Lines, drawn: Sequence[Row], lines: int) -> list[alt.Chart]:
    page, theme = laid.page, laid.page.theme
    both = domain([row["points"] for row in drawn])

    def x(field: str) -> alt.X:
        title = "points a season more, if the gain were so"
        return signed_x(field, both, title=title, ticks=max(3, int(page.width // 70)))

    dots = (
        page.data.add(drawn)
        .mark_point(
            size=min(110.0, laid.step * 5),
            strokeWidth=2,
            stroke=theme.states["adopter"],
            fill=theme.paper,
            opacity=1,
        )
        .encode(x=x("points"), y=laid.y(), shape=alt.Shape("shape:N", scale=None), tooltip=hints())
    )
    return [nothing_gained(laid, x, lines), dots]
