"""Permuting labels of technique within players, against counting by hand and by scipy."""

from __future__ import annotations

from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from ledger.stats.label_test import permuted
from tests.stats.quick import quick

TWO_PLAYERS = [[[3, 0], [0, 3]], [[3, 0], [0, 3]]]


def by_hand(tables: list[list[list[int]]]) -> tuple[float, float]:
    """Statistic and exact p from every arrangement, each written out and counted."""
    kept = [np.array(t) for t in tables if min(sum(t[0]), sum(t[1])) > 0]
    expected = sum(np.outer(t.sum(axis=1), t.sum(axis=0)) / t.sum() for t in kept)

    def statistic(observed: np.ndarray) -> float:
        there = expected > 0
        return float((((observed - expected) ** 2)[there] / expected[there]).sum())

    def arrangements(table: np.ndarray) -> list[np.ndarray]:
        cells = np.repeat(np.arange(table.shape[1]), table.sum(axis=0))
        found = []
        for chosen in combinations(range(len(cells)), int(table[0].sum())):
            first = np.bincount(cells[list(chosen)], minlength=table.shape[1])
            found.append(np.stack([first, table.sum(axis=0) - first]))
        return found

    seen = statistic(np.sum(kept, axis=0))
    all_of_them = [
        statistic(np.sum(one, axis=0)) for one in product(*(arrangements(t) for t in kept))
    ]
    return seen, float(np.mean(np.array(all_of_them) >= seen - 1e-9))


def test_two_players_who_miss_wholly_otherwise_are_one_in_two_hundred() -> None:
    found = permuted(TWO_PLAYERS, seed=1)

    assert found is not None
    assert (found.p, found.exact, found.arrangements, found.players) == (0.005, True, 400, 2)
    # By hand: O 6 0 0 6, E 3 everywhere.
    assert found.statistic == pytest.approx(12.0)


small = st.lists(
    st.lists(st.lists(st.integers(0, 2), min_size=3, max_size=3), min_size=2, max_size=2),
    min_size=1,
    max_size=2,
)


@quick
@given(small)
def test_exact_p_is_what_every_arrangement_written_out_gives(
    tables: list[list[list[int]]],
) -> None:
    found = permuted(tables, seed=1)
    if found is None:
        kept = [t for t in tables if sum(t[0]) and sum(t[1])]
        assert not kept or (np.sum(kept, axis=(0, 1)) > 0).sum() < 2
        return
    assert (found.statistic, found.p) == pytest.approx(by_hand(tables))


def test_draws_come_near_the_exact_p_and_know_their_seed() -> None:
    tables = [[[4, 1, 2], [1, 4, 2]], [[2, 0, 1], [1, 3, 1]]]
    exact = permuted(tables, seed=1, most_exact=10**6)
    drawn = permuted(tables, seed=5, most_exact=0)
    again = permuted(tables, seed=5, most_exact=0)
    other = permuted(tables, seed=6, most_exact=0)

    assert exact is not None
    assert drawn is not None
    assert other is not None
    assert drawn == again
    assert drawn.p != other.p
    assert (drawn.exact, drawn.arrangements, drawn.seed) == (False, 9_999, 5)
    assert (exact.exact, exact.statistic) == (True, drawn.statistic)
    # Four standard errors of 9 999 draws.
    assert drawn.p == pytest.approx(exact.p, abs=4 * np.sqrt(exact.p * (1 - exact.p) / 9_999))


def test_a_drawn_p_counts_what_was_seen_and_is_never_nothing() -> None:
    found = permuted([[[30, 0], [0, 30]]], seed=1)

    assert found is not None
    assert found.p == 1 / 10_000


@pytest.mark.parametrize("table", [[[6, 2], [1, 5]], [[3, 3], [3, 3]], [[5, 0], [2, 4]]])
def test_one_player_and_two_kinds_is_the_test_of_one_table(table: list[list[int]]) -> None:
    found = permuted([table], seed=1)
    first, total = sum(table[0]), int(np.sum(table))
    column = table[0][0] + table[1][0]
    spread = stats.hypergeom(total, column, first)
    reach = abs(table[0][0] - spread.mean())
    as_far = [k for k in range(first + 1) if abs(k - spread.mean()) >= reach - 1e-9]

    assert found is not None
    assert found.p == pytest.approx(sum(spread.pmf(k) for k in as_far))


def test_every_arrangement_is_counted_up_to_twenty_thousand() -> None:
    # 6 of 12 is 924 ways; of two such players 853 776.
    one = permuted([[[4, 2], [2, 4]]], seed=1)
    two = permuted([[[4, 2], [2, 4]]] * 2, seed=1)

    assert one is not None
    assert two is not None
    assert (one.exact, one.arrangements) == (True, 924)
    assert (two.exact, two.arrangements) == (False, 9_999)


def test_players_with_one_technique_carry_nothing() -> None:
    alone = [[[9, 0], [0, 0]], [[0, 0], [0, 7]]]

    assert permuted(alone, seed=1) is None
    assert permuted([*TWO_PLAYERS, *alone], seed=1) == permuted(TWO_PLAYERS, seed=1)


@pytest.mark.parametrize("tables", [[], [[[3, 0], [4, 0]]]])
def test_nobody_or_one_kind_of_miss_is_no_test(tables: list[list[list[int]]]) -> None:
    assert permuted(tables, seed=1) is None


def test_players_who_differ_make_no_finding_where_techniques_do_not() -> None:
    # Each player misses alike with both techniques; pooled the techniques look far apart.
    tables = [[[30, 3], [10, 1]], [[1, 10], [3, 30]]]
    pooled = np.sum(tables, axis=0)

    found = permuted(tables, seed=1)

    assert found is not None
    assert found.p > 0.9
    assert stats.chi2_contingency(pooled).pvalue < 0.001


def test_labels_dealt_by_lot_are_called_one_time_in_twenty() -> None:
    rng = np.random.default_rng(8)
    p = []
    for _ in range(300):
        tables = []
        for _ in range(4):
            odds = rng.dirichlet([2, 2, 2])
            tables.append(np.stack([rng.multinomial(n, odds) for n in rng.integers(2, 6, 2)]))
        found = permuted(tables, seed=1, draws=399)
        p.append(1.0 if found is None else found.p)

    # Three standard errors of 300 are 3.8 points.
    assert np.mean(np.array(p) <= 0.05) < 0.09
    assert 0.4 < np.mean(p) < 0.6


def test_the_technique_missed_with_more_may_stand_on_either_side() -> None:
    tables = np.array([[[14, 3, 5], [2, 6, 3]], [[1, 1, 2], [9, 12, 4]], [[5, 9, 6], [8, 8, 1]]])
    found = permuted(list(tables), seed=3)
    turned = permuted(list(tables[:, ::-1]), seed=3)

    assert found is not None
    assert turned is not None
    assert turned.statistic == pytest.approx(found.statistic)
    assert turned.p == pytest.approx(found.p, abs=0.02)
