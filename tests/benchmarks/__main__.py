"""`python -m tests.benchmarks [NAME…]`: ratios against a baseline timed in the same run."""

from __future__ import annotations

import importlib
import sys
import tempfile
from pathlib import Path

from tests.benchmarks.million import Million, write

# name -> module of this package with `measure(home, million) -> list[Ratio]`
ALL = {
    "import": "importing",
    "profile": "profiled",
    "ranking": "answers",
    "switches": "switching",
    "screen": "screens",
    "terminal": "in_terminal",
    "help": "starting",
}
ATTEMPTS = 1_000_000


def main(names: list[str]) -> int:
    """Measure what is named, or everything; the ledger of the import is used by the rest."""
    unknown = set(names) - set(ALL)
    if unknown:
        print(f"no benchmark is called {', '.join(sorted(unknown))}: {', '.join(ALL)}")
        return 2
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        million: Million = write(home, attempts=ATTEMPTS)
        print(
            f"{million.attempts:,} attempts, {million.tags:,} tags, "
            f"{million.player_seasons:,} player-seasons"
        )
        for name in names or ALL:
            module = importlib.import_module(f"tests.benchmarks.{ALL[name]}")
            for ratio in module.measure(home, million):
                print(ratio.line(), flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
