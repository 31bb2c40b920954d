"""What watching until decided does: `python -m tests.stats.repeated_looking [players]`.

A player with a known share is watched attempt by attempt; after every tag from the eighth the class
is looked at, and watching stops once it is decided, or at the 60th tag.
"""

from __future__ import annotations

import sys
from functools import cache

import numpy as np
from numpy.typing import NDArray

from ledger.stats.technique_class import classify
from ledger.stats.watch_order import MIXES

SHARES = (0.0, 0.05, 0.2, 0.35, 0.5, 0.65, 0.8, 0.9, 1.0)
CLASSES = ("not", "occasional", "adopter", "undecided")


@cache
def classes() -> NDArray[np.int64]:
    """Class of every count, (tags up to 60, focus tags up to 60), as a place in `CLASSES`."""
    found = np.full((MIXES + 1, MIXES + 1), CLASSES.index("undecided"))
    for tags in range(1, MIXES + 1):
        focus = np.arange(tags + 1)
        names = classify(focus, np.full(tags + 1, tags), np.full(tags + 1, 2))
        found[tags, : tags + 1] = [CLASSES.index(name) for name in names]
    return found


def watched(share: float, players: int, seed: int = 1) -> tuple[dict[str, float], float]:
    """How often each class comes out, and the mean number of tags until then.

    Args:
        share: true share of attempts with the technique.
        players: how many are watched.
        seed: of the draws.
    """
    rng = np.random.default_rng(seed)
    focus = np.cumsum(rng.random((players, MIXES)) < share, axis=1)
    told = classes()[np.arange(1, MIXES + 1)[None, :], focus]
    decided = told != CLASSES.index("undecided")
    first = np.where(decided.any(axis=1), decided.argmax(axis=1), MIXES - 1)
    final = told[np.arange(players), first]
    rates = {name: float((final == at).mean()) for at, name in enumerate(CLASSES)}
    return rates, float((first + 1).mean())


def main() -> None:
    """Print the table."""
    players = int(sys.argv[1]) if len(sys.argv) > 1 else 200_000
    print(f"{'share':>6}" + "".join(f"{name:>12}" for name in CLASSES) + f"{'tags':>8}")
    for share in SHARES:
        rates, tags = watched(share, players)
        print(f"{share:6.2f}" + "".join(f"{rates[n]:12.4f}" for n in CLASSES) + f"{tags:8.1f}")


if __name__ == "__main__":
    main()
