"""Intervals and the chart of shares, drawn in cells."""

from __future__ import annotations

from dataclasses import replace

import polars as pl
import pytest
from textual.app import App, ComposeResult

from ledger.questions.strip import axis_cells, interval_cells, scale_of
from tui.screens.uptake import lines_of
from tui.widgets.canvas import Canvas
from tui.widgets.drawings import Interval
from tui.widgets.lines import Words
from tui.widgets.uptake_chart import LEGEND, SIGNS, ChartLine, Season, draw

SCALE = scale_of(0.0, 1.0, 51)


@pytest.mark.parametrize(
    ("low", "point", "high", "drawn"),
    [
        (0.2, 0.3, 0.9, " " * 10 + "┝━━━━●" + "━" * 29 + "┥" + " " * 5),
        (0.2, None, 0.3, " " * 10 + "┝━━━━┥" + " " * 35),
        (None, 0.5, None, " " * 25 + "●" + " " * 25),
        (None, None, None, " " * 51),
        (-0.2, 0.1, 0.2, "‹━━━━●━━━━┥" + " " * 40),
        (0.9, 1.0, 1.3, " " * 45 + "┝━━━━●"),
    ],
)
def test_an_interval_stands_where_its_figures_are(
    low: float | None, point: float | None, high: float | None, drawn: str
) -> None:
    assert interval_cells(low, point, high, SCALE, 51) == drawn


def test_the_axis_names_the_cells_that_the_marks_stand_in() -> None:
    scale = scale_of(0.58, 0.92, 60)
    axis = axis_cells(scale, 60)
    for tick in (0.6, 0.7, 0.8, 0.9):
        mark = interval_cells(None, tick, None, scale, 60).index("●")
        assert axis[mark : mark + 2] == f"{100 * tick:.0f}"
    assert axis.count("%") == 1


@pytest.mark.parametrize("cells", [16, 20, 33, 60])
@pytest.mark.parametrize(("low", "high"), [(0.0, 1.0), (0.44, 0.9), (0.8, 0.81), (-0.14, 0.23)])
def test_a_scale_holds_all_and_its_labels_do_not_touch(low: float, high: float, cells: int) -> None:
    scale = scale_of(low, high, cells)
    assert scale.low <= low
    assert scale.high >= high
    axis = axis_cells(scale, cells)
    assert len(axis) == cells
    assert all(part.lstrip("−").isdigit() for part in axis.replace(" %", "").split())


def season(year: int, share: float | None, *, foreseen: bool = False) -> Season:
    low, high = (0.03, 0.7) if share is None else (max(0.0, share - 0.05), share + 0.1)
    return Season(year, f"{year}", share, low, high, foreseen)


def drawn(*lines: ChartLine, cells: int = 80, height: int = 16) -> list[str]:
    canvas = draw(lines, cells, height)
    return ["".join(sign for sign, _ in canvas.line(y)) for y in range(height)]


def test_a_line_has_its_points_its_intervals_and_its_name_at_the_end() -> None:
    text = drawn(ChartLine("Halma League", tuple(season(2019 + k, 0.05 * k) for k in range(6))))
    whole = "\n".join(text)
    assert whole.count(SIGNS[0]) == 7
    assert whole.count("┬") >= 5
    assert "● Halma League" in whole
    assert all(str(2019 + k) in text[-1] for k in range(6))
    columns = [line.index(SIGNS[0]) for line in text if SIGNS[0] in line[:60]]
    assert columns == sorted(columns, reverse=True)


def test_bounds_are_a_dotted_range_without_a_point() -> None:
    line = ChartLine("Kesto", (season(2022, None), season(2023, None)))
    whole = "\n".join(drawn(line))
    assert "┊" in whole
    assert whole.count(SIGNS[0]) == 1
    assert "┬" not in whole


@pytest.mark.parametrize("between", [(season(2022, None),), ()], ids=["bounds", "missing"])
def test_no_line_is_drawn_through_a_season_without_a_share(between: tuple[Season, ...]) -> None:
    whole = "\n".join(drawn(ChartLine("Halma", (season(2021, 0.1), *between, season(2023, 0.3)))))
    assert whole.count(SIGNS[0]) == 3
    assert not any("\u2800" < c <= "\u28ff" for c in whole)


def test_a_forecast_is_dashed_and_open() -> None:
    solid = ChartLine("Halma", (season(2022, 0.1), season(2023, 0.1)))
    dashed = ChartLine("Halma", (season(2022, 0.1), season(2023, 0.1, foreseen=True)))
    a, b = "\n".join(drawn(solid)), "\n".join(drawn(dashed))

    def dots(text: str) -> int:
        return sum("\u2800" < c <= "\u28ff" for c in text)

    assert 0 < dots(b) < dots(a)
    assert "○" in b
    assert "○" not in a


def test_seasons_without_room_for_their_names_have_short_ones_and_none_is_cut() -> None:
    seasons = tuple(
        replace(season(2015 + k, 0.02 * k), label=f"{2015 + k}-{16 + k}", foreseen=k == 10)
        for k in range(11)
    )
    short = drawn(ChartLine("Okelmar Division", seasons), cells=78, height=6)[-1].split()
    assert short == ["15-16", "17-18", "19-20", "21-22", "23-24", "25-26"]
    whole = drawn(ChartLine("Okelmar Division", seasons), cells=140, height=12)[-1].split()
    assert whole == [s.label for s in seasons]


def test_the_open_circle_is_explained_beside_the_picture_and_in_the_legend() -> None:
    ahead = ChartLine("Halma", (season(2022, 0.1), season(2023, 0.1, foreseen=True)))
    for cells, height in ((60, 6), (120, 14)):
        assert "○ forecast" in "\n".join(drawn(ahead, cells=cells, height=height))
    seen = ChartLine("Halma", (season(2022, 0.1), season(2023, 0.1)))
    assert "forecast" not in "\n".join(drawn(seen))


def test_every_sign_of_the_picture_is_the_one_of_the_legend() -> None:
    lines = (
        replace(season(2021, 0.2), low=0.1, high=0.3),
        replace(season(2022, None), low=0.0, high=0.9),
        replace(season(2023, 0.2), low=0.1, high=0.3),
        replace(season(2024, 0.2, foreseen=True), low=0.1, high=0.3),
    )
    picture = "".join(drawn(ChartLine("H", lines), cells=100, height=20))
    assert "…" not in picture
    plot = {c for c in picture if not c.isalnum() and not "\u2800" <= c <= "\u28ff"}
    assert plot - set(" ─┤%.-") - {SIGNS[0]} <= set(LEGEND)


@pytest.mark.parametrize("top", [0.07, 0.41, 0.55, 0.83, 1.0])
def test_a_line_more_or_less_leaves_the_scale_as_it_is(top: float) -> None:
    line = ChartLine("H", tuple(replace(season(2020 + k, top), low=0.0, high=top) for k in (0, 1)))
    scales = {
        tuple(x.split("%")[0].strip() for x in drawn(line, cells=78, height=height) if "%" in x)
        for height in range(7, 14)
    }
    assert len(scales) == 1
    (ticks,) = scales
    assert 2 <= len(ticks) <= 6


def test_lines_are_told_apart_without_colour() -> None:
    lines = [
        ChartLine(f"League {i}", tuple(season(2019 + k, 0.1 + 0.02 * k) for k in range(4)))
        for i in range(4)
    ]
    whole = "\n".join(drawn(*lines, cells=100, height=20))
    for i in range(4):
        assert f"{SIGNS[i]} League {i}" in whole
        assert whole.count(SIGNS[i]) >= 4


@pytest.mark.parametrize(("cells", "height"), [(1, 1), (10, 3), (20, 5), (33, 6), (200, 60)])
def test_any_size_can_be_drawn(cells: int, height: int) -> None:
    lines = [ChartLine("[/red] 하늘 리그", (season(2020, 0.1), season(2023, None)))]
    for y, line in enumerate(drawn(*lines, cells=cells, height=height)):
        assert isinstance(line, str), y


def test_no_line_and_one_season_can_be_drawn() -> None:
    assert "".join(drawn()).strip() == ""
    assert SIGNS[0] in "\n".join(drawn(ChartLine("One", (season(2024, 0.2),))))


def test_a_canvas_loses_what_lies_outside() -> None:
    canvas = Canvas(3, 1)
    canvas.put(-1, 0, "abcdef", 0)
    canvas.put(0, 5, "x", 0)
    assert "".join(sign for sign, _ in canvas.line(0)) == "bcd"


def test_each_league_of_an_answer_is_a_line_with_its_forecast() -> None:
    from tests.tui.fake_book import FakeBook

    lines = lines_of(FakeBook().ask("uptake"))
    assert [line.name for line in lines] == ["Halma League", "Kesto Liga"]
    assert [s.foreseen for s in lines[0].seasons] == [False] * 6 + [True]
    assert lines[1].seasons[1].share is None
    assert lines[1].seasons[1].high == 0.71


def test_a_forecast_is_called_as_the_seasons_before_it_are() -> None:
    from tests.tui.fake_book import FakeBook

    assert lines_of(FakeBook().ask("uptake"))[0].seasons[-1].label == "2025-26"


def test_a_curve_that_ends_before_the_last_season_foresees_nothing() -> None:
    from tests.tui.fake_book import FakeBook

    answer = FakeBook().ask("uptake")
    ahead = answer.parts["forecast"]
    late = ahead.frame.with_columns(pl.col("start_year") - 1)
    parts = {**answer.parts, "forecast": replace(ahead, frame=late)}
    lines = lines_of(replace(answer, parts=parts))
    assert not any(s.foreseen for line in lines for s in line.seasons)


def test_the_axis_of_points_tells_them_as_they_are_and_has_a_minus_of_its_own() -> None:
    scale = scale_of(-17.0, 28.0, 40)
    axis = axis_cells(scale, 40, share=False)

    assert axis.split() == ["−10", "0", "10", "20"]
    assert axis[scale.place(0.0, 40)] == "0"


def test_a_difference_of_points_is_drawn_over_zero_and_copied_in_points() -> None:
    drawing = Interval("low", "high", "point", percent=False, zero=True, share=False)
    row = {"low": -17.0, "high": 28.0, "point": 10.0}
    scale = scale_of(-17.0, 28.0, 46)

    assert drawing.cells(row, scale, 46) == f"┝{'━' * 16}┿{'━' * 9}●{'━' * 17}┥"
    assert drawing.told(row) == "−17 to 28"
    assert drawing.cells({}, scale, 46).strip() == "│"


async def test_words_that_are_left_out_leave_a_sign_and_the_key_that_shows_them() -> None:
    class CutApp(App[None]):
        CSS = "Words { max-height: 2; }"

        def compose(self) -> ComposeResult:
            yield Words("About 19 more per 100, and a loss is not ruled out here.")

    app = CutApp()
    async with app.run_test(size=(22, 4)) as pilot:
        words = app.query_one(Words)
        # No figure is cut in two: 10 is not 100.
        assert shown(words) == ["About 19 more per 100,", "and a loss is not …"]
        words.whole_by = "w"
        words.fit()
        await pilot.pause(0.0)
        assert shown(words) == ["About 19 more per 100,", "and a loss is … (w)"]
        words.say("All of it is here.")
        await pilot.pause(0.0)
        assert shown(words) == ["All of it is here."]


def shown(words: Words) -> list[str]:
    """The lines that a place of words shows."""
    return [words.render_line(y).text.rstrip() for y in range(words.size.height)]
