"""What is drawn of one player's games: running rate, seasons, techniques seen, changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from ledger.charts import caption, measure
from ledger.charts.axes import ends, share_y
from ledger.charts.sheet import Align, Sheet, at_x, at_y, placed_text
from ledger.charts.theme import MARGIN
from ledger.safe_text import safe

Row = dict[str, Any]

LETTERS = 12.0
LANE, FIRST_LANE = 18, 20
# So many games still have room for a point and an upright line each.
_POINTS = 70


@dataclass(frozen=True, slots=True)
class Lane:
    """The games in which something was seen, on a line of their own under the plot."""

    words: str
    games: tuple[int, ...]
    colour: str
    shape: str


@dataclass(frozen=True, slots=True)
class Change:
    """A change: its likeliest place between two games, the range of games, and its words."""

    at: float
    first: int
    last: int
    words: str


@dataclass(frozen=True, slots=True)
class Plot:
    """The plot of all games on its sheet."""

    page: Sheet
    games: tuple[Row, ...]

    def place(self, game: float) -> float:
        """The middle of a game in chart units from the plot's left edge."""
        return (game + 0.5) / len(self.games) * self.page.width

    def x(self, field: str) -> alt.X:
        """An encoding of a game by its place among all of them."""
        scale = alt.Scale(domain=[-0.5, len(self.games) - 0.5], nice=False, zero=False)
        return alt.X(f"{field}:Q", scale=scale, axis=None)

    @property
    def domain(self) -> tuple[float, float]:
        """Both ends of the scale of rates: it holds the whole band."""
        figures = ("running_rate", "low", "high")
        values = [g[f] for g in self.games for f in figures if g.get(f) is not None]
        bottom, top = ends(values, 0.1)
        return max(0.0, bottom), min(1.0, top)

    def _rated(self) -> list[Row]:
        return [
            {
                "game": place,
                "rate": game["running_rate"],
                "low": game.get("low"),
                "high": game.get("high"),
                "date": safe(str(game.get("date") or "–")),
                "against": safe(str(game.get("game") or "–")),
                "made": f"{game.get('made')} of {game.get('attempts')}",
                "technique": safe(str(game.get("technique") or "not watched")),
                "figure": caption.figure(
                    None,
                    game.get("running_attempts"),
                    game["running_rate"],
                    game.get("low"),
                    game.get("high"),
                ),
            }
            for place, game in enumerate(self.games)
            if game.get("running_rate") is not None
        ]

    def rate(self) -> list[alt.Chart]:
        """Band, line and, where there is room, points of the running rate."""
        rows = [r for r in self._rated() if r["rate"] is not None]
        theme, data = self.page.theme, self.page.data
        ranged = [r for r in rows if r["low"] is not None and r["high"] is not None]

        def y(field: str) -> alt.Y:
            bottom, top = self.domain
            ticks = max(3, min(6, int(self.page.height // 45)))
            return share_y(field, top, bottom=bottom, ticks=ticks)

        base = data.add(rows)
        band = (
            data.add(ranged)
            .mark_area(opacity=0.16, line=False, color=theme.ink)
            .encode(x=self.x("game"), y=y("low"), y2=alt.Y2("high:Q"))
        )
        line = base.mark_line(strokeWidth=2.4, color=theme.ink).encode(
            x=self.x("game"), y=y("rate")
        )
        dots = base.mark_point(
            size=26 if len(self.games) <= _POINTS else 8, filled=True, color=theme.ink, opacity=1
        ).encode(x=self.x("game"), y=y("rate"), tooltip=_hints())
        if len(self.games) > _POINTS:
            return [band, line, dots]
        limits = (
            data.add(ranged)
            .mark_rule(strokeWidth=1, color=theme.ink, opacity=0.45)
            .encode(x=self.x("game"), y=y("low"), y2=alt.Y2("high:Q"))
        )
        return [band, limits, line, dots]

    def seasons(self) -> list[alt.Chart]:
        """Thin lines between seasons and their names, the last always named."""
        theme = self.page.theme
        firsts = [
            place
            for place, game in enumerate(self.games)
            if place == 0 or game.get("season") != self.games[place - 1].get("season")
        ]
        lines = (
            self.page.data.add([{"x": self.place(first - 0.5)} for first in firsts[1:]])
            .mark_rule(color=theme.muted, strokeWidth=1, strokeDash=[2, 3], opacity=0.7)
            .encode(x=at_x("x"), y=alt.value(0), y2=alt.value(self.page.height))
        )
        words = []
        edge = self.page.width + 40
        for first, end in reversed(list(zip(firsts, [*firsts[1:], len(self.games)], strict=True))):
            name = safe(str(self.games[first].get("season") or "–"))
            middle = (self.place(first - 0.5) + self.place(end - 0.5)) / 2
            half = measure.width(name, LETTERS) / 2 + 4
            if middle + half <= edge:
                words.append({"x": middle, "y": self.page.height + self._below, "words": name})
                edge = middle - half
        names = placed_text(
            self.page.data, words[::-1], color=theme.muted, size=LETTERS, align="center"
        )
        return [lines, names]

    @property
    def _below(self) -> float:
        return self.page.foot - 10

    def lanes(self, lanes: Sequence[Lane]) -> list[alt.Chart]:
        """Under the plot: in which games he was seen shooting how."""
        page = self.page
        room = page.left - MARGIN - 10
        size = max(9.0, min(44.0, (page.width / len(self.games)) ** 2 * 0.8))
        seen = [
            {
                "x": self.place(game),
                "y": page.height + FIRST_LANE + LANE * row,
                "colour": lane.colour,
                "shape": lane.shape,
                "said": lane.words,
            }
            for row, lane in enumerate(lanes)
            for game in lane.games
        ]
        names = [
            {
                "x": MARGIN - page.left,
                "y": page.height + FIRST_LANE + LANE * row,
                "words": measure.cut(lane.words, room, LETTERS),
            }
            for row, lane in enumerate(lanes)
        ]
        signs = (
            page.data.add(seen)
            .mark_point(size=size, filled=True, opacity=0.95, clip=False)
            .encode(
                x=at_x("x"),
                y=at_y("y"),
                color=alt.Color("colour:N", scale=None),
                shape=alt.Shape("shape:N", scale=None),
            )
        )
        return [signs, placed_text(page.data, names, color=page.theme.ink, size=LETTERS)]

    def changes(self, changes: Sequence[Change]) -> list[alt.Chart]:
        """The range of each change as a shade, its likeliest place as a line."""
        theme = self.page.theme
        rows = [
            {
                "x": self.place(c.first),
                "x_end": self.place(c.last),
                "line": self.place(c.at),
                "said": c.words,
            }
            for c in changes
        ]
        base = self.page.data.add(rows)
        shade = base.mark_rect(color=theme.states["occasional"], opacity=0.28).encode(
            x=at_x("x"), x2=alt.X2("x_end:Q"), y=alt.value(0), y2=alt.value(self.page.height)
        )
        line = base.mark_rule(color=theme.states["occasional"], strokeWidth=2).encode(
            x=at_x("line"), y=alt.value(-8), y2=alt.value(self.page.height)
        )
        return [shade, line] if rows else []

    def change_words(
        self, changes: Sequence[Change], rows: Sequence[tuple[int, float, Align]]
    ) -> list[alt.Chart]:
        """What each change was, above the plot; the words of neighbours on rows of their own."""
        layers = []
        for align in ("left", "right"):
            words = [
                {"x": x, "y": -16.0 - 16 * row, "words": change.words}
                for change, (row, x, side) in zip(changes, rows, strict=True)
                if side == align
            ]
            if words:
                theme = self.page.theme
                layers.append(
                    placed_text(
                        self.page.data,
                        words,
                        color=theme.ink,
                        size=LETTERS,
                        bold=True,
                        align=align,
                    )
                )
        return layers

    def last_words(self, last: Row, figure: str) -> list[alt.Chart]:
        """The last figure beside the end of the line."""
        bottom, top = self.domain
        y = (1 - (last["running_rate"] - bottom) / (top - bottom)) * self.page.height
        x = self.page.width + 10
        theme = self.page.theme
        return [
            placed_text(
                self.page.data,
                [{"x": x, "y": y, "words": figure}],
                color=theme.ink,
                size=13,
                bold=True,
            ),
            placed_text(
                self.page.data,
                [{"x": x, "y": y + 17, "words": f"last {last.get('running_attempts')}"}],
                color=theme.muted,
                size=LETTERS,
            ),
        ]


def above(changes: Sequence[Change], page: Sheet, games: int) -> list[tuple[int, float, Align]]:
    """For the words of each change a row above the plot, a place and the side they begin at."""
    taken: list[list[tuple[float, float]]] = []
    placed: list[tuple[int, float, Align]] = []
    for change in changes:
        at = (change.at + 0.5) / games * page.width
        wide = measure.width(change.words, LETTERS, bold=True) + 12
        left: Align = "left" if at + wide <= page.width + page.right - MARGIN else "right"
        span = (at, at + wide) if left == "left" else (at - wide, at)
        row = next(
            (
                i
                for i, spans in enumerate(taken)
                if all(span[1] <= a or span[0] >= b for a, b in spans)
            ),
            len(taken),
        )
        if row == len(taken):
            taken.append([])
        taken[row].append(span)
        placed.append((row, at, left))
    return placed


def _hints() -> list[alt.Tooltip]:
    return [
        alt.Tooltip("date:N", title="date"),
        alt.Tooltip("against:N", title="game"),
        alt.Tooltip("made:N", title="made that day"),
        alt.Tooltip("technique:N", title="seen"),
        alt.Tooltip("figure:N", title="running rate"),
    ]
