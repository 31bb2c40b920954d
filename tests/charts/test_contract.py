"""The charts read only columns that the questions promise."""

from __future__ import annotations

import pytest

from ledger.questions import adopters, growing, ranking, uptake

from . import answers


@pytest.mark.parametrize(
    ("built", "promised"),
    [
        (answers.RANKING, ranking.COLUMNS),
        (answers.ADOPTERS, adopters.COLUMNS),
        (answers.UPTAKE, uptake.COLUMNS),
        (answers.FORECAST, growing.FORECAST_COLUMNS),
    ],
    ids=["ranking", "adopters", "uptake", "forecast"],
)
def test_answers_built_by_hand_have_the_columns_of_real_ones(
    built: tuple[str, ...], promised: object
) -> None:
    names = {column.name for column in promised}  # type: ignore[attr-defined]

    assert set(built) <= names
