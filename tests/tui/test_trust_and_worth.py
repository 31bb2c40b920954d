"""Agreement, points of a trip, candidates and what to watch: what is drawn and what keys say."""

from __future__ import annotations

from dataclasses import replace

import pytest

from ledger.cohort import Cohort
from ledger.questions.answer import Answer, Part
from tests.tui.driving import press, rest, running, status_of, text_of
from tests.tui.fake_book import HOSTILE, FakeBook
from tests.tui.known_answers import known
from tui.screens.agreement import grid_of
from tui.screens.watch import WatchScreen
from tui.screens.worth import picture_of
from tui.widgets import agreement_grid, worth_curve
from tui.widgets.agreement_grid import AgreementGrid, FieldTold
from tui.widgets.rows import RowsView
from tui.widgets.worth_curve import TripLine, WorthPicture

TECHNIQUE = FieldTold("technique", 58, 60, 0.93, 0.86, 1.0, "0.93 (0.86 to 1.00)")
DEPTH = FieldTold("miss depth", 31, 40, 0.5, 0.4, 0.6, "0.50 (0.40 to 0.60)")
BACKSPIN = FieldTold("backspin", 0, 0, None, None, None, "no attempt told by two people")
PAIRS = {("Ana", "Bo"): (90, 100, 0.9), ("Ana", "Cy"): (58, 60, 58 / 60)}


def test_each_field_has_its_agreement_on_a_common_scale_over_a_line_at_two_thirds() -> None:
    grid = AgreementGrid(("Ana", "Bo"), {}, (TECHNIQUE, DEPTH, BACKSPIN))
    assert agreement_grid.draw(grid, 72, 5).text().splitlines() == [
        "           alike  beyond chance",
        "technique  58/60                       ┊      ┝━●━┥  0.93 (0.86 to 1.00)",
        "miss depth 31/40               ┝━━●━━┥ ┊             0.50 (0.40 to 0.60)",
        "backspin       –  no attempt told by two people",
        "                  0      0.25    0.5     0.75     1",
    ]


def test_three_people_have_a_grid_in_which_those_who_differ_often_are_marked() -> None:
    grid = AgreementGrid(("Ana", "Bo", "Cy"), PAIRS, (TECHNIQUE, BACKSPIN))
    drawn = agreement_grid.draw(grid, 100, 6).text().splitlines()
    assert [line[:33].rstrip() for line in drawn[:5]] == [
        "same technique",
        "             Ana      Bo      Cy",
        "Ana            · ░90/100   58/60",
        "Bo       ░90/100       ·       –",
        "Cy         58/60       –       ·",
    ]
    assert "technique" in drawn[1]
    # Where both have no room beside each other, the fields stand alone.
    assert "same technique" not in agreement_grid.draw(grid, 60, 4).text()


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.parametrize(("cells", "lines"), [(120, 12), (40, 3), (12, 2)])
def test_names_from_files_write_nothing_but_themselves(name: str, cells: int, lines: int) -> None:
    pairs = {(name, "Bo"): (1, 2, 0.5), (name, "Cy"): (3, 3, 1.0)}
    grid = AgreementGrid((name, "Bo", "Cy"), pairs, (replace(TECHNIQUE, said=name), BACKSPIN))
    trip = TripLine(name, ((0.0, 0.0), (1.0, 2.0)), 1.4, 0.5)
    told = WorthPicture((trip,), 0.7, 0.6, 0.8, 1.1, name)
    for canvas in (agreement_grid.draw(grid, cells, lines), worth_curve.draw(told, cells, lines)):
        drawn = canvas.text()
        assert "\x1b" not in drawn
        assert "\u202e" not in drawn
        assert len(drawn.split("\n")) == lines


def test_nothing_is_drawn_of_an_answer_without_rows() -> None:
    assert agreement_grid.draw(AgreementGrid(), 80, 10).text().strip() == ""
    assert worth_curve.draw(WorthPicture(), 80, 10).text().strip() == ""
    nothing = emptied(known("worth"))
    assert picture_of(nothing) == WorthPicture()
    assert grid_of(emptied(known("agreement"))).fields == ()


def emptied(answer: Answer) -> Answer:
    parts = {name: Part(p.columns, p.frame.head(0)) for name, p in answer.parts.items()}
    return replace(answer, main=Part(answer.columns, answer.frame.head(0)), parts=parts)


TRIP = TripLine("two shots", tuple((k / 20, k / 10) for k in range(21)), 1.4, 0.55)


def test_a_trip_is_a_line_with_its_sign_at_the_shooter_and_a_cross_where_a_foul_breaks_even() -> (
    None
):
    told = WorthPicture((TRIP,), 0.7, 0.65, 0.75, 1.1, "Tarn 70 % (65 to 75)")
    assert worth_curve.draw(told, 60, 9).text().splitlines() == [
        " 2.0 ┤                 ░░░░░░░           ⣀⣀⣀⠤⠤⠄ ● two shots",
        "     │                 ░░░░░░░⣀⣀⡠⠤⠤⠔⠒⠒⠉⠉⠉",
        "     │            ⢀⣀⣀⡠⠤⠤⠔⠒●⠉⠉⠉",
        " 1.0 ┤┄⢀⣀⣀⡠⠤⠤⠔⠒⠒╳⠉⠁┄┄┄┄┄┄┄┄┄ 1.10 a possession",
        "     │⠉⠁               ░░░░░░░",
        "     │                 ░░░░░░░",
        " 0.0 ┤                 ░░░░░░░",
        "      40 %   50    60     70     80    90   100",
        "                          ▴ Tarn 70 % (65 to 75)",
    ]
    drawn = worth_curve.draw(told, 60, 9).text().splitlines()
    row = next(line for line in drawn if "╳" in line)
    assert "1.10 a possession" in row
    scale = drawn[-2]
    assert drawn[-1].strip() == "▴ Tarn 70 % (65 to 75)"
    assert abs(drawn[-1].index("▴") - scale.index("70")) <= 1
    sign = next(line for line in drawn[1:] if "●" in line)
    assert sign.index("●") == drawn[-1].index("▴")
    assert row.index("╳") < sign.index("●")


def test_a_typed_rate_has_no_band_and_without_points_of_a_possession_there_is_no_line() -> None:
    told = WorthPicture((TRIP,), 0.7, None, None, None, "70 %, typed")
    drawn = worth_curve.draw(told, 60, 9).text()
    assert "░" not in drawn
    assert "┄" not in drawn
    assert "╳" not in drawn
    assert "▴ 70 %, typed" in drawn


def test_every_line_drawn_has_its_name() -> None:
    lines = tuple(replace(TRIP, name=name) for name in ("one", "two", "three", "mix"))
    for height in (6, 8, 12):
        told = WorthPicture(lines, 0.7, 0.6, 0.8, 1.1, "x")
        drawn = worth_curve.draw(told, 60, height).text()
        shown = min(4, height - 2)
        assert [name for name in ("one", "two", "three", "mix") if f" {name}" in drawn] == [
            "one", "two", "three", "mix",
        ][:shown]  # fmt: skip


def test_the_picture_of_worth_has_the_figures_of_the_answer() -> None:
    answer = known("worth", per_possession=1.1, offensive_rebound=0.12, player="Tarn")
    picture = picture_of(answer)
    even = {row["trip"]: row["rate"] for row in answer.part("break_even").rows()}
    two = next(line for line in picture.lines if line.name == "two shots")
    assert two.crossing == even["two"] == pytest.approx(0.518201, abs=1e-6)
    known_rate = answer.part("known").rows()[0]
    assert (picture.rate, picture.low, picture.high) == tuple(
        known_rate[name] for name in ("value", "low", "high")
    )
    assert picture.possession == 1.1
    assert picture.shooter.startswith("Tarn ")


async def test_a_dispute_is_read_before_it_is_settled_and_undo_takes_it_back() -> None:
    async with running(show="agreement") as (app, pilot, book):
        assert "= settles one" in text_of(app)
        await press(pilot, "tab", "enter")
        shown = text_of(app)
        assert "Attempt 59, Halma League 2024-25: its technique is told" in shown
        assert "Ana: board" in shown
        assert "= settles it." in shown
        await press(pilot, "escape", "equals_sign", "escape")
        assert not [name for name, _ in book.calls if name == "settle"]
        await press(pilot, "equals_sign", "2")
        (told,) = [what for name, what in book.calls if name == "settle"]
        assert told == (59, "board")
        await press(pilot, "u", "y")
        assert ("undo", (3, False, False)) in book.calls


async def test_studying_another_technique_still_works_beside_settling() -> None:
    async with running(show="agreement") as (app, pilot, book):
        await press(pilot, "tab", "equals_sign", "escape", "t", "4")
        assert app.meant.now.focus == ("underhand",)
        assert not [name for name, _ in book.calls if name == "settle"]


class NoList(FakeBook):
    """A ledger that was asked for candidates without a list."""

    def _answer(self, question: str, cohort: Cohort, options: dict[str, object]) -> Answer:
        found = super()._answer(question, cohort, options)
        if question != "candidates" or options.get("list"):
            return found
        return replace(emptied(found), headline="Whose?", asked={}, notes=())


async def test_candidates_without_a_list_say_which_keys_make_and_choose_one() -> None:
    async with running(NoList(), show="candidates") as (app, pilot, _):
        assert "No list is chosen: enter chooses one." in text_of(app)
        shown = text_of(app)
        assert "enter chooses a list; k puts the player of a row" in shown
        assert "less │ more" not in shown
        await press(pilot, "enter", "type:spring", "enter")
        assert "+12 (−11 to +28)" in text_of(app)
        assert "list spring" in text_of(app)


async def test_gains_are_drawn_over_a_zero_in_makes_and_in_points() -> None:
    async with running(show="candidates", size=(120, 36)) as (app, _, _book):
        lines = text_of(app).splitlines()
        heading = next(line for line in lines if "more per 100" in line)
        assert heading.count("less │ more") == 2
        row = next(line for line in lines if line.startswith("▸ Oselo"))
        assert row.count("┿") == 2
        assert row.count("●") == 2


async def test_who_is_to_be_watched_has_more_room_in_a_wide_window() -> None:
    async with running(show="watchlist") as (app, pilot, _):
        narrow = text_of(app)
        assert "P00 (8)" in narrow
        await pilot.resize_terminal(140, 30)
        await rest(pilot)
        wide = text_of(app)
        assert wide.count("P05 (8)") > narrow.count("P05 (8)")
        await press(pilot, "tab")
        assert "more to call it" in text_of(app)
        await press(pilot, "shift+tab", "shift+tab")
        assert "[second opinions 0]" in text_of(app)
        assert status_of(app) == ""


async def test_a_game_of_the_watch_list_is_watched_at_once() -> None:
    async with running(show="watchlist") as (app, pilot, book):
        first = app.screen.query_one("#rows", RowsView).chosen()
        assert first is not None
        wanted = {name: first[name] for name in ("game", "date", "league")}
        for part, key, queue in (
            ([], "enter", ("game", wanted)),
            ([], "v", ("game", wanted)),
            (["tab"], "v", ("player", {"player": "P00", "league": "Halma League"})),
        ):
            app.show("watchlist")
            await rest(pilot)
            await press(pilot, *part, key)
            assert isinstance(app.screen, WatchScreen)
            assert app.screen.asked == queue
            assert "film" in [name for name, _ in book.calls]


async def test_worth_says_what_is_not_known_and_where_to_type_it() -> None:
    async with running(show="worth") as (app, pilot, book):
        assert "Not known: offensive rebounds and points a possession; a types it." in text_of(app)
        await press(pilot, "tab")
        assert "[when a foul pays 4]" in text_of(app)
        await press(pilot, "tab")
        assert "make rate" in text_of(app)
        assert [what for name, what in book.calls if name == "ask"][-1][0] == "worth"
