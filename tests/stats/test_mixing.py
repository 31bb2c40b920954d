"""Mixing from game to game: the part of shuffles that look as much like a change."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest

from ledger.stats import mixing
from ledger.stats.change_points import log_evidence
from ledger.stats.mixing import shuffled


def ratio(focus: list[int], tags: list[int]) -> float:
    evidence = log_evidence(focus, tags)[0]
    return float(evidence[1:].max() - evidence[0])


def test_p_is_the_part_of_all_orders_within_the_error_of_shuffling() -> None:
    focus, tags = [0, 1, 0, 2, 5, 4, 5], [5, 5, 4, 5, 5, 5, 5]
    observed = ratio(focus, tags)
    orders = np.array(list(permutations(range(7))))
    every = log_evidence(focus, tags, orders)
    exact = float(np.mean(every[:, 1:].max(axis=1) - every[:, 0] >= observed - 1e-9))

    found = shuffled(focus, tags, seed=5, shuffles=3000, stop=3000)

    assert 0 < exact < 0.1
    assert found.shuffles == 3000
    assert found.p == (1 + found.reached) / 3001
    assert found.p == pytest.approx(exact, abs=4 * (exact * (1 - exact) / 3000) ** 0.5)


def test_a_change_is_hardly_ever_reached() -> None:
    found = shuffled([0] * 6 + [4] * 6, [4] * 12, seed=1)

    assert (found.shuffles, found.seed) == (999, 1)
    assert found.p == (1 + found.reached) / 1000 < 0.01


def test_shuffling_stops_once_sixty_reached_it() -> None:
    found = shuffled([0, 4] * 10, [4] * 20, seed=1)

    assert found.reached == 60
    assert found.shuffles < 999
    assert found.p == 61 / (found.shuffles + 1) > 0.05


@pytest.mark.parametrize("pieces", [100, 400_000])
def test_the_pieces_in_which_it_is_done_change_nothing(
    pieces: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    usual = shuffled([0, 4, 4, 0] * 6, [4] * 24, seed=3, stop=10)
    monkeypatch.setattr(mixing, "_CELLS", pieces)

    assert shuffled([0, 4, 4, 0] * 6, [4] * 24, seed=3, stop=10) == usual
    assert usual.reached == 10
    assert usual.p == 11 / (usual.shuffles + 1)


@pytest.mark.parametrize("seed", range(25))
def test_orders_that_cannot_reach_it_are_passed_over_and_no_other(seed: int) -> None:
    rng = np.random.default_rng(seed)
    tags = rng.integers(1, 9, 30)
    focus = rng.binomial(tags, np.where(rng.random(30) < rng.random(), 0.05, rng.uniform(0.2, 1)))
    orders = rng.permuted(np.tile(np.arange(30), (200, 1)), axis=1)
    orders[0] = np.argsort(focus / tags)

    most = mixing._most(focus, tags, orders)

    evidence = log_evidence(focus, tags, orders)
    assert (most >= evidence[:, 1:].max(axis=1) - evidence[:, 0] - 1e-9).all()


@pytest.mark.parametrize("more", [1, 3, 9])
def test_three_sharp_changes_are_within_what_an_order_may_reach(more: int) -> None:
    # The running difference goes its whole range four times; shares of ½, ¼ and ⅒.
    focus = ([0] * 3 * more + [4] * 3) * 2
    tags = [4] * len(focus)

    for way in (focus, [4 - f for f in focus]):
        most = mixing._most(np.array(way), np.array(tags), np.arange(len(tags))[None])

        assert most[0] >= ratio(way, tags)


def test_the_same_seed_gives_the_same() -> None:
    games = ([0, 1, 3, 0, 4, 3, 4, 4, 2], [4] * 9)

    assert shuffled(*games, seed=7) == shuffled(*games, seed=7)
    assert shuffled(*games, seed=7).p != shuffled(*games, seed=8).p


def test_nothing_to_reach_is_reached_by_all() -> None:
    assert shuffled([0, 4], [4, 4], seed=1).p == 1.0


def test_games_of_one_share_look_the_same_in_any_order() -> None:
    found = shuffled([2] * 12, [4] * 12, seed=1)

    assert found.reached == found.shuffles == 60
    assert found.p == 1.0


def test_a_change_in_a_long_sequence_is_told_at_once() -> None:
    found = shuffled([0] * 200 + [3] * 200, [3] * 400, seed=1)

    assert (found.reached, found.shuffles) == (0, 999)
