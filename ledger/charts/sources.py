"""What came in: the rows of each source, and how many of them added something."""

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
from ledger.questions.sources import BESIDE
from ledger.safe_text import safe

Row = dict[str, Any]


def build(answer: Answer, theme: Theme, size: Size) -> alt.LayerChart:
    """A bar for each source of records: its rows, and the part of them that was stored.

    Where there are more than fit: those with refused or contradicting rows, then those with most,
    in the answer's own order. Changes beside the records have no rows and no line.
    """
    every = [row for row in answer.main.rows() if row["kind"] not in BESIDE]
    if not every:
        return blank(answer, theme, size, "No records came in: nothing to draw.")
    rows = _kept(every, size.rows)
    page = sheet(
        answer,
        theme,
        size,
        foot=46,
        keys=keys(theme, "rows that added something", "rows that did not"),
        caption=caption.told(
            answer,
            f"{len(rows)} of {wording.count(len(every))} sources of records: those with refused or "
            "contradicting rows, then those with most."
            if len(rows) < len(every)
            else "",
            "Counts, not estimates, so nothing has an interval.",
            studied_too=False,
        ),
    )
    counts = [_count(row) for row in rows]
    laid = lined(
        page,
        [
            Words(tuple(str(row["source"]) for row in rows), most=0.08, quiet=True),
            Words(tuple(_name(row) for row in rows), most=0.26),
            Words(tuple(safe(str(row["kind"])) for row in rows), most=0.12, quiet=True, leaves=2),
            Words(tuple(str(row["when"] or "")[:10] for row in rows), quiet=True, leaves=1),
        ],
        [
            Words(tuple(one.words for one in counts), most=0.3),
            Words(tuple(_remark(row) for row in rows), most=0.22, quiet=True),
        ],
        plot=0.2,
    )
    layers = [
        laid.guides(range(len(rows)), laid.page.width),
        *bars(laid, counts, title="rows"),
        *laid.words(),
        *laid.page.words(),
    ]
    return laid.page.finish(alt.LayerChart(layer=layers), width=laid.page.width, height=laid.height)


def _kept(rows: list[Row], most: int) -> list[Row]:
    def first(at: int) -> tuple[bool, int]:
        row = rows[at]
        return not (row["rejected"] or row["contradicting"]), -(row["rows"] or 0)

    return [rows[at] for at in sorted(sorted(range(len(rows)), key=first)[:most])]


def _name(row: Row) -> str:
    return safe(str(row["file"] or row["kind"]))


def _count(row: Row) -> Count:
    read, stored = row["rows"] or 0, row["stored"] or 0
    words = f"{wording.count(stored)} of {wording.counted(read, 'row')}"
    return Count(_name(row), read, stored, words, counts=row["taken_back"] is None)


def _remark(row: Row) -> str:
    """What else became of its rows, those to look at first."""
    if row["taken_back"] is not None:
        return "taken back"
    told = (("rejected", "refused"), ("contradicting", "contradicting"))
    return ", ".join(f"{wording.count(row[name])} {word}" for name, word in told if row[name])
