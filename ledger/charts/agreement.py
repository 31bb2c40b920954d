"""Can we trust the tags: how far people agree beyond chance, field by field and two by two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from ledger.charts import caption
from ledger.charts.axes import ends, plain_x
from ledger.charts.lines import Heading, Lines, Words, lined
from ledger.charts.sheet import blank, sheet
from ledger.charts.theme import Size, Theme
from ledger.questions import wording
from ledger.questions.answer import Answer
from ledger.safe_text import safe

Row = dict[str, Any]

_BY_FIELD, _BY_PAIR = "What was told, all people together", "Technique, two people at a time"
_NOBODY = "Nothing was told by two people: nothing to draw."


@dataclass(frozen=True, slots=True)
class _Line:
    """One field, or two people: how many attempts, told alike how often, and beyond chance."""

    name: str
    alike: int
    of: int
    figure: float | None
    low: float | None
    high: float | None
    why: str

    @property
    def counts(self) -> str:
        """Attempts told alike."""
        return f"{wording.count(self.alike)} of {wording.count(self.of)} alike"

    @property
    def words(self) -> str:
        """The figure with its limits."""
        if self.figure is None:
            return ""
        shown = wording.amount(self.figure, self.low, self.high)
        return shown if self.low is not None else f"{shown}, no limits"


def build(answer: Answer, theme: Theme, size: Size) -> alt.LayerChart:
    """A line for each field that two people told, then one for every two people."""
    fields, pairs = _fields(answer), _pairs(answer)
    if not fields:
        return blank(answer, theme, size, _NOBODY)
    room = int(size.rows * 0.8) - 2
    shown = pairs[: max(0, room - len(fields))]
    lines: list[_Line | None] = [None, *fields]
    headings = [Heading(0, _BY_FIELD)]
    if shown:
        headings.append(Heading(len(lines), _BY_PAIR))
        lines += [None, *shown]
    page = sheet(
        answer,
        theme,
        size,
        foot=46,
        caption=caption.told(
            answer,
            caption.first_of(len(shown), len(pairs), "pairs of people"),
            "0: as often alike as by chance; 1: always. Lines: 95 % intervals, games drawn anew.",
            "Hollow: told alike throughout, or in one game, so no limits."
            if any(line and line.figure is not None and line.low is None for line in lines)
            else "",
            studied_too=False,
        ),
    )

    def texts(field: str) -> tuple[str, ...]:
        return tuple(str(getattr(line, field)) if line else "" for line in lines)

    laid = lined(
        page,
        [Words(texts("name"), most=0.28), Words(texts("counts"), most=0.3, quiet=True, leaves=1)],
        [Words(texts("words"), most=0.3)],
    )
    silent = {i: line.why for i, line in enumerate(lines) if line and line.figure is None}
    drawn = [i for i, line in enumerate(lines) if line and line.figure is not None]
    layers = [
        laid.guides(drawn, laid.page.width),
        *_marks(laid, [(i, line) for i, line in enumerate(lines) if line]),
        *laid.words(headings),
        *laid.across(silent),
        *laid.page.words(),
    ]
    return laid.page.finish(alt.LayerChart(layer=layers), width=laid.page.width, height=laid.height)


def _fields(answer: Answer) -> list[_Line]:
    part = answer.parts.get("alpha")
    return [
        _Line(
            name=safe(str(row["field"])).replace("_", " "),
            alike=row["alike"] or 0,
            of=row["units"] or 0,
            figure=row["alpha"],
            low=row["low"],
            high=row["high"],
            why=safe(str(row["alpha_why"] or "")),
        )
        for row in (part.rows() if part else [])
        if row["units"]
    ]


def _pairs(answer: Answer) -> list[_Line]:
    return [
        _Line(
            name=f"{safe(str(row['tagger_a']))} and {safe(str(row['tagger_b']))}",
            alike=row["alike"] or 0,
            of=row["attempts"] or 0,
            figure=row["kappa"],
            low=row["low"],
            high=row["high"],
            why=safe(str(row["kappa_why"] or "")),
        )
        for row in answer.main.rows()
    ]


def _marks(laid: Lines, lines: Sequence[tuple[int, _Line]]) -> list[alt.Chart]:
    page, theme = laid.page, laid.page.theme
    colour = theme.states["adopter"]
    rows = [
        {
            "row": place + 0.5,
            "name": line.name,
            "counts": line.counts,
            "figure": line.words,
            "value": line.figure,
            "low": line.low,
            "high": line.high,
            "fill": theme.paper if line.low is None else colour,
        }
        for place, line in lines
        if line.figure is not None
    ]
    told = (value for _, line in lines for value in (line.figure, line.low, line.high))
    values = [value for value in told if value is not None]
    domain = ends([0.0, 1.0, *values], 0.2)

    def x(field: str) -> alt.X:
        ticks = max(3, int(page.width // 80))
        return plain_x(field, domain, title="agreement beyond chance", ticks=ticks)

    hints = [
        alt.Tooltip("name:N", title="what"),
        alt.Tooltip("counts:N", title="told"),
        alt.Tooltip("figure:N", title="beyond chance"),
    ]
    ranged = [r for r in rows if r["low"] is not None and r["high"] is not None]
    limits = (
        page.data.add(ranged)
        .mark_rule(strokeWidth=2.4, strokeCap="round", color=colour, opacity=0.8)
        .encode(x=x("low"), x2=alt.X2("high:Q"), y=laid.y())
    )
    dots = (
        page.data.add(rows)
        .mark_point(size=min(90.0, laid.step * 5), strokeWidth=1.8, stroke=colour, opacity=1)
        .encode(x=x("value"), y=laid.y(), fill=alt.Fill("fill:N", scale=None), tooltip=hints)
    )
    return [limits, dots]
