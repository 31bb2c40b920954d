"""The plan of a practice trial: which technique in which block, drawn by lot.

In every session each technique is shot so many times, in blocks of 10 (the last one may be
smaller); the order of all blocks of a session is a random permutation. Drawn before the first
attempt it leaves nothing to choose: neither the warm nor the tired half of a session belongs to one
technique. Assumes that the blocks are shot in this order. Not for one session alone: by lot one
technique may well have most of the early blocks in it.

Reference: The Arrangement of Field Experiments, Journal of the Ministry of Agriculture 33 (1926)
503-513 (from memory). Blocks of 10: common practice, no source.

>>> [(block.technique, block.attempts) for block in plan(sessions=4, per_session=15, seed=7)[0]]
[(1, 10), (0, 10), (0, 5), (1, 5)]
"""

from __future__ import annotations

import random
from dataclasses import dataclass

BLOCK = 10


@dataclass(frozen=True, slots=True)
class Block:
    """One block: `technique` 0 or 1 of the two, and how many attempts."""

    technique: int
    attempts: int


def plan(sessions: int, per_session: int, seed: int) -> tuple[tuple[Block, ...], ...]:
    """The blocks of every session in their order; the same seed gives the same plan.

    A plan of more sessions begins with the sessions of a shorter one, so that one that is
    lengthened keeps what was shot.

    Args:
        sessions: how many sessions.
        per_session: attempts with each technique in a session.
        seed: of the lot.

    Raises:
        ValueError: without a session or without an attempt.
    """
    if sessions < 1 or per_session < 1:
        raise ValueError("a plan has a session and an attempt at least")
    # Of all its draws only random() is promised to stay the same in later versions.
    lot = random.Random(seed)
    sizes = [BLOCK] * (per_session // BLOCK)
    if per_session % BLOCK:
        sizes.append(per_session % BLOCK)
    found = []
    for _ in range(sessions):
        places = sorted(range(2 * len(sizes)), key=lambda _: lot.random())
        left = {0: iter(sizes), 1: iter(sizes)}
        order = [int(place >= len(sizes)) for place in places]
        found.append(tuple(Block(which, next(left[which])) for which in order))
    return tuple(found)
