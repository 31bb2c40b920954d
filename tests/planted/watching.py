"""Watching the planted scenario by its own list: players settled, beside what the list said."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass

import numpy as np

from ledger.stats.technique_class import classify
from tests.planted.measured import Planted

LEAGUE_SEASONS = (
    ("Halma League", "2024-25"),
    ("Halma League", "2021-22"),
    ("Drellin Liga", "2023-24"),
    ("Okelmar Division", "2022-23"),
)
_WHOM = re.compile(r"(.+?) \((\d+)\)(?:, |$)")


@dataclass(frozen=True, slots=True)
class Watched:
    """One league-season watched by its list.

    Attributes:
        attempts: attempts of the plan.
        open: open players before.
        said: how many the plan should settle.
        settled: how many it did settle, mean over repetitions.
        by_date: how many as many attempts settle when games are watched as they were played.
        right: part of those settled who were called as they truly shoot.
    """

    attempts: int
    open: int
    said: float
    settled: float
    by_date: float
    right: float


def watch(data: Planted, league: str, season: str, budget: int, runs: int = 40) -> Watched:
    """Watch a plan: technique of each attempt by the true share of its shooter."""
    answer = data.book.ask("watchlist", league=league, season=season, budget=budget)
    every = data.book.ask("watchlist", league=league, season=season).main.rows()
    plan = answer.main.rows()
    people = {p["player"]: p for p in answer.part("players").rows() if not p["may_stop"]}
    true = {
        row["player"].split("|")[1]: row
        for (of, when, _, _), row in data.player_seasons.items()
        if (of, when) == (league, season)
    }
    rng = np.random.default_rng(20407)
    earliest = sorted(every, key=lambda game: game["date"])
    planned, right = _settled(plan, people, true, rng, runs, budget)
    by_date, _ = _settled(earliest, people, true, rng, runs, budget)
    size = sum(game["attempts_to_watch"] for game in plan)
    return Watched(size, len(people), plan[-1]["expected_so_far"], planned, by_date, right)


def drawn_twice(data: Planted) -> tuple[int, int]:
    """Attempts drawn to be watched twice, and attempts with a clear tag."""
    with data.book._file.reading() as con:
        drawn, watched = con.execute(
            """SELECT (SELECT count(*) FROM double_tag), (
                SELECT count(DISTINCT attempt_id) FROM tag WHERE NOT removed AND NOT unclear
                    AND NOT adjudicated AND technique_id IS NOT NULL
            )"""
        ).fetchall()[0]
    return int(drawn), int(watched)


def told(data: Planted) -> list[str]:
    """What plans of 1,500 attempts said and did, a line each."""
    lines = []
    for league, season in LEAGUE_SEASONS:
        one = watch(data, league, season, budget=1500)
        lines.append(
            f"{league} {season}: {one.attempts} attempts watched by the list settle "
            f"{one.settled:.1f} of {one.open} open players (said {one.said:.1f}; game by game as "
            f"played {one.by_date:.1f}), {100 * one.right:.1f} % rightly"
        )
    return lines


def _settled(
    games: list[dict[str, object]],
    people: dict[str, dict[str, object]],
    true: dict[str, dict[str, object]],
    rng: np.random.Generator,
    runs: int,
    budget: int,
) -> tuple[float, float]:
    """Players settled by watching games in turn up to a budget, and the part called rightly."""
    more: Counter[str] = Counter()
    left = budget
    for game in games:
        left -= int(str(game["attempts_to_watch"]))
        if left < 0:
            break
        for name, number in _WHOM.findall(str(game["watch"])):
            more[name] += int(number)
    names = [name for name in more if name in people and name in true]
    focus = np.array([float(str(people[n]["focus_tags"])) for n in names])
    tagged = np.array([float(str(people[n]["tagged"])) for n in names])
    seen = np.array([more[n] for n in names])
    shares = np.array([float(str(true[n]["share"])) for n in names])
    settled = rightly = 0
    for _ in range(runs):
        found = focus + rng.binomial(seen, shares)
        calls = classify(found, tagged + seen, np.full(len(names), 2))
        decided = calls != "undecided"
        settled += int(decided.sum())
        truly = np.select([shares >= 0.5, shares < 0.1], ["adopter", "not"], "occasional")
        rightly += int((decided & (calls == truly)).sum())
    return settled / runs, rightly / max(settled, 1)
