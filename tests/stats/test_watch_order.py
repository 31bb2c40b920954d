from __future__ import annotations

import numpy as np
import pytest

from ledger.stats.technique_class import chance_decided, classify, more_tags_needed
from ledger.stats.watch_order import MIXES, Dealt, Ints, Needs, deal, needs, scores, settled
from tests.stats.repeated_looking import watched

# Invented needs: the first settles after 4 with chance .8, the second after 10 with .5.
TWO = Needs(np.array([4, 10]), np.array([0.8, 0.5]))


def one(who: list[int], r: list[int]) -> tuple[Ints, Ints]:
    return np.array(who), np.array(r)


def test_players_decided_per_attempt_of_a_game() -> None:
    # A check of the method notes, computed: (0 of 5) with 4 and (1 of 10) with 6 attempts.
    found = scores([0, 0], [0, 1], [4, 6], needs([0, 1], [5, 10]))

    assert found.per_attempt.tolist() == pytest.approx([0.04287], abs=1e-5)
    assert found.attempts.tolist() == [10]
    assert found.players.tolist() == [2]


def test_a_player_is_worth_his_chance_and_no_more() -> None:
    found = scores([0, 1, 1, 2], [0, 0, 1, 1], [2, 9, 5, 0], TWO, games=4)

    assert found.decided.tolist() == pytest.approx([0.4, 0.8 + 0.25, 0.0, 0.0])
    assert found.per_attempt.tolist() == pytest.approx([0.2, 1.05 / 14, 0.0, 0.0])
    assert found.attempts.tolist() == [2, 14, 0, 0]
    assert found.players.tolist() == [1, 2, 0, 0]


def test_needs_are_those_of_the_class_and_nought_above_two_hundred() -> None:
    found = needs([0, 4, 60], [5, 6, 120])

    assert found.more.tolist() == [8, 7, 0]
    assert found.chance.tolist() == pytest.approx(
        [chance_decided(0, 5, 8), chance_decided(4, 6, 7), 0.0]
    )
    assert more_tags_needed(60, 120) is None
    assert found.per_tag.tolist() == pytest.approx(
        [0.69375 / 8, found.chance[1] / 7, 0.0], abs=1e-5
    )


def test_without_a_limit_every_game_is_dealt() -> None:
    games = [one([0], [3]), one([0, 1], [3, 5]), one([0], [9])]

    found = deal(games, TWO)

    assert [d.place for d in found] == [0, 1, 2]
    assert {d.tagger for d in found} == {0}


def test_a_budget_takes_whole_games_that_fit_and_add_something() -> None:
    games = [one([0], [4]), one([0], [2]), one([1], [9]), one([1], [6]), one([1], [1])]

    found = deal(games, TWO, budget=11)

    # The second adds nothing to the first, the third does not fit, the last one does.
    assert [d.place for d in found] == [0, 3, 4]
    assert deal(games, TWO, budget=10) == [Dealt(0, 0), Dealt(3, 0)]
    assert [d.place for d in deal(games, TWO, budget=1)] == [4]


def test_games_go_to_who_has_least_and_nobody_watches_more_than_he_can() -> None:
    games = [one([1], [n]) for n in (6, 3, 2, 4)]
    ample = Needs(np.array([10, 100]), np.array([0.8, 0.9]))

    found = deal(games, ample, taggers=2)
    limited = deal(games, ample, taggers=2, each=6)

    assert [d.tagger for d in found] == [0, 1, 1, 1]
    assert [(d.place, d.tagger) for d in limited] == [(0, 0), (1, 1), (2, 1)]
    assert [d.place for d in deal(games, ample, taggers=2, each=6, budget=9)] == [0, 1]


def test_a_plan_settles_who_is_decided_after_all_his_attempts_in_it() -> None:
    games = [one([1], [5]), one([0, 1], [6, 4]), one([0], [2]), one([0, 1], [500, 1])]

    found = settled(games, [0, 4], [5, 6])

    a = [chance_decided(0, 5, n) for n in (6, 8, 200)]
    b = [chance_decided(4, 6, n) for n in (5, 9, 10)]
    assert found.tolist() == pytest.approx([b[0], a[0] + b[1], a[1] + b[1], a[2] + b[2]])
    assert settled([], [0], [5]).tolist() == []


def test_what_a_plan_settles_is_what_watching_it_does() -> None:
    # Shares from the prior that the tags so far are read by: 2 of 6 so far, 9 more to come.
    rng = np.random.default_rng(6)
    focus = 2 + rng.binomial(9, rng.beta(2.5, 4.5, 20_000))
    calls = classify(focus, np.full(20_000, 15), np.full(20_000, 2))

    expected = settled([one([0], [4]), one([0], [5])], [2], [6])[-1]

    assert float((calls != "undecided").mean()) == pytest.approx(expected, abs=0.012)


def test_nothing_is_dealt_where_nothing_is_there_or_fits() -> None:
    assert deal([], TWO) == []
    assert deal([one([0], [5])], TWO, budget=4) == []
    with pytest.raises(ValueError, match="somebody has to watch"):
        deal([], TWO, taggers=0)


def test_players_who_cannot_be_settled_are_listed_but_fit_no_budget() -> None:
    never = Needs(np.array([0]), np.array([0.0]))

    assert deal([one([0], [5])], never) == [Dealt(0, 0)]
    assert deal([one([0], [5])], never, budget=50) == []


@pytest.mark.parametrize(
    ("share", "rates"),
    [
        (0.0, {"not": 1.0}),
        (0.05, {"not": 0.78, "occasional": 0.04, "adopter": 0.0}),
        (0.2, {"occasional": 0.88, "not": 0.06}),
        (0.35, {"adopter": 0.05}),
        (0.5, {"adopter": 0.35}),
        (0.65, {"adopter": 0.94}),
        (0.8, {"adopter": 1.0}),
    ],
)
def test_watching_until_decided_calls_players_as_often_as_the_notes_say(
    share: float, rates: dict[str, float]
) -> None:
    # Figures of the method notes, simulated there; 4,000 players here: within 3 points.
    found, tags = watched(share, 4_000)

    assert {name: found[name] for name in rates} == pytest.approx(rates, abs=0.03)
    assert sum(found.values()) == pytest.approx(1.0)
    if share == 0.0:
        assert tags == 13
    if share >= 0.8:
        assert 8 <= tags < 10


def test_watching_stops_at_sixty() -> None:
    assert MIXES == 60
    assert watched(0.5, 500)[1] < 60
