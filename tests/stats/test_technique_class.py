from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from ledger.stats.technique_class import (
    MOST_TAGS,
    STATES,
    chance_decided,
    classify,
    more_tags_needed,
    share_interval,
)
from tests.stats.quick import quick


def class_by_hand(focus: int, tagged: int) -> str:
    """The class of 2 games, from the reference distribution."""
    if tagged == 0:
        return "untagged"
    share = stats.beta(focus + 0.5, tagged - focus + 0.5)
    if tagged < 8:
        return "undecided"
    if share.sf(0.5) >= 0.9:
        return "adopter"
    if share.cdf(0.1) >= 0.9:
        return "not"
    return "occasional" if share.cdf(0.5) - share.cdf(0.1) >= 0.9 else "undecided"


def decided_by_hand(focus: int, tagged: int, more: int) -> float:
    tags = stats.betabinom(more, focus + 0.5, tagged - focus + 0.5)
    return float(
        sum(
            tags.pmf(x)
            for x in range(more + 1)
            if class_by_hand(focus + x, tagged + more) != "undecided"
        )
    )


def test_classes_of_all_counts_up_to_40_are_those_of_the_beta_distribution() -> None:
    pairs = [(f, t) for t in range(41) for f in range(t + 1)]
    focus, tagged = (np.array(column) for column in zip(*pairs, strict=True))
    states = classify(focus, tagged, np.full(focus.size, 2))
    assert list(states) == [class_by_hand(f, t) for f, t in pairs]
    assert set(states) == set(STATES)


@pytest.mark.parametrize(
    ("focus", "tagged", "games", "state"),
    [
        (7, 7, 5, "undecided"),
        (8, 8, 2, "adopter"),
        (8, 8, 1, "undecided"),
        (0, 40, 1, "undecided"),
        (0, 40, 2, "not"),
        (0, 0, 0, "untagged"),
        (2, 2, 2, "undecided"),
        (15, 60, 9, "occasional"),
        (30, 60, 9, "undecided"),
    ],
)
def test_no_class_before_8_tags_from_2_games(
    focus: int, tagged: int, games: int, state: str
) -> None:
    assert classify(focus, tagged, games) == state


@quick
@given(st.integers(8, 120))
def test_classes_rise_with_the_focus_tags(tagged: int) -> None:
    focus = np.arange(tagged + 1)
    states = classify(focus, np.full(focus.size, tagged), np.full(focus.size, 3))
    order = {"not": 0, "occasional": 1, "adopter": 2}
    levels = [order[state] for state in states if state != "undecided"]
    assert levels == sorted(levels)


def test_more_tags_and_their_chance_are_those_of_the_beta_binomial() -> None:
    for focus, tagged in [(0, 5), (1, 10), (4, 6), (3, 9), (0, 1), (5, 20), (3, 3)]:
        more = more_tags_needed(focus, tagged)
        assert more is not None
        assert decided_by_hand(focus, tagged, more) >= 0.5
        assert all(decided_by_hand(focus, tagged, m) < 0.5 for m in range(1, more))
        for m in (1, more, 60):
            by_hand = decided_by_hand(focus, tagged, m)
            assert chance_decided(focus, tagged, m) == pytest.approx(by_hand, abs=1e-9)


def test_an_even_mixer_needs_more_than_200() -> None:
    assert more_tags_needed(60, 120) is None
    assert decided_by_hand(60, 120, MOST_TAGS) < 0.5


def test_many_players_at_once_get_what_each_gets_alone() -> None:
    focus, tagged = [0, 4, 60, 0, 1], [5, 6, 120, 5, 10]
    together = more_tags_needed(focus, tagged)
    assert together == [more_tags_needed(f, t) for f, t in zip(focus, tagged, strict=True)]
    chances = chance_decided([0, 1, 0], [5, 10, 5], [8, 37, 3])
    alone = [chance_decided(*row) for row in [(0, 5, 8), (1, 10, 37), (0, 5, 3)]]
    assert list(chances) == alone
    assert more_tags_needed([], []) == []


def test_nothing_is_decided_before_the_eighth_tag() -> None:
    assert chance_decided([3, 3], [3, 3], [4, 5]) == pytest.approx([0.0, decided_by_hand(3, 3, 5)])


def test_a_player_of_one_game_needs_at_least_a_tag_more() -> None:
    assert more_tags_needed(8, 8) == 1


def test_shares_lie_inside_their_interval_and_the_untagged_have_none() -> None:
    interval = share_interval([0, 6, 8, 0], [12, 8, 8, 0])
    assert interval.low[:3] == pytest.approx(
        stats.beta.ppf(0.025, [0.5, 6.5, 8.5], [12.5, 2.5, 0.5])
    )
    assert interval.high[:3] == pytest.approx(
        stats.beta.ppf(0.975, [0.5, 6.5, 8.5], [12.5, 2.5, 0.5])
    )
    assert np.isnan(interval.low[3])
    assert share_interval(6, 8).high == interval.high[1]


def test_a_player_watched_until_decided_is_called_as_promised() -> None:
    # Share .35 called adopter in 5 % when looked at after each tag from 8 to 60.
    rng = np.random.default_rng(4)
    focus = np.cumsum(rng.random((1500, 60)) < 0.35, axis=1)
    tagged = np.broadcast_to(np.arange(1, 61), focus.shape)
    states = classify(focus.ravel(), tagged.ravel(), np.full(focus.size, 9)).reshape(focus.shape)
    first = np.argmax(states != "undecided", axis=1)
    called = states[np.arange(1500), first]
    assert 0.03 <= np.mean(called == "adopter") <= 0.075


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="games"):
        classify([1, 2], [3, 4], [1])
    with pytest.raises(ValueError, match="further tags must be 1 to 200"):
        chance_decided(1, 2, 0)
    with pytest.raises(ValueError, match="of further tags"):
        chance_decided([1, 2], [3, 4], [1])
    with pytest.raises(ValueError, match="above its attempts"):
        classify(3, 2, 1)
