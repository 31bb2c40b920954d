"""Agreement of people who watched the same, against statsmodels and krippendorff."""

from __future__ import annotations

from math import isnan

import krippendorff
import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from statsmodels.stats.inter_rater import cohens_kappa

from ledger.stats.tag_agreement import MISSING, agreement, alpha, kappa, square
from tests.stats.quick import quick

pairs = st.lists(st.tuples(st.integers(0, 3), st.integers(0, 3)), min_size=2, max_size=40)


@quick
@given(pairs)
def test_kappa_is_that_of_the_library(told: list[tuple[int, int]]) -> None:
    first, second = zip(*told, strict=True)
    table = square(first, second)
    assume(np.unique(told).size > 1)

    assert kappa(table) == pytest.approx(cohens_kappa(table, return_results=False), abs=1e-12)


@quick
@given(st.lists(st.lists(st.integers(-1, 2), min_size=4, max_size=4), min_size=3, max_size=25))
def test_alpha_is_that_of_the_library_with_any_number_of_people_and_gaps(
    values: list[list[int]],
) -> None:
    told = np.array(values)
    several = told[(told != MISSING).sum(axis=1) >= 2]
    assume(np.unique(several[several != MISSING]).size > 1)

    found = alpha(told, np.arange(len(told)), seed=1)

    as_floats = np.where(told == MISSING, np.nan, told).T
    expected = krippendorff.alpha(
        reliability_data=as_floats, level_of_measurement="nominal", value_domain=[0.0, 1.0, 2.0]
    )
    assert found.alpha == pytest.approx(expected, abs=1e-12)
    assert found.units == len(several)
    spread = [len({v for v in row if v != MISSING}) for row in several.tolist()]
    assert found.alike == spread.count(1)


def told_by_two(units: int, wrong: int, games: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    first = np.arange(units) % 2
    second = np.where(np.arange(units) < wrong, 1 - first, first)
    return first, second, np.arange(units) % games


def test_below_twenty_attempts_there_is_agreement_only() -> None:
    few = agreement(*told_by_two(19, 3, 6), seed=1)
    enough = agreement(*told_by_two(20, 3, 6), seed=1)

    assert (few.units, few.alike, few.one_category) == (19, 16, False)
    assert all(isnan(v) for v in (few.kappa, few.low, few.high))
    assert (enough.units, enough.alike) == (20, 17)
    assert enough.low < enough.kappa < enough.high


def test_one_category_leaves_kappa_and_alpha_undefined() -> None:
    same = np.zeros(40, dtype=int)
    pair = agreement(same, same, np.arange(40), seed=1)
    every = alpha(np.stack([same, same], axis=1), np.arange(40), seed=1)

    assert pair.one_category
    assert every.one_category
    assert (pair.alike, every.alike) == (40, 40)
    assert all(isnan(v) for v in (pair.kappa, pair.low, every.alpha, every.low))


def test_a_person_who_sees_nothing_else_agrees_no_better_than_chance() -> None:
    second = np.array([0] * 30 + [1] * 10)
    found = agreement(np.zeros(40, dtype=int), second, np.arange(40), seed=1)

    assert (found.alike, found.one_category) == (30, False)
    assert found.kappa == pytest.approx(0.0)


def test_one_game_has_no_limits() -> None:
    pair = agreement(*told_by_two(40, 4, 1), seed=1)
    two = agreement(*told_by_two(40, 4, 2), seed=1)

    assert pair.kappa == pytest.approx(0.8)
    assert isnan(pair.low)
    assert not isnan(two.low)


def test_nothing_but_agreement_has_no_limits() -> None:
    first, _, games = told_by_two(40, 0, 10)
    pair = agreement(first, first, games, seed=1)
    every = alpha(np.stack([first, first], axis=1), games, seed=1)

    assert (pair.kappa, every.alpha) == (1.0, 1.0)
    assert isnan(pair.low)
    assert isnan(every.high)


def test_limits_are_percentiles_over_games_drawn_anew() -> None:
    rng = np.random.default_rng(3)
    games = np.repeat(np.arange(15), 4)
    first = rng.integers(0, 2, 60)
    # Mistakes come by the game: every attempt of some games is told otherwise.
    second = np.where(np.isin(games, [2, 7, 11]), 1 - first, first)

    found = agreement(first, second, games, seed=1)
    shuffled = agreement(first, second, rng.permutation(games), seed=1)

    by_game = [np.flatnonzero(games == g) for g in range(15)]
    drawn = []
    for _ in range(2_000):
        rows = np.concatenate([by_game[g] for g in rng.integers(0, 15, 15)])
        drawn.append(kappa(square(first[rows], second[rows])))
    low, high = np.quantile(drawn, [0.025, 0.975])
    assert found.low == pytest.approx(low, abs=0.05)
    assert found.high == pytest.approx(high, abs=0.05)
    assert found.high - found.low > 1.3 * (shuffled.high - shuffled.low)


def test_the_limits_of_alpha_are_percentiles_over_games_too() -> None:
    rng = np.random.default_rng(4)
    games = np.repeat(np.arange(12), 5)
    told = rng.integers(0, 3, (60, 1)).repeat(3, axis=1)
    told[rng.random(told.shape) < 0.15] = 0
    told[rng.random(told.shape) < 0.2] = MISSING

    found = alpha(told, games, seed=1)

    drawn = []
    for _ in range(400):
        rows = np.concatenate([np.flatnonzero(games == g) for g in rng.integers(0, 12, 12)])
        drawn.append(alpha(told[rows], games[rows], seed=1, resamples=1).alpha)
    low, high = np.quantile(drawn, [0.025, 0.975])
    assert found.low == pytest.approx(low, abs=0.06)
    assert found.high == pytest.approx(high, abs=0.06)


def test_a_seed_gives_the_same_limits_and_another_one_near_ones() -> None:
    told = told_by_two(60, 8, 20)
    one, again, other = (agreement(*told, seed=s) for s in (1, 1, 2))

    assert one == again
    assert one.low != other.low
    assert one.low == pytest.approx(other.low, abs=0.05)


def test_nobody_and_gaps_are_no_units() -> None:
    nothing = alpha(np.zeros((0, 0), dtype=int), np.zeros(0), seed=1)
    alone = alpha([[0, MISSING], [MISSING, 1]], [1, 2], seed=1)

    assert (nothing.units, alone.units, alone.taggers) == (0, 0, 0)
    assert isnan(alone.alpha)
    assert agreement([], [], [], seed=1).units == 0


def test_a_category_nobody_of_a_pair_uses_changes_nothing() -> None:
    told = [[0, 1], [1, 1], [1, 1], [0, 0], [3, 3], [3, 0]] * 5
    games = np.arange(30)
    moved = np.where(np.array(told) == 3, 2, told)

    assert alpha(told, games, seed=1) == alpha(moved, games, seed=1)
