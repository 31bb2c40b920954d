"""Grids of misses and courts of rebounds, drawn in cells and told in words."""

from __future__ import annotations

import pytest

from tests.tui.driving import press, rest, running, text_of
from tests.tui.fake_book import HOSTILE
from tests.tui.known_answers import known
from tui.screens.miss_pictures import courts_of, grids_of
from tui.screens.misses import MissesScreen
from tui.styles.themes import PLAIN
from tui.widgets import court_view, miss_grid
from tui.widgets.court_view import CourtView, ReboundCourt
from tui.widgets.leaves import fitting
from tui.widgets.miss_grid import MissGrid, MissGridView, Told
from tui.widgets.rows import RowsView

STUDIED = ("board-assisted",)


def grid(title: str, counts: dict[tuple[str, str], int], foot: str = "") -> MissGrid:
    """A grid of some counts; cells without one have no miss."""
    seen = sum(counts.values())
    cells = [(depth, side) for depth in miss_grid.DEPTHS for side in miss_grid.SIDES]
    told = {cell: Told(counts.get(cell, 0), counts.get(cell, 0) / seen if seen else None)
            for cell in cells}  # fmt: skip
    return MissGrid(title, told=told, seen=seen, foot=foot)


FORTY = grid(
    "Off the backboard: 40 misses",
    {("long", "left"): 10, ("level", "left"): 16, ("short", "centre"): 3, ("short", "right"): 6,
     ("long", "right"): 5},
    foot="offensive rebounds 12 % (8 to 20)",
)  # fmt: skip


def lines(grids: list[MissGrid], cells: int, height: int, chosen: int = 0) -> list[str]:
    return miss_grid.draw(grids, cells, height, chosen).text().splitlines()


def test_a_grid_has_long_above_left_at_the_left_and_a_ground_by_its_share() -> None:
    assert lines([FORTY], 40, 9) == [
        "Off the backboard: 40 misses",
        "         left      centre     right",
        "long  ▓▓ 25 % ▓▓     0      ▒▒ 12 % ▒▒",
        "      ▓▓▓ 10 ▓▓▓            ▒▒▒ 5 ▒▒▒▒",
        "level ▓▓ 40 % ▓▓     0          0",
        "      ▓▓▓ 16 ▓▓▓",
        "short     0      ░░ 8 % ░░░ ▒▒ 15 % ▒▒",
        "                 ░░░ 3 ░░░░ ▒▒▒ 6 ▒▒▒▒",
        "offensive rebounds 12 % (8 to 20)",
    ]


def test_a_low_window_has_one_line_a_row_with_the_ground_before_the_figures() -> None:
    assert lines([FORTY], 40, 5) == [
        "Off the backboard: 40 misses",
        "         left      centre     right",
        "long  ▓25 % 10    0         ▒12 % 5",
        "level ▓40 % 16    0          0",
        "short  0         ░8 % 3     ▒15 % 6",
    ]
    # In four the heading of the sides goes, not a row.
    assert lines([FORTY], 40, 4)[1].startswith("long")
    assert lines([FORTY], 40, 3)[0] == "no room for the picture"


def test_below_ten_misses_there_are_counts_and_no_ground() -> None:
    few = grid("Underhand: 4 misses, counts only", {("short", "left"): 3, ("long", "centre"): 1})
    assert lines([few], 40, 5) == [
        "Underhand: 4 misses, counts only",
        "         left      centre     right",
        "long   0          1          0",
        "level  0          0          0",
        "short  3          0          0",
    ]


def test_grids_stand_side_by_side_then_under_each_other_then_on_further_pages() -> None:
    three = [grid(f"Way {n}: 12 misses", {("long", "left"): 12}) for n in "ABC"]
    wide = lines(three, 120, 9)
    assert all(f"Way {n}" in wide[0] for n in "ABC")
    assert "▸" not in wide[0]
    high = lines(three, 78, 20)
    assert "Way A" in high[0]
    assert "Way B" in high[0]
    assert high[9].startswith("Way C")
    # The chosen one is seen, and marked where others are not.
    assert lines(three, 40, 9, chosen=2)[0] == "▸ Way C: 12 misses"


def test_without_a_miss_nothing_is_drawn() -> None:
    assert set(lines([], 80, 9)) == {""}
    assert court_view.draw([], 80, 20).text().strip() == ""


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.parametrize(("cells", "height"), [(80, 9), (40, 5), (10, 2), (120, 30)])
def test_names_from_files_write_nothing_but_themselves(name: str, cells: int, height: int) -> None:
    for canvas in (
        miss_grid.draw([grid(name, {("long", "left"): 12}, foot=name)] * 2, cells, height),
        court_view.draw([ReboundCourt(name, {"front": Told(12, 1.0)}, 12)] * 2, cells, height),
    ):
        drawn = canvas.text()
        assert "\x1b" not in drawn
        assert "\u202e" not in drawn
        assert len(drawn.split("\n")) == height


def test_a_page_of_pictures_holds_the_chosen_one_and_is_full() -> None:
    for number in range(1, 9):
        for chosen in range(number):
            shown = fitting(number, chosen, (78, 19), (37, 9), 2)
            assert chosen in shown.numbers
            assert len(shown.numbers) == min(4, number)
            assert shown.some == (number > 4)


REBOUNDS = ReboundCourt(
    "Off the backboard, missed left: 50 rebounds",
    {"front": Told(10, 0.2), "left_side": Told(25, 0.5), "left_corner": Told(8, 0.16),
     "high": Told(4, 0.08), "right_side": Told(2, 0.04), "behind": Told(1, 0.02),
     "right_corner": Told(0, 0.0)},
    50,
)  # fmt: skip


def test_the_court_has_the_ring_above_and_every_zone_with_share_and_count() -> None:
    assert court_view.draw([REBOUNDS], 37, 10).text().splitlines() == [
        "Off the backboard, missed left: 50 r…",
        "⡏⠉⡏⠉⠉⠉⠉⠉⠉⠉⠉⠉⢹⠉⠉ 2 % 1 ⠉⠉⡏⠉⠉⠉⠉⠉⠉⠉⠉⠉⢹⠉⢹",
        "⡇░⡇░░░░⠈▒▒▒▒⢸░⠄⡄▔▔▔▔▔⢠⠠░⡇    ⠁    ⢸ ⢸",
        "⡇░⡇░░░░⠈▒▒▒▒⢸░░⢱⡀░o░⢀⡎░░⡇    ⠁    ⢸ ⢸",
        "⡇░⣇16 %⠈50 %⢸░░ 20 % ░░░⡇4 % ⠁ 0  ⣸ ⢸",
        "⡇░⠸ 8 ░⠈ 25 ⢸░░░ 10 ░░░░⡇ 2  ⠁   ⢀⠇ ⢸",
        "⡇░░⠣⡀░░⠈▒▒▒▒⢸░░░░░░░░░░░⡇    ⠁  ⢀⠜  ⢸",
        "⡇░░░⠱⠄░⠈▒▒▒▒⢸░░░░░░░░░░░⡇    ⠁ ⠠⠎   ⢸",
        "⡏ ⠈ ⠈⠈⢊⠈⠈ ⠈ ⠈⠉⡏ 8 % 4 ⢹⠉⠁ ⠁ ⠁⠁⡑⠁⠁ ⠁ ⢹",
        "⡇      ⠁⠢⣀    ⠙⢄     ⡠⠋    ⣀⠔⠈      ⢸",
    ]


@pytest.mark.parametrize("cells", [45, 60, 90, 120])
def test_the_court_keeps_its_shape_at_any_size(cells: int) -> None:
    # Official Basketball Rules 2020 (FIBA), from memory: the lane is 4.90 of 15 m wide and its line
    # 5.80 m from the end line; a cell is twice as high as wide.
    left, right = (round((7.5 + side * 2.45) / 15 * cells) for side in (-1, 1))
    high = 1 + round(8.6 * cells / 15 / 2)
    drawn = court_view.draw([ReboundCourt("")], cells, high).text().split("\n")[1:]
    dotted = [
        y for y, row in enumerate(drawn)
        if y > 2 and all(0x2800 < ord(sign) < 0x2900 for sign in row[left + 1 : right - 1])
    ]  # fmt: skip
    assert dotted[0] == pytest.approx(5.80 / 15 * cells / 2, abs=1)


def test_where_a_court_has_no_room_its_zones_are_told_in_words_those_with_most_first() -> None:
    assert court_view.draw([REBOUNDS], 38, 4).text().splitlines() == [
        "▸ Off the backboard, missed left: 50 …",
        "left side 50 % 25  front 20 % 10",
        "left corner 16 % 8  high 8 % 4",
        "right side 4 % 2  behind 2 % 1",
    ]


def test_pictures_of_an_answer_have_its_own_figures() -> None:
    answer = known("misses")
    straight, board, underhand = grids_of(answer, STUDIED)
    assert (straight.title, straight.more) == ("Straight: 120 misses", " of 5 players")
    assert (board.marked, straight.marked) == (True, False)
    assert board.told["level", "left"] == Told(35, 35 / 120)
    assert board.foot == "offensive rebounds 12 % (8 to 20)"
    assert underhand.title == "Underhand: 4 misses, counts only"
    assert underhand.foot == "no live miss with a rebound noted"
    whole = courts_of(answer, "rebound_zones", STUDIED)
    assert [one.title for one in whole] == [
        "Straight: 120 rebounds", "Off the backboard: 120 rebounds",
    ]  # fmt: skip
    sides = courts_of(answer, "zones", STUDIED)
    assert sides[3].title == "Off the backboard, missed left: 60 rebounds"
    rows = {r["zone"]: r for r in answer.part("zones").rows() if r["technique"] == "board"
            and r["miss_side"] == "left"}  # fmt: skip
    assert {zone: (t.count, t.share) for zone, t in sides[3].told.items()} == {
        zone: (r["count"], r["share"]) for zone, r in rows.items()
    }


async def test_the_picture_follows_the_row_under_the_cursor_in_any_order() -> None:
    async with running(show="misses", size=(40, 12)) as (app, pilot, _):
        assert "▸ Straight: 120 misses" in text_of(app)
        # Here the rows have no room, and are gone through all the same.
        await press(pilot, "down")
        assert "▸ Off the backboard: 120 misses" in text_of(app)
        rows = app.screen.query_one("#rows", RowsView)
        rows.order_by("misses", falling=False)
        rows.go(0)
        await rest(pilot)
        row = rows.chosen()
        assert row is not None
        assert row["technique"] == "underhand"
        assert app.screen.query_one(MissGridView).chosen == 2


async def test_a_row_is_told_with_the_limits_of_every_cell_it_stands_for() -> None:
    async with running(show="misses") as (app, pilot, _):
        await press(pilot, "down", "d")
        shown = text_of(app)
        assert "level, left: 35 of 120, 29.2 % (21.8 to 37.8)" in shown
        assert "long, centre: 0 of 120" in shown
        await press(pilot, "escape", "tab", "tab", "d")
        assert "front: 0 of 10, 0 % (0 to 28)" in text_of(app)


async def test_copied_are_all_cells_not_one_row_a_picture() -> None:
    async with running(show="misses") as (app, pilot, _):
        await press(pilot, "Y")
        assert app.clipboard.splitlines() == known("misses").main.csv().splitlines()
        await press(pilot, "tab", "y")
        copied = app.clipboard.splitlines()
        assert "zone" in copied[3]
        assert len(copied) == 4 + known("misses").part("rebound_zones").frame.height


async def test_without_colour_the_same_is_told() -> None:
    async with running(show="misses") as (app, pilot, _):
        coloured = text_of(app)
        app.theme = PLAIN
        await rest(pilot)
        assert text_of(app) == coloured
        assert isinstance(app.screen, MissesScreen)


async def test_the_court_has_its_place_and_the_keys_stay_in_the_window() -> None:
    for size in ((80, 24), (80, 20), (60, 16), (40, 12), (160, 48)):
        async with running(show="misses", size=size) as (app, pilot, _):
            await press(pilot, "tab")
            app.screen.tell("something is said too")  # type: ignore[attr-defined]
            await rest(pilot)
            shown = text_of(app).splitlines()
            assert len(shown) == size[1]
            assert "? keys" in shown[-1]
            assert app.screen.query_one(CourtView).display
