from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.stats.counts import FloatArray
from ledger.stats.rank_chance import chance_of_top, expected_rank, shared_ranks
from tests.stats.quick import quick

ROWS = st.lists(
    st.tuples(st.floats(0.3, 400.0), st.floats(0.3, 400.0)), min_size=2, max_size=20
).map(lambda rows: list(zip(*rows, strict=True)))


def league(rows: int, seed: int) -> tuple[FloatArray, FloatArray]:
    rng = np.random.default_rng(seed)
    attempts = rng.integers(20, 300, rows)
    made = rng.binomial(attempts, rng.beta(30, 10, rows)).astype(np.float64)
    return 30.0 + made, 10.0 + attempts - made


@quick
@given(ROWS, st.data())
def test_chances_sum_to_the_places_and_ranks_to_their_sum(
    rows: list[list[float]], data: st.DataObject
) -> None:
    a, b = rows
    n = data.draw(st.integers(1, len(a) - 1))
    chance = chance_of_top(a, b, n, seed=1).chance
    assert chance.sum() == pytest.approx(n, abs=1e-3)
    assert ((chance >= 0) & (chance <= 1)).all()
    ranks = expected_rank(a, b)
    assert ranks.sum() == pytest.approx(len(a) * (len(a) + 1) / 2)
    assert ((ranks > 1 - 1e-9) & (ranks < len(a) + 1e-9)).all()


@pytest.mark.parametrize("n", [1, 7, 30, 49])
def test_the_integral_and_a_million_draws_agree(n: int) -> None:
    a, b = league(50, 3)
    top = chance_of_top(a, b, n, seed=1)
    rng = np.random.default_rng(9)
    rates = rng.beta(a, b, (20_000, 50))
    drawn = (np.argsort(np.argsort(-rates, axis=1), axis=1) < n).mean(axis=0)
    assert (top.method, top.draws, top.seed) == ("quadrature", 0, None)
    assert (top.error == 0).all()
    assert top.chance == pytest.approx(drawn, abs=0.015)
    assert top.chance.sum() == pytest.approx(n, abs=1e-4)


def test_above_50_rows_chances_are_drawn_and_match_the_integral() -> None:
    a, b = league(50, 3)
    far_below = (np.append(a, 5.0), np.append(b, 400.0))
    drawn = chance_of_top(*far_below, 7, seed=1)
    exact = chance_of_top(a, b, 7, seed=1).chance
    assert (drawn.method, drawn.draws, drawn.seed) == ("draws", 10_000, 1)
    assert drawn.chance.sum() == pytest.approx(7)
    assert drawn.chance[50] == 0.0
    assert (np.abs(drawn.chance[:50] - exact) <= 4.5 * drawn.error[:50] + 1e-4).all()
    assert drawn.error == pytest.approx(np.sqrt(drawn.chance * (1 - drawn.chance) / 10_000))


def test_draws_repeat_with_their_seed_and_only_then() -> None:
    a, b = league(60, 5)
    first, again, other = (chance_of_top(a, b, 5, seed=s).chance for s in (1, 1, 2))
    assert (first == again).all()
    assert (first != other).any()


def test_most_places_of_many_rows_are_drawn_whole() -> None:
    a, b = league(60, 5)
    assert chance_of_top(a, b, 59, seed=1, draws=500).chance.sum() == pytest.approx(59)


def test_rows_out_of_reach_are_not_drawn_and_change_nothing_for_the_others() -> None:
    a, b = league(80, 6)
    behind = np.concatenate([a, np.full(200, 20.0)]), np.concatenate([b, np.full(200, 180.0)])
    assert (
        chance_of_top(*behind, 5, seed=1).chance[:80] == chance_of_top(a, b, 5, seed=1).chance
    ).all()


def test_a_row_that_made_more_has_the_better_chances() -> None:
    a, b = np.array([90.0, 80.0, 70.0, 60.0]), np.array([10.0, 20.0, 30.0, 40.0])
    assert (np.diff(chance_of_top(a, b, 2, seed=1).chance) < 0).all()
    assert (np.diff(expected_rank(a, b)) > 0).all()


def test_equal_rows_share_everything() -> None:
    assert chance_of_top([5] * 6, [7] * 6, 2, seed=1).chance == pytest.approx([1 / 3] * 6, abs=1e-5)
    assert expected_rank([5] * 6, [7] * 6) == pytest.approx([3.5] * 6)


def test_expected_rank_of_two_rows_is_the_chance_to_be_behind() -> None:
    # P(Beta(2, 1) > Beta(1, 1)) = 2/3.
    assert expected_rank([2, 1], [1, 1]) == pytest.approx([4 / 3, 5 / 3], abs=1e-4)


def test_expected_ranks_of_a_large_league_are_right_to_a_part_of_a_place() -> None:
    a, b = league(1500, 8)
    ranks = expected_rank(a, b)
    rng = np.random.default_rng(2)
    some = np.arange(0, 1500, 150)
    rates = rng.beta(a, b, (4000, 1500))
    drawn = np.array([1 + (rates > rates[:, [i]]).sum(axis=1).mean() for i in some])
    assert ranks[some] == pytest.approx(drawn, abs=20)
    assert expected_rank([], []).size == 0


@pytest.mark.parametrize("n", [0, 2, 5])
def test_all_places_or_none_are_refused_in_words(n: int) -> None:
    with pytest.raises(ValueError, match=f"top {n} of 2 rows"):
        chance_of_top([3, 4], [5, 6], n, seed=1)


def test_parameters_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="above 0"):
        expected_rank([0.0, 1.0], [1.0, 1.0])
    with pytest.raises(ValueError, match="differ in length"):
        chance_of_top([1, 2, 3], [1, 2], 1, seed=1)


def test_equal_values_share_a_rank() -> None:
    assert list(shared_ranks([0.7, 0.9, 0.7, 0.1, 0.9])) == [3, 1, 3, 5, 1]
    assert list(shared_ranks([0.7, np.nan, 0.9])) == [2, 3, 1]
    assert shared_ranks([]).size == 0
