"""Where a practice session stands in its plan: which block is next, and how far it is shot.

Attempts of each technique fill that technique's blocks in their order, so the place is known from
two counts alone, also where a block was shot out of turn: the first block that is not full is next.
No statistics: counting along a plan. Not for a session that was shot to another plan.

>>> from ledger.stats.trial_plan import Block
>>> blocks = (Block(1, 10), Block(0, 10), Block(0, 5), Block(1, 5))
>>> next_block(blocks, (4, 10))
Standing(block=1, done=4)
>>> next_block(blocks, (15, 15)) is None
True
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.stats.trial_plan import Block


@dataclass(frozen=True, slots=True)
class Standing:
    """The next block of a session.

    Attributes:
        block: its place in the session, 0 for the first.
        done: how many of its attempts are shot.
    """

    block: int
    done: int


def next_block(blocks: Sequence[Block], shot: tuple[int, int]) -> Standing | None:
    """The first block that is not full, `None` where all are.

    Args:
        blocks: those of the session, in their order.
        shot: attempts so far with each of the two techniques.
    """
    left = list(shot)
    for at, block in enumerate(blocks):
        done = min(left[block.technique], block.attempts)
        if done < block.attempts:
            return Standing(at, done)
        left[block.technique] -= done
    return None
