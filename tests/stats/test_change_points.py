"""Changes of a share against enumeration of every placement, and exact arithmetic.

"Computed check of the method's page" marks values that were computed, not published.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations, pairwise
from math import comb, exp, factorial, inf, log

import numpy as np
import pytest
from scipy import stats
from scipy.special import logsumexp

from ledger.stats import change_points
from ledger.stats.change_points import (
    LEAST_TAGS,
    Range,
    drift_evidence,
    find,
    log_evidence,
    one_change,
    ranges,
    segment_evidence,
)

BACK_AND_FORTH = ([0] * 5 + [4] * 5 + [0] * 5, [4] * 15)
ONCE = ([0] * 5 + [4] * 5, [4] * 10)


def exactly(focus: int, tags: int) -> Fraction:
    """exp m in whole numbers: (2F)!(2S)! / (4^T F! S! T!) with S = T − F."""
    other = tags - focus
    top = factorial(2 * focus) * factorial(2 * other)
    return Fraction(top, 4**tags * factorial(focus) * factorial(other) * factorial(tags))


def placements(tags: list[int], changes: int) -> list[tuple[int, ...]]:
    """Every admissible placement of so many changes."""
    games = len(tags)
    return [
        places
        for places in combinations(range(1, games), changes)
        if all(sum(tags[a:b]) >= LEAST_TAGS for a, b in pairwise((0, *places, games)))
    ]


def evidence_of(focus: list[int], tags: list[int], places: tuple[int, ...]) -> Fraction:
    product = Fraction(1)
    for a, b in pairwise((0, *places, len(tags))):
        product *= exactly(sum(focus[a:b]), sum(tags[a:b]))
    return product


def by_enumeration(focus: list[int], tags: list[int]) -> list[float]:
    found = []
    for changes in range(4):
        every = placements(tags, changes)
        mean = sum((evidence_of(focus, tags, p) for p in every), Fraction(0)) / max(len(every), 1)
        found.append(log(mean) if every else -inf)
    return found


def drawn(seed: int) -> tuple[list[int], list[int]]:
    """Games of a player: some unwatched, most often one change somewhere."""
    rng = np.random.default_rng(seed)
    games = int(rng.integers(4, 14))
    tags = rng.integers(0, 8, games)
    share = np.where(np.arange(games) < rng.integers(0, games), 0.1, 0.9)
    return rng.binomial(tags, share).tolist(), tags.tolist()


@pytest.mark.parametrize(("focus", "tags"), [(0, 0), (0, 7), (3, 7), (7, 7), (40, 100)])
def test_evidence_of_a_segment_is_the_exact_one(focus: int, tags: int) -> None:
    assert float(segment_evidence(focus, tags)) == pytest.approx(float(log(exactly(focus, tags))))


@pytest.mark.parametrize("seed", range(40))
def test_evidence_is_the_mean_over_every_admissible_placement(seed: int) -> None:
    focus, tags = drawn(seed)

    assert log_evidence(focus, tags)[0] == pytest.approx(by_enumeration(focus, tags), abs=1e-9)


@pytest.mark.parametrize("seed", range(40))
def test_sums_in_logs_give_the_same(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    focus, tags = drawn(seed)
    usual = log_evidence(focus, tags)[0]

    monkeypatch.setattr(change_points, "_SMALLEST", inf)

    assert log_evidence(focus, tags)[0] == pytest.approx(usual, abs=1e-9)


@pytest.mark.parametrize("tags", [20, 400, 1600, 6000])
def test_many_tags_lose_nothing(tags: int) -> None:
    # One change in the middle: a tenth of the games before it, all of them after.
    focus = [1] * (tags // 20) + [10] * (tags // 20)
    games = [10] * (tags // 10)

    found = log_evidence(focus, games)[0]

    places = np.arange(1, len(games))
    alone = one_change(focus, games)
    assert found[1] - found[0] == pytest.approx(float(logsumexp(alone)) - log(len(places)))
    assert np.isfinite(found[3]) == (tags >= 40)


def test_evidence_of_many_orders_is_that_of_each() -> None:
    focus, tags = np.array(drawn(3))
    orders = np.random.default_rng(1).permuted(np.tile(np.arange(len(tags)), (20, 1)), axis=1)

    found = log_evidence(focus, tags, orders)

    alone = [log_evidence(focus[order], tags[order])[0] for order in orders]
    assert found == pytest.approx(np.array(alone))


# Computed checks of the method's page: E_J − E_0 to ±1e-3; E_0, E_1 − E_0 of the shorter one.
def test_there_and_back_is_found_with_the_known_evidence() -> None:
    found = find(*BACK_AND_FORTH)

    over = [e - found.log_evidence[0] for e in found.log_evidence[1:]]
    assert over == pytest.approx([7.0657, 30.9068, 23.8777], abs=1e-3)
    assert found.places == (5, 10)
    assert found.log_ratio == pytest.approx(30.9068, abs=1e-3)


def test_one_change_is_found_with_the_known_evidence() -> None:
    found = find(*ONCE)

    assert found.log_evidence[0] == pytest.approx(-29.8024, abs=1e-3)
    assert found.log_evidence[1] - found.log_evidence[0] == pytest.approx(24.0400, abs=1e-3)
    assert found.places == (5,)


@pytest.mark.parametrize("seed", range(60))
def test_changes_stand_where_enumeration_finds_them(seed: int) -> None:
    focus, tags = drawn(seed)

    found = find(focus, tags)

    evidence = by_enumeration(focus, tags)
    if max(evidence[1:]) == -inf or max(evidence[1:]) - evidence[0] < log(10):
        assert found.places == ()
        return
    number = next(
        j
        for j in (1, 2, 3)
        if evidence[j] > -inf and all(e - evidence[j] < log(10) for e in evidence[j + 1 :])
    )
    kept = max(
        placements(tags, number), key=lambda p: (evidence_of(focus, tags, p), [-x for x in p])
    )
    while kept:
        share = [
            (sum(focus[a:b]) + 0.5) / (sum(tags[a:b]) + 1)
            for a, b in pairwise((0, *kept, len(tags)))
        ]
        steps = [abs(b - a) for a, b in pairwise(share)]
        if min(steps) >= 0.5:
            break
        kept = tuple(p for at, p in enumerate(kept) if at != steps.index(min(steps)))
    assert found.places == kept


@pytest.mark.parametrize(
    ("focus", "tags", "times", "places"),
    [
        # One place is admissible: 2 of 10 and 9 of 12. Two are: 1 of 10 and 8 of 12, or 3 of 12.
        ([2, 9], [10, 12], 10.75, (1,)),
        ([1, 2, 6], [10, 2, 10], 9.37, ()),
    ],
)
def test_a_change_needs_ten_times_the_evidence(
    focus: list[int], tags: list[int], times: float, places: tuple[int, ...]
) -> None:
    found = find(focus, tags)

    assert exp(found.log_ratio) == pytest.approx(times, abs=0.01)
    assert found.places == places


def test_a_step_is_taken_between_shares_drawn_to_the_middle() -> None:
    # 0 of 10 and 54 of 100 are .0455 and .5396; 55 of 100 would be .5495.
    assert find([0, 54], [10, 100]).places == ()
    assert find([0, 54], [10, 100]).log_ratio > log(10)
    assert find([0, 55], [10, 100]).places == (1,)


def test_very_many_mixed_tags_are_no_change_and_no_overflow() -> None:
    focus, tags = [5] * 160, [10] * 160

    found = log_evidence(focus, tags)[0]

    alone = one_change(focus, tags)
    assert found[0] < -1000
    assert found[1] - found[0] == pytest.approx(float(logsumexp(alone)) - log(159))


def test_more_changes_must_beat_fewer_ten_to_one() -> None:
    # Three changes are likelier than two, but not ten times: two, of which one is a small step.
    found = find([0, 10, 7, 3], [10] * 4)

    one, two, three = found.log_evidence[1:]
    assert two - one > log(10)
    assert 0 < three - two < log(10)
    assert found.places == (1,)


def test_a_small_step_is_dropped_and_a_large_one_stays() -> None:
    # Three shares: 0, .42, 1. The step of .42 is left out although it has its evidence.
    focus, tags = [0] * 10 + [5, 4] * 10 + [10] * 10, [10] * 40

    found = find(focus, tags)

    assert found.log_evidence[2] - max(found.log_evidence[:2]) > log(10)
    assert found.places == (30,)


def test_a_step_of_less_than_half_is_no_change() -> None:
    found = find([1] * 20 + [5] * 20, [10] * 40)

    assert found.log_ratio > log(10)
    assert found.places == ()


@pytest.mark.parametrize("tags", [[9, 20], [20, 9], [19], [], [5, 4]])
def test_with_fewer_than_ten_tags_on_a_side_there_is_no_change(tags: list[int]) -> None:
    found = find([0, *tags[1:]][: len(tags)], tags)

    assert found.places == ()
    assert found.log_ratio == -inf


def test_ten_tags_on_each_side_are_enough() -> None:
    assert find([0, 10], [10, 10]).places == (1,)


@pytest.mark.parametrize(
    ("focus", "tags"), [([1], [1, 2]), ([3], [2]), ([-1], [2]), ([[1]], [[2]])]
)
def test_counts_that_cannot_be_are_refused(focus: list[int], tags: list[int]) -> None:
    with pytest.raises(ValueError, match="focus at most tags"):
        find(focus, tags)


def test_more_than_three_changes_are_told_as_three() -> None:
    focus = ([0] * 5 + [4] * 5) * 3

    assert len(find(focus, [4] * 30).places) == 3


@pytest.mark.parametrize("seed", range(30))
def test_a_range_is_the_shortest_set_that_holds_ninety_percent(seed: int) -> None:
    focus, tags = drawn(seed + 100)
    found = find(focus, tags).places
    for at, one in enumerate(ranges(focus, tags, found)):
        start, stop = (0, *found, len(tags))[at], (0, *found, len(tags))[at + 2]
        weight = {
            place: float(
                exactly(sum(focus[start:place]), sum(tags[start:place]))
                * exactly(sum(focus[place:stop]), sum(tags[place:stop]))
            )
            for place in range(start + 1, stop)
            if min(sum(tags[start:place]), sum(tags[place:stop])) >= LEAST_TAGS
        }
        total = sum(weight.values())
        ordered = sorted(weight, key=lambda p: -weight[p])
        least, held = weight[ordered[0]], 0.0
        for place in ordered:
            if held / total >= 0.9 - 1e-12:
                break
            least, held = weight[place], held + weight[place]
        chosen = [p for p in weight if weight[p] >= least * (1 - 1e-9)]
        assert (one.first, one.last) == (min(chosen), max(chosen))
        assert one.held == pytest.approx(sum(weight[p] for p in chosen) / total)
        assert weight[one.place] == pytest.approx(weight[ordered[0]])


def test_a_sharp_change_has_a_range_of_one_place() -> None:
    (found,) = ranges(*ONCE, [5])

    assert found == Range(5, 5, 5, found.held)
    assert found.held == pytest.approx(0.99994, abs=1e-5)


def test_games_nobody_watched_come_into_the_range_together_and_the_last_is_the_day() -> None:
    focus, tags = [0] * 5 + [0] * 20 + [4] * 5, [4] * 5 + [0] * 20 + [4] * 5

    (found,) = ranges(focus, tags, find(focus, tags).places)

    assert (found.first, found.place, found.last) == (5, 25, 25)


def test_a_range_ends_at_the_neighbouring_changes() -> None:
    first, second = ranges(*BACK_AND_FORTH, [5, 10])

    assert (first.place, second.place) == (5, 10)
    assert first.last <= 10
    assert second.first >= 5


def test_unwatched_games_weigh_the_places_between_games_that_were_watched() -> None:
    # Two places of one gap, one of the other: all three are placements.
    focus, tags = [0, 0, 10, 10], [10, 0, 10, 10]

    found = log_evidence(focus, tags)[0]

    early = float(exactly(0, 10) * exactly(20, 20))
    late = float(exactly(10, 20) * exactly(10, 10))
    assert exp(found[1]) == pytest.approx((2 * early + late) / 3)


# Computed check of the method's page: max E_J − E_drift of the ten games is 9.976 (±.01).
def test_a_sharp_change_beats_a_drift() -> None:
    assert max(find(*ONCE).log_evidence) - drift_evidence(*ONCE) == pytest.approx(9.976, abs=0.01)


def test_the_drift_is_the_sum_over_every_line() -> None:
    focus, tags = [0, 1, 0, 2], [3, 2, 0, 4]
    grid = np.linspace(0.005, 0.995, 40)
    along = [1.5 / 9, 4 / 9, 5 / 9, 7 / 9]
    total = weights = 0.0
    for u in grid:
        for v in grid:
            weight = (u * (1 - u) * v * (1 - v)) ** -0.5
            share = [u + (v - u) * x for x in along]
            chance = np.prod(
                [stats.binom.pmf(f, t, p) / comb(t, f) for f, t, p in zip(focus, tags, share)]  # noqa: B905
            )
            total, weights = total + weight * chance, weights + weight

    assert drift_evidence(focus, tags) == pytest.approx(log(total / weights), abs=1e-9)
    assert drift_evidence([0, 0], [0, 0]) == 0.0


def test_a_straight_drift_is_not_told_as_sharp() -> None:
    tags = [4] * 25
    focus = [round(4 * g / 24) for g in range(25)]

    assert max(find(focus, tags).log_evidence) - drift_evidence(focus, tags) < -log(3)
