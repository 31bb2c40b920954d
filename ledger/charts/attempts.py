"""The records: how many attempts of each league-season there are, and how many were watched."""

from __future__ import annotations

from typing import Any

import altair as alt

from ledger.charts import caption
from ledger.charts.counts import Count, bars, keys
from ledger.charts.lines import Words, lined
from ledger.charts.sheet import blank, sheet
from ledger.charts.theme import Size, Theme
from ledger.questions import wording
from ledger.questions.answer import Answer
from ledger.safe_text import safe

Row = dict[str, Any]


def build(answer: Answer, theme: Theme, size: Size) -> alt.LayerChart:
    """A bar for each league-season: its attempts, and the part of them that was watched.

    Where there are more than fit the latest seasons are drawn, in the answer's own order.
    """
    every = answer.parts["by_season"].rows() if "by_season" in answer.parts else []
    if not every:
        return blank(answer, theme, size, "No attempts: nothing to draw.")
    rows = _latest(every, size.rows)
    page = sheet(
        answer,
        theme,
        size,
        foot=46,
        keys=keys(theme, "watched", "not watched"),
        caption=caption.told(
            answer,
            f"The latest {len(rows)} of {wording.count(len(every))} league-seasons."
            if len(rows) < len(every)
            else f"{wording.counted(len(every), 'league-season')}.",
            "Counts, not estimates, so nothing has an interval.",
            studied_too=False,
        ),
    )
    counts = [_count(row) for row in rows]
    laid = lined(
        page,
        [
            Words(tuple(safe(str(row["league"])) for row in rows), most=0.26),
            Words(tuple(safe(str(row["season"])) for row in rows), most=0.16, quiet=True),
        ],
        [Words(tuple(one.words for one in counts), most=0.34)],
    )
    layers = [
        laid.guides(range(len(rows)), laid.page.width),
        *bars(laid, counts, title="attempts"),
        *laid.words(),
        *laid.page.words(),
    ]
    return laid.page.finish(alt.LayerChart(layer=layers), width=laid.page.width, height=laid.height)


def _latest(rows: list[Row], most: int) -> list[Row]:
    if len(rows) <= most:
        return rows
    by_year = sorted(range(len(rows)), key=lambda at: -(rows[at]["start_year"] or 0))
    return [rows[at] for at in sorted(by_year[:most])]


def _count(row: Row) -> Count:
    attempts, watched = row["attempts"], row["tagged"]
    words = f"{wording.count(watched)} of {wording.count(attempts)}"
    if attempts >= caption.FEW:
        words += f" ({wording.percent(row['coverage'], attempts)})"
    return Count(safe(f"{row['league']}, {row['season']}"), attempts, watched, words)
