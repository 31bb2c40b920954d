"""Who should try it: points a season that a player would gain, with what is not ruled out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import altair as alt

from ledger.charts import caption
from ledger.charts.axes import ends, signed_x
from ledger.charts.lines import Heading, Lines, Words, lined
from ledger.charts.sheet import Key, blank, sheet
from ledger.charts.theme import Size, Theme
from ledger.questions import wording
from ledger.questions.answer import Answer
from ledger.safe_text import safe

Row = dict[str, Any]

# The part of a picture's lines that have room for two intervals each.
_PART = 0.75
_STEPS = (0.5, 1, 2, 5, 10, 20, 50, 100)
_FIGURES = ("points_per_season", "points_low", "points_high", "points_low_80", "points_high_80")
_SHAPES = ("circle", "square", "triangle-up", "diamond", "cross")
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
        return _assumed(answer, theme, size, every, assumed)
    without = [row for row in every if row.get("points_per_season") is None]
    most = int(size.rows * _PART)
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
            _counted(every),
            "Points are makes gained over the attempts of a season.",
        ),
    )
    rows = [*shown, *([None] if rest else []), *rest]
    figures = [*(_figure(row) for row in shown), *[""] * (len(rows) - len(shown))]
    laid = _laid(page, rows, figures)
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


def _counted(rows: Sequence[Row]) -> str:
    attempts = sum(int(row.get("attempts") or 0) for row in rows)
    return f"{wording.counted(len(rows), 'player')} with {wording.counted(attempts, 'attempt')}."


def _laid(page: Any, rows: Sequence[Row | None], figures: Sequence[str]) -> Lines:
    def texts(make: Any) -> tuple[str, ...]:
        return tuple(make(row) if row else "" for row in rows)

    return lined(
        page,
        [
            Words(texts(_name), most=0.26),
            Words(texts(_team), most=0.16, quiet=True, leaves=2),
            Words(texts(_season), most=0.2, quiet=True, leaves=1),
        ],
        [Words(tuple(figures), most=0.3)],
    )


def _name(row: Row) -> str:
    return safe(str(row.get("player") or "–"))


def _team(row: Row) -> str:
    return safe(str(row.get("team") or row.get("league") or ""))


def _season(row: Row) -> str:
    attempts = row.get("attempts_per_season")
    return f"{attempts:.0f} a season" if attempts is not None else ""


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
        "name": _name(row),
        "figure": _figure(row),
        "season": _season(row),
    }


def _domain(values: Sequence[float]) -> tuple[float, float]:
    """Both ends of the scale: whole steps, 0 inside."""
    reach = max(values) - min(values)
    step = next((s for s in _STEPS if reach / s <= 12), _STEPS[-1])
    # A dot on the very end would reach into the words beside it.
    air = 0.02 * reach
    return ends([0.0, min(values) - air, max(values) + air], float(step))


def _marks(laid: Lines, drawn: Sequence[Row]) -> list[alt.Chart]:
    page, theme = laid.page, laid.page.theme
    domain = _domain([row[f] for row in drawn for f in _FIGURES if row[f] is not None])
    colour = theme.states["adopter"]

    def x(field: str) -> alt.X:
        title = "points a season more, or fewer"
        return signed_x(field, domain, title=title, ticks=max(3, int(page.width // 70)))

    layers = [_none(laid, x, len(drawn))]
    for low, high, thick in (
        ("points_low", "points_high", 2.0),
        ("points_low_80", "points_high_80", min(7.0, laid.step * 0.3)),
    ):
        there = [row for row in drawn if row[low] is not None and row[high] is not None]
        layers.append(
            page.data.add(there)
            .mark_rule(strokeWidth=thick, color=colour, opacity=0.75)
            .encode(x=x(low), x2=alt.X2(f"{high}:Q"), y=laid.y(), tooltip=_hints())
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
        .encode(x=x("points_per_season"), y=laid.y(), tooltip=_hints())
    )
    return layers


def _none(laid: Lines, x: Any, lines: int) -> alt.Chart:
    """The line at which nothing is gained, through the first lines."""
    layer: alt.Chart = (
        laid.page.data.add([{"none": 0.0}])
        .mark_rule(strokeWidth=1.4, color=laid.page.theme.ink, opacity=0.8)
        .encode(x=x("none"), y=alt.value(0), y2=alt.value(laid.step * lines))
    )
    return layer


def _assumed(
    answer: Answer, theme: Theme, size: Size, every: Sequence[Row], assumed: Sequence[Row]
) -> alt.LayerChart:
    """Points of gains that somebody assumed: no interval, and none pretended."""
    gains = sorted({row["gain"] for row in assumed})[: len(_SHAPES)]
    names = list(dict.fromkeys((row.get("player"), row.get("league")) for row in assumed))
    shown = names[: int(size.rows * _PART)]
    rows = [_of(name, every, assumed) for name in shown]
    drawn = [
        {
            "row": shown.index(name) + 0.5,
            "name": _name(row),
            "points": row["points_per_season"],
            "figure": wording.amount(row["points_per_season"]),
            "season": _season(row),
            "shape": _SHAPES[gains.index(row["gain"])],
        }
        for row in assumed
        if (name := (row.get("player"), row.get("league"))) in shown and row["gain"] in gains
    ]
    colour = theme.states["adopter"]
    page = sheet(
        answer,
        theme,
        size,
        keys=[
            Key(
                f"if he made {wording.signed(gain).removeprefix('+')} more per 100",
                colour,
                shape,
                filled=False,
            )
            for gain, shape in zip(gains, _SHAPES, strict=False)
        ],
        foot=46,
        caption=caption.told(
            answer,
            caption.first_of(len(shown), len(names), "players"),
            "No prediction: the gains are assumed, so nothing here has an interval.",
            _counted(every),
        ),
    )
    figures = [
        ", ".join(d["figure"] for d in drawn if d["row"] == place + 0.5)
        for place in range(len(rows))
    ]
    laid = _laid(page, rows, figures)
    page = laid.page
    domain = _domain([d["points"] for d in drawn])

    def x(field: str) -> alt.X:
        title = "points a season more, if the gain were so"
        return signed_x(field, domain, title=title, ticks=max(3, int(page.width // 70)))

    dots = (
        page.data.add(drawn)
        .mark_point(
            size=min(110.0, laid.step * 5),
            strokeWidth=2,
            stroke=colour,
            fill=theme.paper,
            opacity=1,
        )
        .encode(x=x("points"), y=laid.y(), shape=alt.Shape("shape:N", scale=None), tooltip=_hints())
    )
    layers = [
        laid.guides(range(len(rows)), page.width),
        _none(laid, x, len(rows)),
        dots,
        *laid.words(),
        *page.words(),
    ]
    return page.finish(alt.LayerChart(layer=layers), width=page.width, height=laid.height)


def _of(name: tuple[Any, Any], every: Sequence[Row], assumed: Sequence[Row]) -> Row:
    """The row of a player, with his team where the answer tells it."""
    for rows in (every, assumed):
        for row in rows:
            if (row.get("player"), row.get("league")) == name:
                return row
    return {}


def _hints() -> list[alt.Tooltip]:
    return [
        alt.Tooltip("name:N", title="who"),
        alt.Tooltip("figure:N", title="points"),
        alt.Tooltip("season:N", title="attempts"),
    ]
