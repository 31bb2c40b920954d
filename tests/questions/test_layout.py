from __future__ import annotations

from typing import Any

import pytest

from ledger.questions.layout import LAYOUTS, Shown, cell
from ledger.questions.part_layouts import PART_LAYOUTS
from ledger.questions.registry import QUESTIONS
from tests.questions.ground import Ground


def shown(question: str, title: str) -> Shown:
    (found,) = (one for one in LAYOUTS[question] if one.title == title)
    return found


@pytest.mark.parametrize(
    ("question", "title", "row", "said"),
    [
        ("ranking", "season", {"season": "a, b, c", "seasons_shown": "a to c"}, "a to c"),
        ("ranking", "season", {"season": "2024-25"}, "2024-25"),
        ("ranking", "season", {}, "-"),
        ("ranking", "made", {"made": 5, "attempts": 1180}, "5/1,180"),
        ("ranking", "technique", {"state": "occasional"}, "now and then"),
        ("ranking", "technique", {"state": None}, "-"),
        ("ranking", "", {"rank": 2}, "2"),
        ("ranking", "", {"rank": None}, "-"),
        (
            "ranking", "allowing for luck",
            {"shrunken_rate": 0.849, "low": 0.792, "high": 0.896, "attempts": 103},
            "84.9 % (79.2 to 89.6)",
        ),
        (
            "ranking", "allowing for luck",
            {"shrunken_rate": 0.793, "low": 0.7, "high": 0.9, "attempts": 5}, "79 % (70 to 90)",
        ),
        ("adopters", "share of attempts", {"share": 0.5, "low": 0.1, "high": 0.9, "tagged": 8},
         "4 of 8"),
        ("adopters", "to call it", {"more_tags": 13}, "13"),
        # The share of a league is no count, and one of few players has no interval.
        ("uptake", "share", {"share": 0.0, "low": 0.0, "high": 0.42, "tagged": 8}, "0 % (0 to 42)"),
        ("uptake", "share", {"share": 0.25, "tagged": 60}, "25 %"),
        ("uptake", "share", {"least_share": 0.03, "most_share": 0.71, "tagged": 60}, "3 to 71 %"),
        ("uptake", "share", {"share_why": "no lot"}, "no lot"),
        ("uptake", "adopters", {"adopters": None}, "-"),
    ],
)  # fmt: skip
def test_a_cell_says_its_figure_or_why_there_is_none(
    question: str, title: str, row: dict[str, Any], said: str
) -> None:
    assert cell(shown(question, title), row) == said


def test_a_shared_rank_carries_a_sign() -> None:
    assert cell(shown("ranking", ""), {"rank": 2}, tied=True) == "2="


@pytest.mark.parametrize("name", PART_LAYOUTS)
def test_layouts_of_further_frames_name_columns_they_have(ground: Ground, name: str) -> None:
    question, _, part = name.partition(".")
    names = {column.name for column in ground.ask(question).part(part).columns}

    for one in PART_LAYOUTS[name]:
        assert {*one.columns, *filter(None, (one.why, one.count))} <= names


@pytest.mark.parametrize(
    ("kind", "columns", "row", "said"),
    [
        ("share", ("rate",), {"rate": 0.5168}, "51.7 %"),
        ("luck", ("p",), {"p": 0.144}, "about once in 7"),
        ("difference", ("gain",), {"gain": 0.05}, "+5"),
        # All or nothing: a difference without limits has none, not those of 0.
        ("difference", ("gain", "low", "high"), {"gain": 0.5}, "+50"),
        ("difference", ("gain", "low", "high"), {"gain": 0.5, "low": 0.2, "high": 0.7},
         "+50 (+20 to +70)"),
    ],
)  # fmt: skip
def test_figures_without_limits_are_told_alone(
    kind: Any, columns: tuple[str, ...], row: dict[str, float], said: str
) -> None:
    assert cell(Shown("", kind, columns), row) == said


@pytest.mark.parametrize("question", QUESTIONS)
def test_layouts_name_columns_their_answers_have(ground: Ground, question: str) -> None:
    names = {column.name for column in ground.ask(question).columns}

    for one in LAYOUTS[question]:
        assert {*one.columns, one.why or "season", one.count or "season"} - {"season"} <= names
