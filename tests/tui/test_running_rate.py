"""The running rate of one player, drawn in cells."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from ledger.safe_text import width
from tests.tui.fake_book import HOSTILE
from tests.tui.known_answers import known
from tests.tui.test_hostile import FORBIDDEN
from tui.screens.career import career_of
from tui.widgets.running_rate import SIGNS, Career, Change, Game, How, draw

FIRST = date(2024, 11, 1)


def game(number: int, rate: float | None = 0.75, how: How = "other", attempts: int = 5) -> Game:
    low, high = (None, None) if rate is None else (rate - 0.1, rate + 0.1)
    day = FIRST + timedelta(days=number)
    return Game(day, "2024-25", attempts, how, rate, low, high)


def text(career: Career, cells: int = 60, height: int = 12) -> list[str]:
    return draw(career, cells, height).text().split("\n")


def column(lines: list[str], sign: str) -> set[int]:
    return {x for line in lines for x, s in enumerate(line) if s == sign}


def test_the_curve_stands_at_its_rate_over_its_interval() -> None:
    lines = text(Career(tuple(game(n, 0.75) for n in range(40)), studied="off the backboard"))
    assert lines == [
        " 85 % ┤ ░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░",
        "      │ ░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░",
        " 80 % ┤ ░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░",
        "      │ ░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░",
        " 75 % ┤ ⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤⠤◆",
        "      │ ░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░",
        " 70 % ┤ ░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░",
        "      │ ░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░",
        " 65 % ┤ ░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░",
        "shot   ○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○○",
        "       2024-25, from 2024-11-01               to 2024-12-10",
        "       ○ otherwise  ░ 95 %",
    ]


def test_each_game_is_marked_by_how_he_shot_and_the_signs_are_named() -> None:
    order: tuple[How, ...] = ("other", "both", "focus", "unknown")
    hows = [how for how in order for _ in range(10)]
    lines = text(
        Career(tuple(game(n, how=how) for n, how in enumerate(hows)), studied="underhand"), 90
    )
    strip = next(line for line in lines if line.startswith("shot"))[7:]
    assert "".join(dict.fromkeys(strip)) == "○◐●·"
    assert abs(strip.count("●") - strip.count("○")) <= 2
    assert lines[-1].split("  ") == [
        "", "", "", " ● underhand", "○ otherwise", "◐ both", "· not watched", "░ 95 %",
    ]  # fmt: skip


def test_several_games_in_one_cell_are_both_where_they_differ() -> None:
    hows: list[How] = ["focus", "other"] * 200
    lines = text(Career(tuple(game(n, how=how) for n, how in enumerate(hows))))
    assert set(lines[-3][7:]) == {"◐"}
    assert lines[-1].split("  ")[3:] == [" ◐ both", "░ 95 %"]


def test_a_change_stands_at_its_day_over_the_days_it_may_have_happened() -> None:
    change = Change(
        FIRST + timedelta(20), FIRST + timedelta(16), FIRST + timedelta(24), "took it up"
    )
    career = Career(tuple(game(n) for n in range(40)), (change,))
    lines = text(career)
    (at,) = column(lines, "┃")
    # Twenty of forty games of five attempts lie before it: the middle of the 52 cells.
    assert at == 7 + 26
    assert lines[0] == " " * at + "↓ took it up"
    shaded = column(lines[:-1], "▒")
    assert (min(shaded), max(shaded)) == (7 + 20, 7 + 31)
    assert "▒ change, 90 %" in lines[-1]


def test_words_of_a_late_change_stand_at_its_left() -> None:
    change = Change(FIRST + timedelta(39), None, None, "took it up 2024-12-10")
    lines = text(Career(tuple(game(n) for n in range(40)), (change,)))
    assert lines[0].endswith("took it up 2024-12-10 ↓")
    assert lines[0].index("↓") in column(lines[1:], "┃")
    assert "▒" not in "".join(lines)


def test_a_change_without_a_day_is_not_drawn() -> None:
    lines = text(Career(tuple(game(n) for n in range(40)), (Change(None, None, None, "gradual"),)))
    assert "┃" not in "".join(lines)
    assert "gradual" not in "".join(lines)


def test_changes_close_together_do_not_write_over_each_other() -> None:
    near = [Change(FIRST + timedelta(n), None, None, f"change {n}") for n in (18, 20, 22)]
    first = text(Career(tuple(game(n) for n in range(40)), tuple(near)))[0]
    assert "↓ change 18" in first
    assert "change 20" not in first


def test_seasons_stand_where_they_begin() -> None:
    games = [replace(game(n), season=f"{2021 + n // 10}-{22 + n // 10}") for n in range(40)]
    line = text(Career(tuple(games)), 70)[-2]
    assert [line.index(f"{y}-{y - 1999}") for y in (2021, 2022, 2023, 2024)] == [7, 22, 38, 53]


def test_games_before_the_tenth_attempt_have_no_rate_but_are_marked() -> None:
    games = (game(0, None), game(1, None), *(game(n) for n in range(2, 20)))
    lines = text(Career(games))
    assert lines[-3][7:].count("○") == 52
    assert all(not line[7:12].strip("⠠⠤ ") for line in lines[:-3])


def test_one_game_is_one_point_and_none_is_no_picture() -> None:
    assert sum(line.count("◆") for line in text(Career((game(0, attempts=12),)))) == 1
    assert "".join(text(Career())) == ""
    assert not Career((game(0, None),)).drawable
    assert "".join(text(Career((game(0, None),)))) == ""


@pytest.mark.parametrize("games", [1, 2, 50, 400])
@pytest.mark.parametrize(("cells", "height"), [(1, 1), (20, 5), (33, 6), (80, 9), (300, 60)])
def test_any_size_and_number_of_games_can_be_drawn(games: int, cells: int, height: int) -> None:
    change = Change(FIRST + timedelta(1), FIRST, FIRST + timedelta(2), HOSTILE[4])
    rows = tuple(game(n, 0.5 + (n % 7) / 20, "both") for n in range(games))
    lines = text(Career(rows, (change,), HOSTILE[2]), cells, height)
    assert len(lines) == height
    assert all(width(line) <= cells for line in lines)
    assert not any(c in "".join(lines) for c in FORBIDDEN)


def test_an_answer_gives_its_games_its_changes_and_how_he_shot() -> None:
    career = career_of(known("player"), "off the backboard")
    assert [g.how for g in career.games] == ["other"] * 5 + ["focus"] * 8
    (change,) = career.changes
    assert change == Change(date(2024, 11, 6), date(2024, 11, 5), date(2024, 11, 6), change.words)
    assert change.words == "took it up 2024-11-06"
    last = known("player").main.rows()[-1]
    assert (career.games[-1].rate, career.games[-1].low) == (last["running_rate"], last["low"])


def test_every_sign_has_an_ink_of_its_own() -> None:
    assert len({ink for _, ink in SIGNS.values()}) == len({sign for sign, _ in SIGNS.values()}) == 4
