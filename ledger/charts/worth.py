"""What a trip to the line is worth: points against make rate, the shooter and the break-even."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from ledger.charts import caption, measure
from ledger.charts.axes import ends, plain_y, share_x
from ledger.charts.seasons import dodge
from ledger.charts.sheet import Align, Sheet, at_x, at_y, blank, placed_text, sheet
from ledger.charts.theme import MARGIN, Size, Theme
from ledger.questions import wording
from ledger.questions.answer import Answer

Row = dict[str, Any]

_TRIPS = {
    "three": "three shots",
    "two": "two shots",
    "one_and_one": "one-and-one",
    "one": "one shot",
}
_DASHES = {
    "two": [1.0, 0.0],
    "three": [9.0, 4.0],
    "one_and_one": [2.0, 3.0],
    "one": [9.0, 3.0, 2.0, 3.0],
}
# The trip that a deliberate foul leads to most often is the one to look at.
_FIRST = "two"
_LETTERS, _NAMES = 12.0, 12.5
_AXIS_ROOM = 40
_ENDS = "rate", "low", "high"


@dataclass(frozen=True, slots=True)
class _Worth:
    """What the answer says.

    Attributes:
        trips: points of each kind of trip at the shooter's rate.
        curve: points of each kind at every rate.
        even: break-even rates that there are.
        rate: the shooter's rate with its limits.
        possession: points of a possession, or None.
        counted: what the points are made of.
        low: the lower end of the axis of rates.
        top: the upper end of the axis of points.
    """

    trips: Sequence[Row]
    curve: Sequence[Row]
    even: Sequence[Row]
    rate: Row
    possession: float | None
    counted: str
    low: float
    top: float


def build(answer: Answer, theme: Theme, size: Size) -> alt.LayerChart:
    """A line for each kind of trip, named at its end with the shooter's points."""
    told = _told(answer)
    if told is None:
        return blank(answer, theme, size, "No make rate, so no points to draw.")
    names = _names(told)
    room = max(
        max(measure.width(name, _NAMES, bold=True), measure.width(figure, _LETTERS))
        for _, name, figure in names
    )
    page = sheet(
        answer,
        theme,
        size,
        left=MARGIN + _AXIS_ROOM,
        right=MARGIN + 26 + room,
        head=40,
        foot=88 if told.even else 30,
        caption=caption.told(answer, _counted(told), *_reading(told), studied_too=False),
    )
    plot = _Plot(page, told)
    layers = [
        *plot.shooter(),
        *plot.possession(),
        *plot.lines(),
        *plot.breaks(),
        *plot.names(names),
        *page.words(),
    ]
    return page.finish(alt.LayerChart(layer=layers), width=page.width, height=page.height)


def _told(answer: Answer) -> _Worth | None:
    def rows(name: str) -> list[Row]:
        return answer.parts[name].rows() if name in answer.parts else []

    known = {row["what"]: row for row in rows("known")}
    rate = known.get("rate", {})
    trips = [r for r in answer.main.rows() if r["trip"] in _TRIPS and r["points"] is not None]
    curve = [r for r in rows("curve") if r["trip"] in _TRIPS]
    if rate.get("value") is None or not trips or not curve:
        return None
    even = [r for r in rows("break_even") if r["rate"] is not None]
    rates = [rate["value"], *(rate[end] for end in _ENDS[1:] if rate.get(end) is not None)]
    lowest = min([0.6, *rates, *(r["rate"] for r in even)])
    low = max(0.0, math.floor(round(lowest * 10, 6)) / 10 - 0.1)
    points = [r["points"] for r in curve if r["rate"] >= low - 1e-9]
    highs = [r["high"] for r in trips if r["high"] is not None]
    possession = known.get("per_possession", {}).get("value")
    return _Worth(
        sorted(trips, key=lambda r: list(_TRIPS).index(r["trip"])),
        [r for r in curve if r["rate"] >= low - 1e-9],
        even,
        rate,
        possession,
        str(trips[0].get("counted") or "makes"),
        low,
        ends([0.0, *points, *highs, possession or 0.0], 0.5)[1],
    )


def _names(told: _Worth) -> list[tuple[float, str, str]]:
    """What stands at the right: where each line ends, its name, and its points."""
    last = {r["trip"]: float(r["points"]) for r in told.curve}
    at = wording.percent(told.rate["value"], told.rate.get("of") or caption.WHOLE)
    names = [
        (last[r["trip"]], _TRIPS[r["trip"]], f"at {at}: {_figure(r, unit='')}") for r in told.trips
    ]
    if told.possession is not None:
        names.append((told.possession, "a possession", f"{wording.amount(told.possession)} points"))
    return sorted(names, key=lambda name: -name[0])


def _figure(row: Row, unit: str = " points") -> str:
    return wording.amount(row["points"], row.get("low"), row.get("high")) + unit


def _counted(told: _Worth) -> str:
    count, of = told.rate.get("count"), told.rate.get("of")
    if count is None or of is None:
        return "Make rate: typed."
    return f"Make rate: {wording.count(count)} of {wording.counted(of, 'attempt')}."


def _reading(told: _Worth) -> list[str]:
    said = []
    if told.rate.get("low") is not None:
        said.append("Upright band and lines on the curves: 95 % intervals.")
    else:
        said.append("Nothing is uncertain that was typed: no intervals.")
    if told.possession is not None and told.even:
        said.append("Where a line crosses the level one a deliberate foul breaks even.")
    return said


@dataclass(frozen=True, slots=True)
class _Plot:
    """The plot on its sheet."""

    page: Sheet
    told: _Worth

    def x(self, field: str) -> alt.X:
        """An encoding of a make rate."""
        ticks = max(4, int(self.page.width // 80))
        return share_x(field, (self.told.low, 1.0), title=None, ticks=ticks)

    def y(self, field: str) -> alt.Y:
        """An encoding of points."""
        return plain_y(field, (0.0, self.told.top), ticks=max(3, int(self.page.height // 50)))

    def at(self, rate: float) -> float:
        """The place of a make rate in chart units from the plot's left edge."""
        return (rate - self.told.low) / (1 - self.told.low) * self.page.width

    def up(self, points: float) -> float:
        """The place of points in chart units from the plot's upper edge."""
        return (1 - points / self.told.top) * self.page.height

    def shooter(self) -> list[alt.Chart]:
        """The shooter's rate: a line, its interval as a band, its words above."""
        theme, rate = self.page.theme, self.told.rate
        row = {end: rate.get("value" if end == "rate" else end) for end in _ENDS}
        base = self.page.data.add([row])
        layers = []
        if row["low"] is not None and row["high"] is not None:
            layers.append(
                base.mark_rect(color=theme.states["adopter"], opacity=0.18).encode(
                    x=self.x("low"),
                    x2=alt.X2("high:Q"),
                    y=alt.value(0),
                    y2=alt.value(self.page.height),
                )
            )
        layers.append(
            base.mark_rule(color=theme.states["adopter"], strokeWidth=2).encode(
                x=self.x("rate"), y=alt.value(-8), y2=alt.value(self.page.height)
            )
        )
        figure = caption.figure(
            None, rate.get("of"), rate["value"], rate.get("low"), rate.get("high")
        )
        word = f"{'shoots' if rate.get('given') == 'recorded' else 'typed:'} {figure}"
        half = measure.width(word, 13, bold=True) / 2
        at = min(max(self.at(rate["value"]), half), self.page.width - half)
        words = [{"x": at, "y": -18, "words": word}]
        layers.append(
            placed_text(self.page.data, words, color=theme.ink, size=13, bold=True, align="center")
        )
        title = "points of a trip" + (" from makes alone" if self.told.counted == "makes" else "")
        layers.append(
            placed_text(
                self.page.data,
                [{"x": MARGIN - self.page.left, "y": -36, "words": title}],
                color=theme.muted,
                size=_LETTERS,
            )
        )
        return layers

    def possession(self) -> list[alt.Chart]:
        """What the possession would bring without the foul."""
        if self.told.possession is None:
            return []
        theme = self.page.theme
        line = (
            self.page.data.add([{"points": self.told.possession}])
            .mark_rule(color=theme.states["occasional"], strokeWidth=2)
            .encode(y=self.y("points"), x=alt.value(0), x2=alt.value(self.page.width))
        )
        return [line]

    def lines(self) -> list[alt.Chart]:
        """Points of each kind of trip, and the shooter's with their interval."""
        theme, data = self.page.theme, self.page.data
        layers: list[alt.Chart] = []
        for trip in _TRIPS:
            rows = [r for r in self.told.curve if r["trip"] == trip]
            first = trip == _FIRST
            layers.append(
                data.add([{"rate": r["rate"], "points": r["points"]} for r in rows])
                .mark_line(
                    strokeWidth=3 if first else 1.8,
                    strokeDash=_DASHES[trip],
                    color=theme.ink if first else theme.muted,
                )
                .encode(x=self.x("rate"), y=self.y("points"))
            )
        own = [
            {
                "rate": r["rate"],
                "points": r["points"],
                "low": r["low"],
                "high": r["high"],
                "trip": _TRIPS[r["trip"]],
                "figure": _figure(r),
            }
            for r in self.told.trips
        ]
        layers.append(
            data.add([r for r in own if r["low"] is not None])
            .mark_rule(strokeWidth=3, color=theme.states["adopter"])
            .encode(x=self.x("rate"), y=self.y("low"), y2=alt.Y2("high:Q"))
        )
        layers.append(
            data.add(own)
            .mark_point(size=60, filled=True, color=theme.states["adopter"], opacity=1)
            .encode(
                x=self.x("rate"),
                y=self.y("points"),
                tooltip=[alt.Tooltip("trip:N"), alt.Tooltip("figure:N", title="points")],
            )
        )
        return layers

    def breaks(self) -> list[alt.Chart]:
        """Where a deliberate foul breaks even: signs on the level line, rates under the axis."""
        if not self.told.even or self.told.possession is None:
            return []
        theme, data = self.page.theme, self.page.data
        even = sorted(self.told.even, key=lambda r: float(r["rate"]))
        y = self.up(self.told.possession)
        foot = self.page.height + 48
        rows = [{"x": self.at(r["rate"]), "y": y} for r in even]
        # The figures of the axis stand between: a line through them could not be read.
        pieces = [
            {"x": r["x"], "y": top, "y_end": end}
            for r in rows
            for top, end in ((y, self.page.height), (self.page.height + 24, foot - 12))
        ]
        colour = theme.states["occasional"]
        drops = (
            data.add(pieces)
            .mark_rule(color=colour, strokeDash=[2, 3], strokeWidth=1.4, clip=False)
            .encode(x=at_x("x"), y=at_y("y"), y2=alt.Y2("y_end:Q"))
        )
        signs = (
            data.add(rows)
            .mark_point(size=90, shape="diamond", filled=True, color=colour, opacity=1)
            .encode(x=at_x("x"), y=at_y("y"))
        )
        return [drops, signs, *self._break_words(even, foot)]

    def _break_words(self, even: Sequence[Row], foot: float) -> list[alt.Chart]:
        """Below which rate fouling pays, for each kind of trip, under the axis."""
        theme, data = self.page.theme, self.page.data
        said = [wording.percent(r["rate"], 100) for r in even]
        names = [_TRIPS[str(r["trip"])] for r in even]
        wide = max(measure.width(w, _NAMES, bold=True) for w in (*said, *names)) + 10
        left = MARGIN - self.page.left
        start = left + measure.width("pays below", _LETTERS) + 10 + wide / 2
        wanted = [self.at(r["rate"]) - start for r in even]
        places = dodge(wanted, wide, self.page.width + 40 - start)

        def under(words: Sequence[str], y: float) -> list[Row]:
            pairs = zip(places, words, strict=True)
            return [{"x": start + place, "y": y, "words": word} for place, word in pairs]

        title = [
            {"x": left, "y": foot, "words": "fouling"},
            {"x": left, "y": foot + 16, "words": "pays below"},
        ]
        figures, below = under(said, foot), under(names, foot + 16)
        middle: Align = "center"
        return [
            placed_text(data, figures, color=theme.ink, size=_NAMES, bold=True, align=middle),
            placed_text(data, below, color=theme.muted, size=_LETTERS, align=middle),
            placed_text(data, title, color=theme.muted, size=_LETTERS),
        ]

    def names(self, names: Sequence[tuple[float, str, str]]) -> list[alt.Chart]:
        """Each line's name at its end, and what its trip brings the shooter."""
        theme, data = self.page.theme, self.page.data
        at = [self.up(points) for points, _, _ in names]
        places = dodge(at, 36, self.page.height - 14)
        x = self.page.width
        rows = [
            {"x": x + 2, "y": start, "x_end": x + 18, "y_end": place}
            for start, place in zip(at, places, strict=True)
        ]
        leaders = (
            data.add(rows)
            .mark_rule(color=theme.muted, strokeWidth=1, opacity=0.6, clip=False)
            .encode(x=at_x("x"), y=at_y("y"), x2=alt.X2("x_end:Q"), y2=alt.Y2("y_end:Q"))
        )
        bold = [
            {"x": x + 22, "y": place - 7, "words": name}
            for (_, name, _), place in zip(names, places, strict=True)
        ]
        quiet = [
            {"x": x + 22, "y": place + 9, "words": figure}
            for (_, _, figure), place in zip(names, places, strict=True)
        ]
        axis = [{"x": x + 24, "y": self.page.height + 11, "words": "make rate"}]
        return [
            leaders,
            placed_text(data, axis, color=theme.muted, size=_LETTERS),
            placed_text(data, bold, color=theme.ink, size=_NAMES, bold=True),
            placed_text(data, quiet, color=theme.muted, size=_LETTERS),
        ]
