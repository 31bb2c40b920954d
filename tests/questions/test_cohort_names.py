"""Names in a cohort: without case and accents, near misses asked back, several taken together."""

from __future__ import annotations

from typing import Any

import pytest

from ledger.errors import UseError
from tests.questions.ground import Ground


@pytest.fixture
def named(ground: Ground) -> Ground:
    for season in ("2021-22", "2022-23", "2023-24"):
        ground.shots("Éska Nibo", 30, 40, season=season, position="Aufbau", team="Skérry")
        ground.shots("Oselo", 30, 50, season=season, position="Flügel", team="Fenholt")
    ground.shots("Eska Tarn", 30, 60, league="Drellin Liga", season="2023-24", team="Skerry")
    return ground


@pytest.mark.parametrize(
    ("asked", "attempts"),
    [
        ({"player": "eska nibo"}, 120),
        ({"player": ["ESKA NIBO", "oselo"]}, 270),
        ({"league": "halma  league"}, 270),
        ({"team": "skerry"}, 60),
        ({"team": "Skérry"}, 120),
        ({"team": "skerry", "league": "Halma League"}, 120),
        ({"position": "flugel"}, 150),
        ({"season": "2022/23"}, 90),
        ({"season": "22-23"}, 90),
        ({"season": "2021-22..2022-23"}, 180),
        ({"season": "2022-23..2030-31"}, 240),
        ({"season": ["2021-22", "2023-24"]}, 240),
    ],
)
def test_a_name_means_what_a_person_means(
    named: Ground, asked: dict[str, Any], attempts: int
) -> None:
    answer = named.ask("ranking", min_attempts=1, **asked)

    assert answer.frame["attempts"].sum() == attempts


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"player": "Oselu"}, "did you mean Oselo?"),
        ({"league": "Halma Leag"}, "did you mean Halma League?"),
        ({"team": "Fenhold"}, "did you mean Fenholt?"),
        ({"position": "Aufbauu"}, "did you mean Aufbau?"),
        ({"technique": "bord"}, "did you mean board?"),
        ({"season": "1999-00"}, "there is 2021-22, 2022-23 and 2023-24"),
        ({"season": "2023-24..2021-22"}, "ends before it begins: turn it round"),
        ({"season": "then..now"}, "needs two seasons such as 2019-20..2024-25"),
        ({"list": "spring"}, "it has no list or lot yet"),
        ({"source": 9}, "the ledger has no source 9: the last is 1"),
    ],
)
def test_a_near_miss_is_asked_back(named: Ground, asked: dict[str, Any], said: str) -> None:
    with pytest.raises(UseError) as refused:
        named.ask("ranking", **asked)

    assert said in refused.value.message


def test_the_cohort_is_said_with_the_names_of_the_ledger(named: Ground) -> None:
    answer = named.ask("ranking", league="halma league", team="SKÉRRY", player=["oselo"])

    assert answer.cohort == "Free throws in Halma League, players of Skérry, by Oselo"
    assert answer.asked["league"] == ["halma league"]
    assert named.ask("sources").cohort == "Every source"
    assert named.ask("sources", source=1).cohort == "Source 1"


def test_an_unknown_focus_is_asked_back(named: Ground) -> None:
    with pytest.raises(UseError, match="did you mean underhand"):
        named.ask("adopters", focus=("underhnd",))


def test_a_group_of_techniques_is_a_focus(named: Ground) -> None:
    named.con.execute(
        "UPDATE technique SET groups = 'odd, rare' WHERE name IN ('underhand', 'other')"
    )
    named.shots("Brim", 40, 60, tags={"underhand": (5, 2), "other": (5, 2)})

    answer = named.ask("adopters", player="Brim", focus=("rare",))

    assert answer.frame["focus_tags"].to_list() == [14]
    assert "underhand or in another way" in answer.headline


def test_an_alias_is_a_name(named: Ground) -> None:
    named.con.execute("INSERT INTO player_alias VALUES (2, 1, NULL, 'B. Oselo', 'b. oselo', 1)")

    answer = named.ask("ranking", player="b. oselo")

    assert answer.frame["player"].to_list() == ["Oselo"]


def test_leagues_that_are_one_are_asked_as_one(named: Ground) -> None:
    named.con.execute("UPDATE league SET same_as = 1 WHERE name = 'Drellin Liga'")

    answer = named.ask("ranking", by="league-season", season="2023-24")

    assert answer.frame.select("league", "attempts").rows() == [("Halma League", 150)]
    assert named.ask("attempts", league="Drellin Liga").frame.height == 330


@pytest.mark.parametrize(
    ("field", "names"),
    [
        ("league", ["Drellin Liga", "Halma League"]),
        ("season", ["2021-22", "2022-23", "2023-24"]),
        ("player", ["Eska Tarn", "Oselo", "Éska Nibo"]),
        ("position", ["Aufbau", "Flügel"]),
        ("list", []),
        ("technique", ["board-assisted", "straight", "board", "underhand", "other"]),
    ],
)
def test_the_names_of_a_filter_can_be_listed(named: Ground, field: str, names: list[str]) -> None:
    assert named.reads.choices(field) == names


def test_a_filter_without_names_says_which_have_them(named: Ground) -> None:
    with pytest.raises(UseError, match="period has no names"):
        named.reads.choices("period")
