from __future__ import annotations

from typing import Any

import pytest

from ledger.questions.layout import LAYOUTS, Shown, cell
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


@pytest.mark.parametrize("question", QUESTIONS)
def test_layouts_name_columns_their_answers_have(ground: Ground, question: str) -> None:
    names = {column.name for column in ground.ask(question).columns}

    for one in LAYOUTS[question]:
        assert {*one.columns, one.why or "season", one.count or "season"} - {"season"} <= names
