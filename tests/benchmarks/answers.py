"""Every answer, and the statement of `ranking` alone, against the bare GROUP BY with its joins."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import ledger
from ledger.cohort import Cohort
from ledger.store.ledger_file import LedgerFile
from ledger.store.reads import Reads
from tests.benchmarks.importing import ledger_of
from tests.benchmarks.million import Million
from tests.benchmarks.timing import Ratio, in_turn

BARE = """
SELECT a.league_id, a.season_id, a.person_id, a.team_id, count(*) AS attempts,
       count(*) FILTER (a.made) AS made, count(c.technique_id) AS tagged
FROM live_attempt a LEFT JOIN agreed c ON c.attempt_id = a.id
GROUP BY ALL
"""
BARE_IS = (
    "counts by player, team, league and season with the same joins: no names, no kinds of tags, "
    "no games of tags, no season totals"
)
LEAGUE_SEASON: dict[str, Any] = {"league": "League 03", "season": "2020-21"}


def measure(home: Path, million: Million) -> list[Ratio]:
    """The statement, the whole answer, and the answer for one league-season."""
    path = ledger_of(home, million)
    with LedgerFile(path) as file, file.reading() as con:
        reads = Reads(con)
        everything = reads.scope(Cohort.of())

        def bare() -> object:
            return con.execute(BARE).fetchnumpy()

        def statement() -> object:
            return reads.player_seasons(everything, [2])

        ours, baseline = in_turn(statement, bare)
    found = [Ratio("ranking: its statement", ours, baseline, "2 times or less", BARE_IS)]
    with ledger.open(path) as book:

        def again() -> object:
            with book._file.reading() as con:
                return con.execute(BARE).fetchnumpy()

        player = book.ask("ranking").frame["player"][0]
        book.shortlist("spring", book.ask("ranking").frame["player"].head(20).to_list())
        for name, filters, aim in (
            ("ranking: the whole ledger", {}, "1.5 s"),
            ("ranking: one league-season", LEAGUE_SEASON, "150 ms"),
            ("adopters: the whole ledger", None, "1 s"),
            ("uptake: the whole ledger", None, "1 s"),
            ("misses: the whole ledger", None, "1 s"),
            ("candidates: a list of 20", {"list": "spring"}, "3 s"),
            ("worth: the whole ledger", {"per_possession": 1.0}, "3 s"),
            ("watchlist: 500 attempts", {"budget": 500}, "3 s"),
            ("agreement: the whole ledger", None, "3 s"),
            ("player: one", {"player": player}, "3 s"),
            ("sources: all", None, "3 s"),
        ):
            question = name.partition(":")[0]
            ours, baseline = in_turn(
                lambda q=question, f=filters: book.ask(q, **(f or {})),  # type: ignore[misc]
                again,
            )
            found.append(Ratio(name, ours, baseline, aim, BARE_IS))
    return found
