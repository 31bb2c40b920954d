from __future__ import annotations

import numpy as np
import pytest
from lifelines import KaplanMeierFitter

from ledger.stats.not_yet import not_yet


def players(seed: int, number: int = 120) -> tuple[list[int], list[int], list[bool]]:
    rng = np.random.default_rng(seed)
    entry = rng.integers(0, 6, number)
    last = entry + rng.integers(0, 7, number)
    adopted = (rng.random(number) < 0.4) & (last > entry)
    return entry.tolist(), last.tolist(), adopted.tolist()


@pytest.mark.parametrize("seed", range(6))
def test_the_curve_and_its_limits_are_those_of_a_reference_library(seed: int) -> None:
    entry, last, adopted = players(seed)

    curve = not_yet(entry, last, adopted)

    # Who was never at risk is nothing to the other one either.
    kept = [i for i in range(len(entry)) if last[i] > entry[i]]
    theirs = KaplanMeierFitter().fit(
        [last[i] for i in kept], [adopted[i] for i in kept], entry=[entry[i] for i in kept]
    )
    shares = theirs.survival_function_at_times(curve.times).to_numpy()
    limits = theirs.confidence_interval_survival_function_.loc[curve.times].to_numpy()
    assert curve.share == pytest.approx(shares, abs=1e-12)
    some = (curve.share > 0) & (curve.share < 1)
    assert curve.low[some] == pytest.approx(limits[some, 0], abs=1e-9)
    assert curve.high[some] == pytest.approx(limits[some, 1], abs=1e-9)


def test_who_enters_in_a_season_cannot_adopt_in_it_and_is_not_at_risk() -> None:
    curve = not_yet([0, 0, 2, 2], [2, 2, 3, 5], [True, False, True, False])

    assert curve.at_risk.tolist() == [2, 2]
    assert curve.share.tolist() == [0.5, 0.25]


def test_who_is_last_seen_in_a_season_is_still_at_risk_in_it() -> None:
    assert not_yet([0, 0], [1, 1], [True, False]).share.tolist() == [0.5]


def test_a_share_of_nought_has_no_limits() -> None:
    curve = not_yet([0, 0], [1, 2], [True, True])

    assert curve.share.tolist() == [0.5, 0.0]
    assert np.isfinite(curve.low).tolist() == [True, False]
    assert np.isnan(curve.high[1])


def test_nobody_gives_an_empty_curve() -> None:
    assert len(not_yet([], [], []).times) == 0
    assert len(not_yet([0], [3], [False]).share) == 0


@pytest.mark.parametrize(
    ("entry", "last", "adopted"), [([0], [0], [True]), ([2], [1], [True]), ([0, 1], [1], [True])]
)
def test_what_cannot_be_is_refused(entry: list[int], last: list[int], adopted: list[bool]) -> None:
    with pytest.raises(ValueError, match="one length"):
        not_yet(entry, last, adopted)
