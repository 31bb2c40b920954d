"""What to watch next: the games in their order, and how many players are settled down to each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import altair as alt

from ledger.charts import caption
from ledger.charts.axes import ends, plain_x
from ledger.charts.lines import Lines, Words, lined
from ledger.charts.sheet import blank, sheet
from ledger.charts.theme import Size, Theme
from ledger.questions import wording
from ledger.questions.answer import Answer
from ledger.safe_text import safe

Row = dict[str, Any]

_STEPS = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100)


def build(answer: Answer, theme: Theme, size: Size) -> alt.LayerChart:
    """A dot for each game: the players that it settles together with all games above it."""
    every = answer.main.rows()
    if not every:
        return blank(answer, theme, size, "No game to watch: nothing to draw.")
    rows = every[: size.rows]
    page = sheet(
        answer,
        theme,
        size,
        foot=46,
        caption=caption.told(
            answer,
            caption.first_of(len(rows), len(every), "games"),
            "Dots: open players that this game and all above it should settle. Expected from what "
            "was seen so far, not measured, so no interval.",
        ),
    )
    several = len({row["for_tagger"] for row in every}) > 1
    laid = lined(
        page,
        [
            Words(tuple(safe(str(row["game"] or "–")) for row in rows), most=0.3),
            Words(tuple(_when(row) for row in rows), most=0.27, quiet=True, leaves=2),
            Words(tuple(_who(row, several=several) for row in rows), most=0.14, quiet=True),
            Words(tuple(_work(row) for row in rows), most=0.16, quiet=True, leaves=1),
        ],
        [Words(tuple(_figure(row) for row in rows), most=0.2)],
    )
    layers = [
        laid.guides(range(len(rows)), laid.page.width),
        *_marks(laid, rows),
        *laid.words(),
        *laid.page.words(),
    ]
    return laid.page.finish(alt.LayerChart(layer=layers), width=laid.page.width, height=laid.height)


def _when(row: Row) -> str:
    return safe(", ".join(str(row[name]) for name in ("date", "league") if row[name]))


def _who(row: Row, *, several: bool) -> str:
    return safe(str(row["for_tagger"] or "")) if several else ""


def _work(row: Row) -> str:
    return wording.counted(row["attempts_to_watch"], "attempt")


def _figure(row: Row) -> str:
    settled = row["expected_so_far"]
    return "–" if settled is None else f"{wording.amount(settled)} settled"


def _marks(laid: Lines, rows: Sequence[Row]) -> list[alt.Chart]:
    page, theme = laid.page, laid.page.theme
    drawn = [
        {
            "row": place + 0.5,
            "none": 0.0,
            "settled": row["expected_so_far"],
            "name": safe(str(row["game"] or "–")),
            "when": _when(row),
            "work": f"{_work(row)} of {wording.counted(row['undecided_players'], 'open player')}",
            "figure": _figure(row),
        }
        for place, row in enumerate(rows)
        if row["expected_so_far"] is not None
    ]
    most = max((row["settled"] for row in drawn), default=0.0)
    step = next((s for s in _STEPS if most / s <= 12), _STEPS[-1])
    scale = ends([0.0, most], float(step))
    colour = theme.states["adopter"]
    hints = [
        alt.Tooltip("name:N", title="game"),
        alt.Tooltip("when:N", title="when"),
        alt.Tooltip("work:N", title="to watch"),
        alt.Tooltip("figure:N", title="down to here"),
    ]

    def x(field: str) -> alt.X:
        title = "open players settled, this game and all above it, as expected"
        return plain_x(field, scale, title=title, ticks=max(3, int(page.width // 80)))

    stems = (
        page.data.add(drawn)
        .mark_rule(strokeWidth=1.4, color=colour, opacity=0.5)
        .encode(x=x("none"), x2=alt.X2("settled:Q"), y=laid.y())
    )
    dots = (
        page.data.add(drawn)
        .mark_point(size=min(90.0, laid.step * 5), fill=colour, stroke=colour, opacity=1)
        .encode(x=x("settled"), y=laid.y(), tooltip=hints)
    )
    return [stems, dots]
