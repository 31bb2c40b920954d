from __future__ import annotations

from collections import Counter

import pytest

from ledger.stats.trial_plan import Block, plan


@pytest.mark.parametrize("per_session", [1, 9, 10, 25, 50])
def test_each_technique_has_its_attempts_in_blocks_of_ten(per_session: int) -> None:
    for blocks in plan(sessions=6, per_session=per_session, seed=4):
        for which in (0, 1):
            sizes = [b.attempts for b in blocks if b.technique == which]
            assert sum(sizes) == per_session
            assert all(size == 10 for size in sizes[:-1])
            assert 1 <= sizes[-1] <= 10


def test_the_same_seed_gives_the_same_plan_for_good() -> None:
    assert plan(12, 50, 7) == plan(12, 50, 7)
    assert plan(12, 50, 7) != plan(12, 50, 8)
    # Written down once: a stored seed must give this plan in every later version.
    (first,) = plan(1, 20, 1)
    assert first == (Block(0, 10), Block(1, 10), Block(1, 10), Block(0, 10))


def test_a_longer_plan_begins_with_the_shorter_one() -> None:
    assert plan(12, 50, 7)[:8] == plan(8, 50, 7)


def test_every_order_of_blocks_comes_up_equally_often() -> None:
    orders = Counter(
        tuple(block.technique for block in blocks) for blocks in plan(6000, 20, seed=2)
    )

    # Six orders of two and two, 1,000 expected of each: within four standard errors (29).
    assert len(orders) == 6
    assert all(abs(number - 1000) < 120 for number in orders.values())


def test_a_plan_needs_a_session_and_an_attempt() -> None:
    for sessions, each in ((0, 10), (4, 0)):
        with pytest.raises(ValueError, match="at least"):
            plan(sessions, each, 1)
