from __future__ import annotations

import numpy as np
import pytest
from statsmodels.stats.contingency_tables import StratifiedTable

from ledger.stats.team_mates import WHY_FEW, compare

WITH, WITH_NOT = [3, 4, 2], [20, 10, 15]
WITHOUT, WITHOUT_NOT = [1, 2, 0], [60, 30, 50]


def test_the_ratio_and_its_limits_are_those_of_a_reference_library() -> None:
    found = compare(WITH, WITH_NOT, WITHOUT, WITHOUT_NOT)

    tables = np.array([[WITH, WITH_NOT], [WITHOUT, WITHOUT_NOT]], dtype=float)
    theirs = StratifiedTable(tables)
    assert found.odds_ratio == pytest.approx(theirs.oddsratio_pooled)
    assert (found.low, found.high) == pytest.approx(theirs.oddsratio_pooled_confint(), rel=1e-6)
    assert (found.seasons, found.why) == (3, "")


@pytest.mark.parametrize(
    ("tables", "refused"),
    [
        (([4], [20], [3], [60]), True),
        (([5], [20], [3], [60]), False),
        (([2, 3], [20, 9], [0, 1], [60, 9]), False),
        (([5], [20], [0], [60]), True),
        (([5], [0], [3], [0]), True),
        (([5], [2], [3], [0]), True),
        (([], [], [], []), True),
    ],
)
def test_too_few_adoptions_are_not_compared(
    tables: tuple[list[int], list[int], list[int], list[int]], refused: bool
) -> None:
    found = compare(*tables)

    assert (found.why == WHY_FEW) is refused
    assert (found.odds_ratio is None) is refused
    assert (found.low is None) is (found.high is None) is refused


def test_a_trend_of_the_whole_league_is_no_difference_within_seasons() -> None:
    # Early nobody has an adopter beside him and few adopt; late all have and many do.
    found = compare([1, 30], [9, 70], [10, 3], [90, 7])
    pooled = compare([31], [79], [13], [97])

    assert found.odds_ratio == pytest.approx(1.0)
    assert pooled.low is not None
    assert pooled.low > 1.4
