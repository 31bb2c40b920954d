"""The planted facts: what a perfect observer would know. Written as `truth.json`."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

import numpy as np

from .manifest import ImportStep, Rumour
from .people import Player
from .scenario import OFFENSIVE_REBOUND, OKELMAR, TRIED
from .world import World

ENOUGH = 10


def key_of(world: World, player: Player) -> str:
    """League and name; for the two players of one name the team too."""
    key = f"{world.layout.leagues[player.league].name}|{player.name}"
    if player.twin:
        team = player.teams[max(player.teams)]
        key += f"|{world.people.teams[player.league][team]}"
    return key


def planted(world: World, steps: Sequence[ImportStep], rumour: Rumour) -> dict[str, Any]:
    """Everything that is known beforehand, ready for JSON.

    Shares and rates are 0..1. `player_seasons` is a table: a list of column names and rows.
    """
    seasons, rows = _by_player(world)
    return {
        "seed": world.seed,
        "attempts": int(world.recorded.sum()),
        "offensive_rebound": OFFENSIVE_REBOUND,
        "leagues": [_league(world, number) for number in range(len(world.layout.leagues))],
        "league_seasons": seasons,
        "players": {key_of(world, p): _player(world, p) for p in world.people.players},
        "player_seasons": {
            "columns": ["player", "league", "season", "team", "made", "attempts", "board",
                        "share", "class"],
            "rows": rows,
        },
        "switchers": _switchers(world),
        "tried": _tried(world),
        "noticed": {"player": rumour.player, "league": rumour.league, "season": rumour.season},
        "twins": [key_of(world, p) for p in world.people.players if p.twin],
        "underhand": [key_of(world, p) for p in world.people.players if p.underhand],
        "totals": _totals(world),
        "files": {step.path.name: _expected(step) for step in steps},
        "expected": {
            "attempts": int(world.recorded.sum()),
            "games": int(np.unique(world.shots.game[world.recorded]).size),
            "players": int(np.unique(world.shots.player).size),
        },
    }  # fmt: skip


def true_class(share: float) -> str:
    """The class that the true share of a player-season gives."""
    return "adopter" if share >= 0.5 else "not" if share < 0.1 else "occasional"


def _expected(step: ImportStep) -> dict[str, Any]:
    e = step.expects
    return {
        "kind": step.kind, "rows": e.rows, "stored": e.stored, "already_there": e.already_there,
        "rejected": dict(e.rejected), "not_data": e.not_data, "attempts": e.attempts,
        "warned_words": list(e.warned_words),
    }  # fmt: skip


def _league(world: World, number: int) -> dict[str, Any]:
    plan = world.layout.leagues[number]
    return {
        "name": plan.name,
        "seasons": [plan.label(season) for season in range(len(plan.starts))],
        "teams": world.people.teams[number],
        "ability_mean": plan.mean,
        "ability_weight": plan.strength,
    }


def _player(world: World, player: Player) -> dict[str, Any]:
    return {
        "name": player.name,
        "league": world.layout.leagues[player.league].name,
        "ability": round(player.ability, 6),
        "story": player.story.name if player.story else "",
        "always_board": player.number in world.habits.born,
        "teams": {
            world.label(player.league, season): world.people.teams[player.league][team]
            for season, team in player.teams.items()
        },
    }


def _by_player(world: World) -> tuple[list[dict[str, Any]], list[list[Any]]]:
    summaries: list[dict[str, Any]] = []
    rows: list[list[Any]] = []
    for (league, season), (first, last) in world.bounds.items():
        part = slice(first, last)
        board = world.shots.technique[part] == 1
        numbers, where = np.unique(world.shots.player[part], return_inverse=True)
        count = np.bincount(where)
        makes = np.bincount(where, weights=world.shots.made[part]).astype(int)
        boards = np.bincount(where, weights=board).astype(int)
        share = boards / count
        enough = count >= ENOUGH
        classes = [true_class(s) for s in share.tolist()]
        label = world.label(league, season)
        name = world.layout.leagues[league].name
        for number, n, k, f, s, c in zip(
            numbers.tolist(), count.tolist(), makes.tolist(), boards.tolist(), share.tolist(),
            classes, strict=True,
        ):  # fmt: skip
            player = world.people.players[number]
            team = world.people.teams[league][player.teams[season]]
            rows.append([key_of(world, player), name, label, team, k, n, f, round(s, 6), c])
        tally = np.array(classes)[enough]
        summaries.append(
            {
                "league": name,
                "season": label,
                "recorded": _recorded(world, league, season),
                "attempts": last - first,
                "made": int(makes.sum()),
                "board": int(board.sum()),
                "share": float(board.mean()),
                "planted_share": world.layout.leagues[league].targets[season],
                "players": int(numbers.size),
                "players_10": int(enough.sum()),
                "attempts_10": int(count[enough].sum()),
                "share_10": float(boards[enough].sum() / count[enough].sum()),
                "adopters_10": int((tally == "adopter").sum()),
                "occasional_10": int((tally == "occasional").sum()),
            }
        )
    return summaries, rows


def _recorded(world: World, league: int, season: int) -> str:
    if world.only_totals(league, season):
        return "totals"
    return "box" if world.only_box(league, season) else "attempts"


def _switchers(world: World) -> list[dict[str, Any]]:
    found = []
    for change in world.habits.changes.values():
        if change.shape == "tried":
            continue
        player = world.people.players[change.player]
        part = world.span(player.league, change.season)
        mine = part.start + np.flatnonzero(world.shots.player[part] == change.player)
        before = mine[world.shots.day[mine] < change.day]
        after = mine[world.shots.day[mine] >= change.day]
        found.append(
            {
                "name": change.name,
                "player": key_of(world, player),
                "shape": change.shape,
                "season": world.label(player.league, change.season),
                "date": date.fromordinal(change.day).isoformat(),
                "until": date.fromordinal(change.until).isoformat() if change.until else None,
                "back": date.fromordinal(change.back).isoformat() if change.back else None,
                "ability": round(player.ability, 6),
                "effect": change.effect,
                "made_before": int(world.shots.made[before].sum()),
                "attempts_before": int(before.size),
                "made_after": int(world.shots.made[after].sum()),
                "attempts_after": int(after.size),
            }
        )
    return found


def _tried(world: World) -> list[dict[str, Any]]:
    return [
        {
            "player": key_of(world, world.people.players[change.player]),
            "season": world.label(world.people.players[change.player].league, change.season),
            "date": date.fromordinal(change.day).isoformat(),
            "attempts": TRIED,
        }
        for change in world.habits.changes.values()
        if change.shape == "tried"
    ]


def _totals(world: World) -> list[dict[str, Any]]:
    """Season totals against the games that were typed in besides."""
    part = world.span(OKELMAR, 0)
    player, made = world.shots.player[part], world.shots.made[part]
    typed = world.recorded[part]
    found = []
    for number in np.unique(player).tolist():
        who = world.people.players[number]
        mine = player == number
        games = mine & typed
        found.append(
            {
                "player": key_of(world, who),
                "team": world.people.teams[OKELMAR][who.teams[0]],
                "made": int(made[mine].sum()),
                "attempts": int(mine.sum()),
                "games_made": int(made[games].sum()),
                "games_attempts": int(games.sum()),
                "without_game": int(mine.sum() - games.sum()),
            }
        )
    return found
