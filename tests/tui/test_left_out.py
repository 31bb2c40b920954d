"""What a narrow table leaves out is signalled, and which way a change went never is left out."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import polars as pl
import pytest

from ledger.questions.answer import Answer
from tests.tui.driving import press, running, text_of
from tests.tui.fake_book import FakeBook
from tests.tui.known_answers import known
from tests.tui.test_rows import COLUMNS, RowsApp, frame
from tui.screens.laid_out import columns_of
from tui.screens.question import QuestionScreen
from tui.screens.switches import drawn, others_of
from tui.widgets.columns import EARLY, ShownColumn
from tui.widgets.row_lines import laid_out
from tui.widgets.rows import RowsView

SIZES = [(40, 12), (80, 24), (120, 36), (160, 48)]


def both_ways() -> Answer:
    """Three changes: taken up, given up, and perhaps taken up."""
    answer = known("switches")
    rows = answer.main.frame.with_columns(
        direction=pl.Series(["to_focus", "from_focus", "to_focus"]),
        finding=pl.Series(["switch", "switch", "possible"]),
        date=pl.Series([date(2024, 12, 11)] * 3),
    )
    return replace(answer, main=replace(answer.main, frame=rows))


class BothWays(FakeBook):
    """A book in which somebody gave it up."""

    def _answer(self, question: str, cohort: Any, options: dict[str, Any]) -> Answer:
        if question == "switches":
            return both_ways()
        return super()._answer(question, cohort, options)


@pytest.mark.parametrize("size", SIZES)
async def test_each_row_says_which_way_a_change_went_at_every_width(size: tuple[int, int]) -> None:
    async with running(BothWays(), size=size, show="switches") as (app, _, _book):
        lines = text_of(app).splitlines()
        arn, bel, cor = (
            next(x for x in lines if x[2:].startswith(n)) for n in ("Arn", "Bel", "Cor")
        )
        assert "took up" in arn
        assert "gave up" in bel
        assert "took up?" in cor or "took up 2024-12-11 (possible)" in cor
        assert "?" not in arn + bel
        if size[1] > 12:
            assert "[changes 3 (1 gave up, 1 possible)]" in text_of(app)


def test_changes_that_are_all_taken_up_need_no_more_words() -> None:
    assert others_of(known("switches").main.rows()) == ""


def test_a_change_says_as_much_as_its_cells_hold() -> None:
    answer = both_ways()
    columns = drawn(columns_of(answer))
    rows = answer.main.rows()
    said = {}
    for cells in (34, 160):
        lines = laid_out(columns, answer.frame, rows, (), cells)
        place = next(p for p in lines.places if p.column.title == "change")
        at = 1 + sum(p.cells + 1 for p in lines.places[: lines.places.index(place)])
        said[cells] = [lines.row(r, here=False)[at : at + place.cells + 1].strip() for r in rows]
    assert said[34] == ["took up", "gave up", "took up?"]
    assert said[160] == [
        "took up 2024-12-11", "gave up 2024-12-11", "took up 2024-12-11 (possible)",
    ]  # fmt: skip


@pytest.mark.parametrize("key", ["d", "F7"])
def test_columns_without_room_are_counted_in_the_headings(key: str) -> None:
    more = tuple(ShownColumn(f"more {n}", lambda _row: "1234567890123", drop=n) for n in (2, 3))
    alike = ShownColumn("season", lambda _row: "2024-25", drop=EARLY)
    rows = [dict(r) for r in frame(5).iter_rows(named=True)]
    columns = (*COLUMNS[:2], alike, *more)
    wide = laid_out(columns, frame(5), rows, (), 80)
    assert wide.left_out == 0
    assert "+" not in wide.heading(whole_by=key)
    narrow = laid_out(columns, frame(5), rows, (), 28)
    # The season that all rows share tells nothing: it is not missed.
    assert narrow.left_out == 2
    assert f"+2 ({key})" in narrow.heading(whole_by=key)
    assert "+" not in narrow.heading().replace("+2", "")


async def test_the_key_beside_the_count_shows_the_whole_row() -> None:
    async with running(BothWays(), show="switches") as (app, pilot, _book):
        assert "+3 (d)" in text_of(app)
        await press(pilot, "d")
        assert "Skerry" in text_of(app)


async def test_few_rows_of_many_over_those_for_all_say_so() -> None:
    app = RowsApp()
    async with app.run_test(size=(60, 12)) as pilot:
        rows = app.query_one(RowsView)
        foot = [{"player": "3 all together", "made": ""}]
        rows.show(frame(30), COLUMNS[:2], identity=("player",), foot=foot)
        await pilot.pause(0.0)
        lines = [rows.render_line(y).text.rstrip() for y in range(12)]
        assert lines[-2:] == ["  … 1 to 9 of 30 rows", "  3 all together"]
        rows.action_edge(1)
        await pilot.pause(0.0)
        lines = [rows.render_line(y).text.rstrip() for y in range(12)]
        assert lines[-3].startswith("▸ Player 00029")
        assert lines[-2] == "  … 22 to 30 of 30 rows"
        rows.show(frame(9), COLUMNS[:2], identity=("player",), foot=foot)
        await pilot.pause(0.0)
        assert all("…" not in rows.render_line(y).text for y in range(12))


def test_what_stands_for_all_rows_runs_on_over_empty_cells() -> None:
    foot = {"player": "22 without the rumour", "made": ""}
    columns = (ShownColumn("player", lambda r: r["player"], most=9), COLUMNS[1])
    rows = [{"player": "Ilvo Tarn", "made": 5}]
    lines = laid_out(columns, frame(1), rows, [foot], 60)
    assert lines.foot({"player": "22 without", "made": ""}).startswith("  22 without")
    assert "…" in lines.foot({"player": "22 without the rumour", "made": "77777"})


async def test_a_screen_tells_its_rows_which_key_shows_all() -> None:
    async with running(show="ranking") as (app, _, _book):
        assert isinstance(app.screen, QuestionScreen)
        assert app.screen.rows.whole_by == "d"
