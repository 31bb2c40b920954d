"""The difference so far, session by session, with its limits and what would end the trial."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import altair as alt

from ledger.charts.axes import difference_y, ends
from ledger.charts.sheet import Sheet
from ledger.questions import wording
from ledger.safe_text import safe

Row = dict[str, Any]

# Side by side within a session, in sessions.
DODGE = 0.13
_FIELDS = ("difference", "low", "high", "stop_low", "stop_high")


@dataclass(frozen=True, slots=True)
class Course:
    """How a trial stood after each session, in one plot.

    Attributes:
        page: the sheet.
        course: the answer's rows.
        x: the encoding of a session.
        height: of the plot.
    """

    page: Sheet
    course: tuple[Row, ...]
    x: alt.X
    height: float

    @property
    def rows(self) -> list[Row]:
        """The counted sessions."""
        theme = self.page.theme
        return [
            {"session": row["session"], **{f: row.get(f) for f in _FIELDS}}
            | {"date": safe(str(row.get("date") or "–")), "said": said_of(row)}
            | {"fill": theme.paper if row.get("low") is None else theme.states["adopter"]}
            for row in self.course
            if row.get("difference") is not None
        ]

    @property
    def domain(self) -> tuple[float, float]:
        """Both ends of the scale: every limit and no difference are inside."""
        values = [row[f] for row in self.rows for f in _FIELDS if row[f] is not None]
        return ends([0.0, *values] if values else [-0.1, 0.1], 0.1)

    @property
    def end(self) -> float:
        """How far below the plot's upper edge the last point stands."""
        low, high = self.domain
        last = self.rows[-1]["difference"] if self.rows else 0.0
        return float((high - last) / (high - low) * self.height)

    def y(self, field: str) -> alt.Y:
        """An encoding of a difference."""
        return difference_y(field, self.domain, ticks=max(2, min(6, int(self.height // 30))))

    def layers(self) -> list[alt.Chart]:
        """The line of no difference, the limits, the line and its points."""
        theme, data, rows = self.page.theme, self.page.data, self.rows
        ranged = [r for r in rows if r["low"] is not None and r["high"] is not None]
        colour = theme.states["adopter"]
        none = (
            data.add([{"none": 0.0}])
            .mark_rule(strokeWidth=1.4, color=theme.ink, opacity=0.8)
            .encode(y=self.y("none"), x=alt.value(0), x2=alt.value(self.page.width))
        )
        limits = (
            data.add(ranged)
            .mark_rule(strokeWidth=4, color=colour, opacity=0.55)
            .encode(x=self.x, y=self.y("low"), y2=alt.Y2("high:Q"))
        )
        line = (
            data.add(rows)
            .mark_line(strokeWidth=2, color=colour)
            .encode(x=self.x, y=self.y("difference"))
        )
        dots = (
            data.add(rows)
            .mark_point(size=60, strokeWidth=1.8, stroke=colour, opacity=1)
            .encode(
                x=self.x,
                y=self.y("difference"),
                fill=alt.Fill("fill:N", scale=None),
                tooltip=[
                    alt.Tooltip("date:N", title="date"),
                    alt.Tooltip("said:N", title="difference so far"),
                ],
            )
        )
        return [none, limits, *self._stops(), line, dots]

    def _stops(self) -> list[alt.Chart]:
        """At each look the limits that must lie on one side of no difference."""
        ink, data = self.page.theme.ink, self.page.data
        rows = [
            row | {"session": row["session"] + DODGE}
            for row in self.rows
            if row["stop_low"] is not None and row["stop_high"] is not None
        ]
        line = (
            data.add(rows)
            .mark_rule(strokeWidth=1.4, color=ink)
            .encode(x=self.x, y=self.y("stop_low"), y2=alt.Y2("stop_high:Q"))
        )
        tips = [
            data.add(rows)
            .mark_tick(orient="horizontal", size=14, thickness=1.6, color=ink)
            .encode(x=self.x, y=self.y(end))
            for end in ("stop_low", "stop_high")
        ]
        return [line, *tips]


def said_of(row: Row) -> str:
    """A difference with its limits in words, or nothing."""
    difference, low, high = row.get("difference"), row.get("low"), row.get("high")
    if difference is None:
        return ""
    if low is None or high is None:
        return wording.signed(difference)
    return wording.per_hundred(difference, low, high)
