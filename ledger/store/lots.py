"""Lots: saved random lists of players to watch, which make a league's share honest."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ledger.errors import UseError
from ledger.store import changes
from ledger.store.journal import Hand
from ledger.store.names import Named, find_league, find_season
from ledger.store.shortlists import new_list_name
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

FEWEST_ATTEMPTS = 10
_LARGEST_SEED = 2**53


@dataclass(frozen=True, slots=True)
class Lot:
    """A saved random list.

    Attributes:
        id: its row.
        name: as typed.
        league: the league's name.
        season: the season's label.
        seed: what draws the same list again.
        players: those drawn, in the order to watch them.
        frame: how many players it was drawn from.
    """

    id: int
    name: str
    league: str
    season: str
    seed: int
    players: tuple[Named, ...]
    frame: int


def draw_lot(
    con: DuckDBPyConnection,
    hand: Hand,
    name: str,
    league: str,
    season: str,
    players: int,
    seed: int | None = None,
) -> Lot:
    """Draw a simple random sample of the untagged players of a league-season, and save it.

    From all with 10 free throws or more in games and no live tag there; the frame is stored too.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who does it, and when (a `LedgerFile` will do).
        name: what the list will be called.
        league: the league's name.
        season: the season's label.
        players: how many to draw.
        seed: draws the same list from the same frame again; drawn itself unless given.

    Raises:
        UseError: for a name that is taken, an unknown league or season, or too few players.
    """
    called = new_list_name(con, name)
    in_league, in_season = find_league(con, league), find_season(con, season)
    if seed is None:
        seed = random.SystemRandom().randrange(_LARGEST_SEED)
    if not 0 <= seed <= _LARGEST_SEED:
        raise UseError(f"--seed takes a whole number from 0 to {_LARGEST_SEED}, not {seed}")
    frame = _frame(con, in_league, in_season, players)
    drawn = _drawn(len(frame), players, seed)
    source_id = changes.begin(con, hand, "lot", called)
    number = changes.next_id(con, "lot")
    row: dict[str, Any] = {
        "id": number,
        "name": called,
        "league_id": in_league.id,
        "season_id": in_season.id,
    }
    row |= {"seed": seed, "who": hand.who, "at_time": hand.clock()}
    con.execute(sql("registers", "add_lot"), row)
    _keep(con, number, frame, drawn)
    changes.added(con, hand, source_id, "lot", number)
    changes.changed(con, hand, source_id, "lot_player", {"lot_id": number}, [])
    people = _people(con, [frame[at][0] for at in drawn])
    return Lot(number, called, in_league.name, in_season.name, seed, people, len(frame))


def _keep(
    con: DuckDBPyConnection, number: int, frame: list[tuple[int, int]], drawn: list[int]
) -> None:
    places = {at: place for place, at in enumerate(drawn, start=1)}
    con.execute(
        sql("registers", "add_lot_players"),
        {
            "lot_id": number,
            "players": [player for player, _ in frame],
            "attempts": [attempts for _, attempts in frame],
            "places": [places.get(at) for at in range(len(frame))],
        },
    )


def _frame(
    con: DuckDBPyConnection, league: Named, season: Named, players: int
) -> list[tuple[int, int]]:
    where = {"league_id": league.id, "season_id": season.id, "fewest": FEWEST_ATTEMPTS}
    frame = con.execute(sql("registers", "frame"), where).fetchall()
    if players < 1:
        raise UseError(f"--players takes a whole number from 1, not {players}")
    if not frame:
        raise UseError(
            f"{league.name} {season.name} has no player with {FEWEST_ATTEMPTS} free throws or "
            "more and no tag: a lot is drawn before anybody is watched"
        )
    if players > len(frame):
        raise UseError(
            f"{league.name} {season.name} has {len(frame)} player{'s' * (len(frame) != 1)} with "
            f"{FEWEST_ATTEMPTS} free throws or more and no tag, {players} were asked for: type "
            f"--players {len(frame)} "
            "or fewer"
        )
    return [(int(p), int(n)) for p, n in frame]


def _drawn(of: int, players: int, seed: int) -> list[int]:
    import numpy as np

    return [int(at) for at in np.random.default_rng(seed).permutation(of)[:players]]


def _people(con: DuckDBPyConnection, ids: Sequence[int]) -> tuple[Named, ...]:
    rows = con.execute(sql("names", "players")).fetchall()
    named = {int(r[0]): Named(int(r[0]), str(r[1]), str(r[3])) for r in rows}
    return tuple(named[i] for i in ids)
