"""The table of rows: any number of them, found, ordered, the chosen one kept by what it is."""

from __future__ import annotations

import time

import polars as pl
import pytest
from textual.app import App, ComposeResult

from ledger.cohort import Cohort
from ledger.safe_text import width
from tests.tui.driving import press, running, text_of
from tests.tui.fake_book import RANKING, FakeBook, part, ranking_rows
from tui.cohorts import Meant
from tui.screens.question import QuestionScreen, emptied
from tui.widgets.columns import EARLY, ShownColumn
from tui.widgets.drawings import Interval
from tui.widgets.rows import RowsView

COLUMNS = (
    ShownColumn("player", lambda r: r["player"], least=8, most=30, sorts="player"),
    ShownColumn("made", lambda r: str(r["made"]), right=True, drop=1, sorts="made"),
    ShownColumn("", least=16, most=60, drawing=Interval("low", "high", "shrunken_rate")),
)


class RowsApp(App[None]):
    def compose(self) -> ComposeResult:
        yield RowsView()


def frame(rows: int) -> pl.DataFrame:
    return part(RANKING, ranking_rows([f"Player {i:05d}" for i in range(rows)])).frame


async def test_fifty_thousand_rows_are_painted_at_once() -> None:
    many = frame(50_000)
    app = RowsApp()
    async with app.run_test(size=(160, 48)) as pilot:
        rows = app.query_one(RowsView)
        spent = []
        for start in (0, 25_000, 49_999):
            before = time.process_time()
            rows.show(many, COLUMNS, identity=("player",))
            rows.go(start)
            painted = [rows.render_line(y) for y in range(48)]
            spent.append(time.process_time() - before)
            assert sum("Player" in strip.text for strip in painted) == 46
            await pilot.pause(0.0)
        # Processor time, so that a busy machine does not fail it: measured 15 ms.
        assert min(spent) < 0.1


async def test_a_table_without_rows_says_why_in_their_place() -> None:
    app = RowsApp()
    async with app.run_test(size=(40, 12)) as pilot:
        rows = app.query_one(RowsView)
        rows.show(
            frame(0), COLUMNS, empty="No row is left of only those who do it: a changes that."
        )
        await pilot.pause(0.0)
        painted = [rows.render_line(y).text.rstrip() for y in range(4)]
        assert painted[1:] == ["  No row is left of only those who do", "  it: a changes that.", ""]
        rows.show(frame(1), COLUMNS, empty="No row is left.")
        assert all("No row" not in rows.render_line(y).text for y in range(12))


@pytest.mark.parametrize(
    ("options", "cohort", "said"),
    [
        ({"state": "not", "min_attempts": 70}, {}, "No row is left of 70 attempts or more; only "
         "those who do not: a changes that."),
        ({}, {"league": "Halma League"}, "No row of these attempts: f changes which are meant."),
        ({}, {}, "There is no row: the headline says why."),
    ],
)  # fmt: skip
async def test_an_answer_without_rows_says_what_narrowed_it(
    options: dict[str, object], cohort: dict[str, str], said: str
) -> None:
    async with running(show="ranking", size=(120, 36)) as (app, pilot, _):
        screen = app.screen
        assert isinstance(screen, QuestionScreen)
        assert screen.answer is not None
        app.meant.change(Meant(Cohort.of(**cohort)))
        screen.options = options
        screen.show_answer(emptied(screen.answer))
        await pilot.pause(0.0)
        assert f"  {said}\n" in text_of(app)


async def test_the_chosen_row_stays_chosen_when_rows_leave_and_order_changes() -> None:
    app = RowsApp()
    async with app.run_test(size=(80, 24)):
        rows = app.query_one(RowsView)
        rows.show(frame(100), COLUMNS, identity=("player",))
        rows.go(40)
        rows.show(frame(100).filter(pl.col("rank") % 2 == 1), COLUMNS, identity=("player",))
        chosen = rows.chosen()
        assert chosen is not None
        assert (chosen["player"], rows.cursor) == ("Player 00040", 20)
        rows.order_by("rank", falling=True)
        chosen = rows.chosen()
        assert chosen is not None
        assert (chosen["player"], rows.cursor) == ("Player 00040", 29)


async def test_a_row_that_was_gone_for_a_while_is_chosen_again() -> None:
    app = RowsApp()
    async with app.run_test(size=(80, 24)):
        rows = app.query_one(RowsView)
        rows.show(frame(30), COLUMNS, identity=("player",))
        rows.go(20)
        rows.show(frame(0), COLUMNS, identity=("player",))
        assert rows.chosen() is None
        rows.show(frame(30), COLUMNS, identity=("player",))
        assert rows.cursor == 20


async def test_rows_are_found_without_case_in_any_word() -> None:
    app = RowsApp()
    async with app.run_test(size=(80, 24)):
        rows = app.query_one(RowsView)
        rows.show(frame(100), COLUMNS)
        assert rows.find("player 0001") == list(range(10, 20))
        assert rows.find("SKERRY")[:2] == [0, 3]
        assert rows.find("[") == []
        assert rows.find(" ") == []


async def test_empty_figures_come_last_in_either_order() -> None:
    app = RowsApp()
    async with app.run_test(size=(80, 24)):
        rows = app.query_one(RowsView)
        rows.show(frame(20), COLUMNS)
        for falling in (True, False):
            rows.order_by("focus_share", falling=falling)
            assert rows.row(19)["focus_share"] is None


@pytest.mark.parametrize("cells", [40, 60, 80, 120, 200])
async def test_every_line_fills_the_width_and_figures_are_whole(cells: int) -> None:
    async with running(FakeBook(), size=(cells, 30), show="ranking") as (app, _, _book):
        rows = app.screen.query_one(RowsView)
        for y in range(rows.size.height):
            strip = rows.render_line(y)
            assert strip.cell_length == rows.scrollable_content_region.width
            if "/" in strip.text:
                made = next(p for p in strip.text.split() if "/" in p)
                assert made[-1].isdigit()


async def test_a_column_all_rows_share_leaves_before_anything_is_cut() -> None:
    same = ShownColumn("season", lambda _row: "2024-25", drop=EARLY)
    app = RowsApp()
    async with app.run_test(size=(40, 12)) as pilot:
        rows = app.query_one(RowsView)
        rows.show(frame(5), (COLUMNS[0], same, *COLUMNS[1:]))
        await pilot.pause(0.0)
        assert "2024-25" not in rows.render_line(1).text
        assert "Player 00000" in rows.render_line(1).text


async def test_a_click_chooses_and_the_wheel_scrolls() -> None:
    async with running(show="ranking") as (app, pilot, _):
        rows = app.screen.query_one(RowsView)
        await pilot.click(rows, offset=(5, 4))
        assert rows.cursor == 3
        await press(pilot, "end")
        assert "Pim Dravik" in text_of(app)
        await press(pilot, "home", "pagedown")
        assert rows.cursor == rows.size.height - 3


async def test_wide_letters_keep_the_columns_in_place() -> None:
    names = ("하늘 바람", "Ilvo Tarn", "Bram e\u0301")
    async with running(FakeBook(names=names), show="ranking") as (app, _, _book):
        rows = app.screen.query_one(RowsView)
        lines = [rows.render_line(y).text for y in range(1, 4)]
        assert all(name in line for name, line in zip(names, lines, strict=True))
        places = {width(line[: line.index("●")]) for line in lines}
        # The three rates fall by less than a cell a row.
        assert max(places) - min(places) <= 3
