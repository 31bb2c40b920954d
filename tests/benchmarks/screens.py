"""A change of cohort on the ranking screen, from the key to the repainted rows."""

from __future__ import annotations

import asyncio
import statistics
from pathlib import Path

from ledger.book import Book
from ledger.cohort import Cohort
from tests.benchmarks.importing import ledger_of
from tests.benchmarks.million import LEAGUES, SEASONS, Million
from tests.benchmarks.timing import Ratio, seconds
from tui.app import OffglassApp
from tui.cohorts import Meant
from tui.screens.ranking import RankingScreen

CHANGES = 20
SIZE = (120, 36)
PATIENCE_S = 60.0
BARE = """
SELECT a.player_id, a.team_id, count(*) AS attempts, count(*) FILTER (a.made) AS made
FROM attempt a JOIN game g ON g.id = a.game_id
JOIN league l ON l.id = g.league_id JOIN season s ON s.id = g.season_id
WHERE l.name = $league AND s.label = $season
GROUP BY ALL
"""
BARE_IS = "counts by player and team of the same league-season: no tags, rates, classes or screen"


def measure(home: Path, million: Million) -> list[Ratio]:
    """The median and the 95 % of the changes, against the bare count of each league-season."""
    path = ledger_of(home, million)
    ours, bare = asyncio.run(_changes(path))
    baseline = statistics.median(bare)
    late = sorted(ours)[round(0.95 * len(ours)) - 1]
    return [
        Ratio(
            "screen: change of cohort, median",
            statistics.median(ours),
            baseline,
            "median 150 ms or less",
            BARE_IS,
        ),
        Ratio("screen: change of cohort, 95 %", late, baseline, "none", BARE_IS),
    ]


def league_seasons() -> list[tuple[str, str]]:
    """League-seasons far apart from one another, each once, one more than there are changes."""
    names = []
    for k in range(CHANGES + 1):
        year = 2015 + k * 3 % SEASONS
        names.append((f"League {k * 5 % LEAGUES:02d}", f"{year}-{(year + 1) % 100:02d}"))
    return names


async def _changes(path: Path) -> tuple[list[float], list[float]]:
    """Seconds of every change, and of the bare count that follows it on the same connection."""
    book = Book(path)
    app = OffglassApp(lambda: book, path.name, questions=())
    ours, bare = [], []
    async with app.run_test(size=SIZE) as pilot:
        app.show("ranking")
        await pilot.pause()
        room = app.screen
        assert isinstance(room, RankingScreen)
        for number, (league, season) in enumerate(league_seasons()):
            took = await _change(room, Meant(Cohort.of(league=league, season=season)))
            # The first change also opens the file.
            if number:
                ours.append(took)
                bare.append(await asyncio.to_thread(_bare, book, league, season))
    return ours, bare


async def _change(room: RankingScreen, meant: Meant) -> float:
    before, painted = room.answer, asyncio.Event()
    clock = asyncio.get_running_loop()
    start = clock.time()
    room.mean(meant)
    while room.answer is before or room.jobs:
        if clock.time() - start > PATIENCE_S:
            raise TimeoutError(f"no answer for {meant.cohort.sentence()}")
        await asyncio.sleep(0.001)
    room.call_after_refresh(painted.set)
    await painted.wait()
    assert room.answer is not None
    assert room.answer.frame.height
    return clock.time() - start


def _bare(book: Book, league: str, season: str) -> float:
    with book._file.reading() as con:
        values = {"league": league, "season": season}
        return seconds(lambda: con.execute(BARE, values).fetchnumpy())
