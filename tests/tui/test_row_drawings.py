"""What is drawn in the cells of a row: before and after, and differences over a zero."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import polars as pl
import pytest

from ledger.questions.answer import Part
from ledger.questions.strip import scale_of
from tests.tui.known_answers import known
from tests.tui.test_rows import COLUMNS, RowsApp, frame
from tui.screens.laid_out import columns_of
from tui.screens.switches import drawn, pooled_rows
from tui.widgets.columns import ShownColumn
from tui.widgets.drawings import Dumbbell, Interval
from tui.widgets.row_lines import laid_out
from tui.widgets.rows import RowsView

BOTH = Dumbbell(("b", "bl", "bh"), ("a", "al", "ah"))
GAIN = Interval("low", "high", "gain", percent=False, zero=True)
SCALE = scale_of(0.0, 1.0, 21)


def rates(before: float | None, after: float | None) -> dict[str, float | None]:
    return {
        "b": before, "bl": before and before - 0.2, "bh": before and before + 0.2,
        "a": after, "al": after and after - 0.1, "ah": after and after + 0.1,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("before", "after", "cells"),
    [
        (0.5, 0.8, "          ○─────●    "),
        (0.8, 0.5, "          ●─────○    "),
        (0.5, 0.5, "          ◉          "),
        (0.5, None, "          ○          "),
        (None, 0.8, "                ●    "),
        (None, None, " " * 21),
    ],
)
def test_before_and_after_are_joined(before: float | None, after: float | None, cells: str) -> None:
    assert BOTH.cells(rates(before, after), SCALE, 21) == cells


def test_where_there_is_room_both_have_their_intervals_the_later_above() -> None:
    scale = scale_of(0.0, 1.0, 41)
    assert BOTH.cells(rates(0.4, 0.8), scale, 41) == (
        " " * 8 + "├───────○───────┤   ┝━━━●━━━┥" + " " * 4
    )
    assert BOTH.cells(rates(0.5, 0.6), scale, 41) == " " * 12 + "├───────○━━━●━━━┥" + " " * 12


def test_a_difference_lies_over_its_zero() -> None:
    scale = scale_of(-0.2, 0.2, 21)
    row: dict[str, Any] = {"low": -0.1, "gain": 0.04, "high": 0.16}
    assert GAIN.cells(row, scale, 21) == "     ┝━━━━┿━●━━━━━┥  "
    assert GAIN.cells({"low": 0.04, "gain": 0.1, "high": 0.16}, scale, 21) == (
        "          │ ┝━━●━━┥  "
    )
    assert GAIN.cells({"low": None, "gain": None, "high": None}, scale, 21) == (
        "          │          "
    )
    assert GAIN.told(row) == "−10 to +16"


def test_what_is_drawn_is_told_in_figures_where_it_is_copied() -> None:
    assert BOTH.told(rates(0.5, 0.8)) == "before 50 % (30 to 70), after 80 % (70 to 90)"
    assert BOTH.told(rates(None, 0.8)) == "after 80 % (70 to 90)"


def test_changes_have_their_drawings_and_their_pooled_row() -> None:
    answer = known("switches")
    columns = drawn(columns_of(answer))
    assert [c.title for c in columns if c.drawing] == ["○ before ● after", "fewer │ more"]
    (foot,) = pooled_rows(answer)
    assert foot["player"] == "3 all together"
    words = {c.sorts: c.words(foot) for c in columns if c.drawing is None}
    assert words.pop("player") == "3 all together"
    gain = answer.part("pooled").rows()[0]["gain"]
    assert words.pop("gain").startswith(f"+{100 * gain:.0f} (")
    assert set(words.values()) == {""}


def test_without_the_player_who_was_noticed_there_are_two_pooled_rows() -> None:
    answer = known("switches")
    part = answer.part("without_noticed")
    fewer = Part(part.columns, part.frame.with_columns(players=pl.lit(2, pl.Int64)))
    told = replace(answer, parts={**answer.parts, "without_noticed": fewer})
    assert [row["player"] for row in pooled_rows(told)] == [
        "2 without the rumour", "3 all together",
    ]  # fmt: skip
    none = Part(part.columns, part.frame.with_columns(gain=pl.lit(None, pl.Float64)))
    assert pooled_rows(replace(answer, parts={"without_noticed": none, "pooled": none})) == []


async def test_rows_for_all_together_stand_under_the_others_and_are_never_chosen() -> None:
    app = RowsApp()
    async with app.run_test(size=(60, 12)) as pilot:
        rows = app.query_one(RowsView)
        foot = [{"player": "3 all together", "made": None}]
        rows.show(frame(30), COLUMNS[:2], identity=("player",), foot=foot)
        await pilot.pause(0.0)
        lines = [rows.render_line(y).text for y in range(12)]
        assert "3 all together" in lines[-1]
        rows.action_edge(1)
        await pilot.pause(0.0)
        chosen = rows.chosen()
        assert chosen is not None
        assert chosen["player"] == "Player 00029"
        assert "▸ Player 00029" in rows.render_line(9).text
        await pilot.resize_terminal(60, 4)
        await pilot.pause(0.0)
        assert "3 all together" not in "".join(rows.render_line(y).text for y in range(4))


@pytest.mark.parametrize(("low", "high"), [(-0.02, 0.2), (-0.1, 0.1), (-0.2, 0.02), (0.01, 0.3)])
@pytest.mark.parametrize("cells", [50, 79, 118])
def test_the_words_over_a_difference_part_where_its_zero_is(
    low: float, high: float, cells: int
) -> None:
    rows = [{"player": "Tarn", "gain": (low + high) / 2, "low": low, "high": high}]
    columns = (
        ShownColumn("player", lambda r: r["player"]),
        ShownColumn("less │ more", least=16, most=44, drawing=GAIN),
    )
    lines = laid_out(columns, pl.DataFrame(rows), rows, (), cells)
    zero = lines.row({**rows[0], "low": None, "high": None, "gain": None}, here=False).index("│")
    at = lines.heading().index("│")
    assert "less │ more" in lines.heading()
    # At the very edge of the drawing the words keep their room.
    start, wide = 3 + lines.places[0].cells, lines.places[1].cells
    assert at == start + min(max(zero - start, len("less ")), wide - len("│ more"))
