"""The answer `switches` where a tenth of the players changed, against the games it is found in."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import ledger
from ledger.cohort import Cohort
from ledger.store.reads import Reads
from tests.benchmarks.million import Million, write
from tests.benchmarks.timing import Ratio, in_turn

LEAGUE_SEASON: dict[str, Any] = {"league": "League 03", "season": "2020-21"}
BARE_IS = "every game of every watched player fetched, nothing looked for in it"


def measure(home: Path, million: Million) -> list[Ratio]:
    """The whole ledger, one league-season, and one player."""
    folder = home / "changed"
    folder.mkdir(exist_ok=True)
    file = write(folder, attempts=million.attempts, changed=0.1)
    path = folder / "changed.duckdb"
    with ledger.open(path, create=True) as book:
        book.import_file(file.path, "attempts")
    found = []
    with ledger.open(path) as book:

        def games() -> object:
            with book._file.reading() as con:
                reads = Reads(con)
                return reads.switching.games(reads.scope(Cohort.of()), [2])

        for name, filters, aim in (
            ("switches: the whole ledger", {}, "60 s"),
            ("switches: one league-season", LEAGUE_SEASON, "2 s"),
            ("switches: one player", {"player": "Player 0007"}, "2 s"),
        ):
            ours, baseline = in_turn(
                lambda f=filters: book.ask("switches", **f),  # type: ignore[misc]
                games,
                times=1,
            )
            found.append(Ratio(name, ours, baseline, aim, BARE_IS))
    shutil.rmtree(folder)
    return found
