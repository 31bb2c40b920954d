"""The invented scenario of the demo: its generator, and small files to try things with.

What is planted in it is told in `scenario`; small clean and unclean files lie in `samples/`.
Nothing in it is real: leagues, teams and players are nonsense syllables.
"""

from __future__ import annotations

import json
from pathlib import Path

from .files import DEMO_TAGGERS, league_files
from .lists import players_file, rumour, shortlist_file
from .manifest import Expects, ImportStep, ListEntry, Lot, Manifest, Rumour, Step, TagsForLot
from .sittings import sittings
from .truth import planted
from .world import World, build

DEFAULT_SEED = 20405
DEFAULT_ATTEMPTS = 150_000
SMALL_ATTEMPTS = 6_000

__all__ = [
    "DEFAULT_ATTEMPTS",
    "DEFAULT_SEED",
    "DEMO_TAGGERS",
    "SMALL_ATTEMPTS",
    "Expects",
    "ImportStep",
    "ListEntry",
    "Lot",
    "Manifest",
    "Rumour",
    "Step",
    "TagsForLot",
    "World",
    "generate",
]


def generate(
    folder: Path,
    *,
    seed: int = DEFAULT_SEED,
    attempts: int = DEFAULT_ATTEMPTS,
    small: bool = False,
) -> Manifest:
    """Write the source files of the scenario and say how they are to be read.

    The tags of a lot cannot be written before the lot is drawn: the manifest does that when its
    step comes (`Manifest.write`).

    Args:
        folder: an empty folder that exists.
        seed: where all chance comes from; the same seed gives the same bytes.
        attempts: attempts in the files of attempts and box rows together, exactly; below 40,000
            the leagues have fewer teams and seasons, so that players still have enough each.
        small: at most 6,000 attempts, for tests.

    Raises:
        ValueError: if fewer than 4,000 attempts are asked for.
    """
    world = build(seed, min(attempts, SMALL_ATTEMPTS) if small else attempts)
    files = league_files(world, folder)
    files.append(players_file(world, folder))
    step, entries = shortlist_file(world, folder)
    files.append(step)
    watched = sittings(world, folder)
    said = rumour(world)
    every = [*files, *watched]
    truth = planted(world, [s for s in every if isinstance(s, ImportStep)], said)
    facts = [f"{json.dumps(k)}: {json.dumps(v, ensure_ascii=False)}" for k, v in truth.items()]
    (folder / "truth.json").write_text("{\n" + ",\n".join(facts) + "\n}\n", encoding="utf-8")
    count = int(world.recorded.sum())
    return Manifest(folder, seed, count, tuple(every), said, entries, truth, world)
