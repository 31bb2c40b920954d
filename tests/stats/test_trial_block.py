"""The next block of a session, against shooting a plan one attempt at a time."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from ledger.stats.trial_block import next_block
from ledger.stats.trial_plan import plan


@given(st.integers(1, 35), st.integers(0, 2**32))
def test_a_session_shot_by_the_plan_is_led_through_every_block(per_session: int, seed: int) -> None:
    blocks = plan(1, per_session, seed)[0]
    shot = [0, 0]
    for at, block in enumerate(blocks):
        for done in range(block.attempts):
            now = next_block(blocks, (shot[0], shot[1]))
            assert now is not None
            assert (now.block, now.done) == (at, done)
            shot[block.technique] += 1
    assert shot == [per_session, per_session]
    assert next_block(blocks, (per_session, per_session)) is None


def test_a_block_shot_out_of_turn_is_not_asked_for_again() -> None:
    blocks = plan(1, 20, 3)[0]
    first = blocks[0].technique
    shot = (0, 10) if first == 0 else (10, 0)
    ahead = next(at for at, block in enumerate(blocks) if block.technique != first)

    now = next_block(blocks, shot)
    assert now is not None
    assert (now.block, now.done) == (0, 0)
    done = (10 * ahead, shot[1]) if first == 0 else (shot[0], 10 * ahead)
    now = next_block(blocks, done)
    assert now is None or now.block > ahead


def test_more_than_the_plan_ends_the_session_too() -> None:
    assert next_block(plan(1, 5, 1)[0], (6, 9)) is None
