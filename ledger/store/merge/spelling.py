"""How the other ledger's things are called here.

A name that was corrected there is still known here as files write it. Where this ledger has only
the earlier name (or the earlier day or label of a game), that one is meant, so that one thing does
not become two; the correction itself is then a difference, and is listed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.store import frames
from ledger.store.names import written_form

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

Tables = dict[str, pl.DataFrame]


@dataclass(slots=True)
class Spelling:
    """Names by number of the other ledger.

    Attributes:
        leagues: number to name.
        teams: number to name.
        players: number to name.
        games: number to day and label, only where they are other than in the other ledger.
        differing: corrections that were not taken, a line each.
    """

    leagues: dict[int, str] = field(default_factory=dict)
    teams: dict[int, str] = field(default_factory=dict)
    players: dict[int, str] = field(default_factory=dict)
    games: dict[int, tuple[date, str | None]] = field(default_factory=dict)
    differing: list[str] = field(default_factory=list)


def spell(con: DuckDBPyConnection, other: Tables) -> Spelling:
    """The names that stand here for what the other ledger holds."""
    out = Spelling()
    known = frames.fetch(con, ("commit/identity", "leagues"))
    leagues = dict(zip(known["normal_form"], known["id"], strict=True))
    by_league = _aliases(other["league_alias"], "league_id")
    for number, name in other["league"].select("id", "name").iter_rows():
        out.leagues[number] = _known(out, "league", name, by_league[number], leagues)
    here = {n: leagues.get(written_form(name)) for n, name in out.leagues.items()}
    rows = frames.fetch(con, ("commit/identity", "teams"))
    forms = set(zip(rows["league_id"], rows["normal_form"], strict=True))
    by_team = _aliases(other["team_alias"], "team_id")
    for number, league, name in other["team"].select("id", "league_id", "name").iter_rows():
        there = {f for at, f in forms if at == here[league]} if by_team[number] else ()
        out.teams[number] = _known(out, "team", name, by_team[number], there)
    _players(con, out, other, here)
    _games(con, out, other, here)
    return out


def _aliases(frame: pl.DataFrame, column: str) -> dict[int, list[str]]:
    found: dict[int, list[str]] = defaultdict(list)
    for number, written in frame.select(column, "as_written").iter_rows():
        found[number].append(written)
    return found


def _known(out: Spelling, what: str, name: str, aliases: list[str], forms: Iterable[str]) -> str:
    if written_form(name) in forms:
        return name
    for alias in aliases:
        if written_form(alias) != written_form(name) and written_form(alias) in forms:
            out.differing.append(f"{what} {alias} is called {name} there")
            return alias
    return name


def _players(
    con: DuckDBPyConnection, out: Spelling, other: Tables, here: dict[int, int | None]
) -> None:
    wanted = pl.DataFrame(
        {"league_id": sorted({n for n in here.values() if n is not None})},
        schema={"league_id": pl.Int32},
    )
    forms: dict[int, set[str]] = defaultdict(set)
    if len(wanted):
        rows = frames.fetch(con, ("commit/identity", "players"), wanted=wanted)
        for league, form in rows.select("league_id", "normal_form").iter_rows():
            forms[league].add(form)
    aliases = _aliases(other["player_alias"], "player_id")
    for number, league, name in other["player"].select("id", "league_id", "name").iter_rows():
        at = here[league]
        there = forms[at] if at is not None else set()
        out.players[number] = _known(out, "player", name, aliases[number], there)


def _games(
    con: DuckDBPyConnection, out: Spelling, other: Tables, here: dict[int, int | None]
) -> None:
    changed = other["journal"].filter(
        (pl.col("action") == "correct")
        & (pl.col("table_name") == "game")
        & pl.col("field").is_in(["date", "label"])
    )
    first: dict[int, dict[str, Any]] = defaultdict(dict)
    for number, name, old in changed.select("row_id", "field", "old_value").iter_rows():
        first[number].setdefault(name, old)
    if not first:
        return
    seasons = frames.fetch(con, ("commit/identity", "seasons"))
    season_ids = dict(zip(seasons["normal_form"], seasons["id"], strict=True))
    keys = dict(other["season"].select("id", "normal_form").iter_rows())
    wanted = pl.DataFrame(
        {"league_id": sorted({n for n in here.values() if n is not None})},
        schema={"league_id": pl.Int32},
    )
    there = {
        (row["league_id"], row["season_id"], row["date"], row["label"])
        for row in frames.fetch(con, ("commit/identity", "games"), wanted=wanted).iter_rows(
            named=True
        )
    }
    for row in other["game"].filter(pl.col("id").is_in(list(first))).iter_rows(named=True):
        place = (here[row["league_id"]], season_ids.get(keys[row["season_id"]]))
        old = first[row["id"]]
        try:
            day = date.fromisoformat(old["date"]) if old.get("date") else row["date"]
        except ValueError:
            continue
        label = old.get("label", row["label"])
        if (*place, row["date"], row["label"]) not in there and (*place, day, label) in there:
            out.games[row["id"]] = (day, label)
            out.differing.append(
                f"game {label or day} of {day} is {row['label'] or row['date']} of "
                f"{row['date']} there"
            )
