"""Words taken out of answers: sentences, and a headline without what it tells to type."""

from __future__ import annotations

import pytest

from ledger.story.taking import stated
from tests.charts import answers


@pytest.mark.parametrize(
    ("headline", "told"),
    [
        ("No live misses recorded: type --offensive-rebound.", "No live misses recorded."),
        (
            "There is no list yet: type offglass list NAME add PLAYER, then ask with --list NAME.",
            "There is no list yet.",
        ),
        (
            "Two players changed: no prediction. Type --gain 5 for the points of an assumed gain.",
            "Two players changed: no prediction.",
        ),
        ("4 % of free throws (1 to 9) now; of one type only.", None),
    ],
)
def test_a_statement_tells_nobody_what_to_type(headline: str, told: str | None) -> None:
    assert stated(answers.ranking(1, headline=headline)) == (told or headline)
