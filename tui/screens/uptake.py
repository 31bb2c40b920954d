"""Is it growing?"""

from __future__ import annotations

import re
from collections import defaultdict
from functools import partial
from typing import TYPE_CHECKING, Any

from textual.app import ComposeResult

from tui.actions import bindings_of
from tui.screens.laid_out import columns_of
from tui.screens.question import QuestionScreen
from tui.widgets.columns import Row, ShownColumn
from tui.widgets.lines import Words
from tui.widgets.rows import RowsView
from tui.widgets.uptake_chart import LEGEND, MOST_LINES, ChartLine, Season, UptakeChart

if TYPE_CHECKING:
    from ledger.questions.answer import Answer

_TWO_YEARS = re.compile(r"\d{4}-\d\d")
_GROUP = ("league", "team", "position")


class UptakeScreen(QuestionScreen):
    """Shares over seasons as a picture, with the rows under it."""

    kind = "uptake"
    question = "uptake"
    heading = "Is it growing?"
    identity = ("league", "team", "position", "season")
    BINDINGS = bindings_of("uptake")

    def compose_answer(self) -> ComposeResult:
        yield UptakeChart(id="chart")
        yield Words(LEGEND, classes="legend")
        yield RowsView(id="rows")

    def show_answer(self, answer: Answer) -> None:
        super().show_answer(answer)
        lines = lines_of(answer)
        self.query_one(UptakeChart).show(lines)
        if len(lines) > MOST_LINES:
            self.tell(
                f"drawn are the first {MOST_LINES} of {len(lines)}; {self.key('cohort')} narrows"
            )

    def is_marked(self, row: Row) -> bool:
        return False

    def columns_of(self, answer: Answer) -> tuple[ShownColumn, ...]:
        # The picture above draws the intervals already.
        columns = list(columns_of(answer, drawn=False))
        by = str(answer.asked.get("by", "league"))
        if by in ("team", "position"):
            words = partial(_name, by)
            columns.insert(1, ShownColumn(by, words, least=6, most=16, sorts=by))
        return tuple(columns)


def lines_of(answer: Answer) -> list[ChartLine]:
    """The lines of the picture: one a league, team or position, forecasts at their ends."""
    groups: dict[tuple[str, ...], list[Season]] = defaultdict(list)
    for row in answer.frame.sort("start_year").iter_rows(named=True):
        groups[_group(row)].append(_season(row))
    foreseen = answer.more.get("forecast")
    if foreseen is not None:
        for row in foreseen.sort("start_year").iter_rows(named=True):
            key = next((k for k in groups if k[0] == row["league"]), None)
            if key is not None and len(key) == 1 and row["share"] is not None:
                year = row["start_year"]
                label = _next_season(groups[key][-1].label, year)
                # After a season without a share the curve ends before it: nothing is ahead.
                if year != groups[key][-1].year + 1:
                    continue
                groups[key].append(Season(year, label, row["share"], row["low"], row["high"], True))
    return [ChartLine(key[-1], tuple(seasons)) for key, seasons in groups.items()]


def _next_season(last: str, year: int) -> str:
    """The season after another one, named as that one is."""
    return f"{year}-{(year + 1) % 100:02d}" if _TWO_YEARS.fullmatch(last) else str(year)


def _group(row: Row) -> tuple[str, ...]:
    return tuple(str(row[c]) for c in _GROUP if row.get(c)) or ("all leagues",)


def _season(row: dict[str, Any]) -> Season:
    share = row["share"]
    low, high = ("low", "high") if share is not None else ("least_share", "most_share")
    return Season(row["start_year"], row["season"] or str(row["start_year"]), share, row[low],
                  row[high])  # fmt: skip


def _name(by: str, row: Row) -> str:
    return row[by] or ""
