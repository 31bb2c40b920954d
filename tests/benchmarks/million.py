"""A file of invented attempts of any size, for timing only: its figures mean nothing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import polars as pl

LEAGUES = 12
SEASONS = 10
TEAMS = 8
PLAYERS_A_TEAM = 5
GAMES_A_SEASON = 208


@dataclass(frozen=True, slots=True)
class Million:
    """The file and what is in it."""

    path: Path
    attempts: int
    tags: int
    player_seasons: int


def write(
    folder: Path, *, attempts: int = 1_000_000, seed: int = 7, changed: float = 0.0
) -> Million:
    """Write `attempts.csv`: games in order, about a quarter of the attempts with a technique.

    Args:
        folder: where to.
        attempts: how many.
        seed: of all draws.
        changed: part of the players who take the technique up in the middle of the fifth season.
    """
    rng = np.random.default_rng(seed)
    per_game = max(attempts // (LEAGUES * SEASONS * GAMES_A_SEASON), 1)
    games = int(np.ceil(attempts / per_game))
    game = np.repeat(np.arange(games), per_game)[:attempts]
    order = np.tile(np.arange(1, per_game + 1), games)[:attempts]
    in_season = game % GAMES_A_SEASON
    league_season = game // GAMES_A_SEASON % (LEAGUES * SEASONS)
    season = league_season % SEASONS
    league = league_season // SEASONS
    home = in_season % TEAMS
    away = (home + 1 + in_season // TEAMS % (TEAMS - 1)) % TEAMS
    of_home = rng.random(attempts) < 0.5
    team = np.where(of_home, home, away)
    player = rng.integers(0, PLAYERS_A_TEAM, attempts)
    person = (league * TEAMS + team) * PLAYERS_A_TEAM + player
    ability = rng.beta(30, 10, LEAGUES * TEAMS * PLAYERS_A_TEAM)
    board = rng.random(LEAGUES * TEAMS * PLAYERS_A_TEAM) < 0.12
    made = rng.random(attempts) < ability[person]
    tagged = rng.random(attempts) < 0.25
    technique = np.where(tagged, np.where(board[person], "board", "straight"), "")
    if changed:
        late = (season > SEASONS // 2) | ((season == SEASONS // 2) & (in_season > 104))
        takes = (np.random.default_rng(seed + 1).random(len(board)) < changed)[person]
        technique = np.where(tagged & takes, np.where(late, "board", "straight"), technique)
    days = [
        date(2015 + s, 10, 1) + timedelta(days=int(d))
        for s in range(SEASONS)
        for d in range(GAMES_A_SEASON)
    ]
    day_text = np.array([d.isoformat() for d in days])
    frame = pl.DataFrame(
        {
            "league": np.array([f"League {n:02d}" for n in range(LEAGUES)])[league],
            "season": np.array([f"{2015 + s}-{16 + s:02d}" for s in range(SEASONS)])[season],
            "date": day_text[season * GAMES_A_SEASON + in_season],
            "game": np.char.add("G", in_season.astype(str)),
            "team": np.array([f"Team {n:02d}" for n in range(LEAGUES * TEAMS)])[
                league * TEAMS + team
            ],
            "player": np.array([f"Player {n:04d}" for n in range(len(board))])[person],
            "period": 1 + order * 4 // (per_game + 1),
            "order": order,
            "trip_shot": 1 + (order + 1) % 2,
            "trip_of": np.full(attempts, 2),
            "made": made.astype(int),
            "technique": technique,
        }
    )
    path = folder / "attempts.csv"
    frame.with_columns(pl.col("technique").replace("", None)).write_csv(path)
    pairs = frame.select(pl.struct("league", "season", "player").n_unique()).item()
    return Million(path, attempts, int(tagged.sum()), int(pairs))
