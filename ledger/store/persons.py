"""Who a name is: one player, or two of one name.

Within a league one name is one player. Where two teams have the name on one day, or the days of one
team lie among those of another, there are two people of that name, told apart by their team, and
the report says so. A move in mid-season (all days of one team before all days of the other) stays
one player. The days that are in the ledger count as much as those of the file.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from itertools import pairwise
from typing import TYPE_CHECKING

import polars as pl

from ledger.store import frames, joined, journal, marks
from ledger.store.identity import Found, spread
from ledger.store.names import written_form
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

Days = tuple[date, date] | None
_MOST = 10
_NO_TEAM = 0


@dataclass(slots=True)
class _Name:
    """All that is known of one name in one league.

    `owner` has the players there are by team, `free` those without one, `days` first and last day
    of each team; `declared` are those a person said to be one, whatever the days say.
    """

    shown: str
    owner: dict[int, int] = field(default_factory=dict)
    free: list[int] = field(default_factory=list)
    days: dict[int, Days] = field(default_factory=dict)
    players: list[int] = field(default_factory=list)
    declared: set[int] = field(default_factory=set)


@dataclass(frozen=True, slots=True)
class Split:
    """A player of the ledger whose team's records turned out to be another person's."""

    old: int
    new: int
    team_id: int


def players(
    con: DuckDBPyConnection, frame: pl.DataFrame, source_id: int, found: Found
) -> tuple[pl.DataFrame, list[Split]]:
    """The frame with `player_id` and `person_id`, by `league_id, player, team_id` and `date`.

    New players are added; another spelling of a person is a row of its own that stands for the
    first, so that every record keeps the name it was written with. Splits of players that were
    there are returned, to be carried out by the caller before anything is matched.
    """
    nothing = pl.lit(None, pl.Date)
    dated = "date" in frame.columns
    frame = marks.set_aside(_with_team_key(con, frame))
    stints = frame.group_by("league_id", "player", "team_key", maintain_order=True).agg(
        (pl.col("date").min() if dated else nothing).alias("first"),
        (pl.col("date").max() if dated else nothing).alias("last"),
    )
    forms = {name: written_form(name) for name in stints["player"].unique().to_list()}
    rows, names, of_team = _known(con, stints, forms)
    number = int(frames.one(con, ("commit/identity", "next_player")))
    batch: dict[tuple[int, str], dict[int, Days]] = defaultdict(dict)
    for league, player, team, first, last in stints.iter_rows():
        key = (league, forms[player])
        names.setdefault(key, _Name(player))
        batch[key][team or _NO_TEAM] = _hull(
            batch[key].get(team or _NO_TEAM), (first, last) if first else None
        )
    fresh: list[tuple[int, int, str, str, int | None]] = []
    splits: list[Split] = []
    parted: list[tuple[str, list[int]]] = []
    for key, teams in batch.items():
        added, split, told = _place(names[key], teams, number)
        number += len(added)
        for new in added:
            fresh.append((new, key[0], names[key].shown, key[1], None))
            rows[new, names[key].shown] = new
        splits += split
        if told:
            parted.append((names[key].shown, told))
    found.count("players", len(fresh))
    _say(con, parted, found)
    table = []
    for league, player, team in stints.select("league_id", "player", "team_key").iter_rows():
        person = names[league, forms[player]].owner[team or _NO_TEAM]
        row = of_team.get((person, player, team), rows.get((person, player)))
        if row is None:
            row = rows[person, player] = number
            fresh.append((number, league, player, forms[player], person))
            number += 1
        table.append((league, player, team, row, person))
    _store(con, fresh, source_id)
    frame = _spread(frame, table).drop("team_key")
    found.warnings += marks.keep(con, frame, source_id)
    return frame, splits


def _with_team_key(con: DuckDBPyConnection, frame: pl.DataFrame) -> pl.DataFrame:
    """The frame with `team_key`: the team that stands for all that are one with a row's team."""
    one = joined.ones(con)
    keys = one.over(frame.select("team_id")).select(pl.col("team_id").alias("team_key"))
    return frame.with_columns(keys["team_key"])


def _spread(
    frame: pl.DataFrame, table: list[tuple[int, str, int | None, int, int]]
) -> pl.DataFrame:
    shape = {
        "league_id": pl.Int32,
        "player": pl.String,
        "team_key": pl.Int32,
        "player_id": pl.Int32,
        "person_id": pl.Int32,
    }
    ids = pl.DataFrame(table, schema=shape, orient="row")
    plain = ids.drop("team_key").unique()
    if len(plain) == len(plain.select("league_id", "player").unique()):
        return spread(frame, ["league_id", "player"], plain)
    on = ["league_id", "team_key", "player"]
    return frame.join(ids, on=on, how="left", nulls_equal=True, maintain_order="left")


def _known(
    con: DuckDBPyConnection, stints: pl.DataFrame, forms: dict[str, str]
) -> tuple[
    dict[tuple[int, str], int],
    dict[tuple[int, str], _Name],
    dict[tuple[int, str, int | None], int],
]:
    """What is known of the names of a batch.

    Returns:
        The rows of the league's people by person and spelling; the names; and by person, spelling
        and team the row that has records there, where several were declared one.
    """
    leagues = stints.select("league_id").unique()
    known = frames.fetch(con, ("commit/identity", "players"), wanted=leagues)
    wanted = known.filter(pl.col("normal_form").is_in(list(set(forms.values()))))
    names: dict[tuple[int, str], _Name] = {}
    rows: dict[tuple[int, str], int] = {}
    of_team: dict[tuple[int, str, int | None], int] = {}
    if wanted.is_empty():
        return rows, names, of_team
    people = known.filter(pl.col("person_id").is_in(wanted["person_id"].unique().implode()))
    person_of = dict(zip(people["id"], people["person_id"], strict=True))
    seen = frames.fetch(
        con, ("commit/identity", "stints"), wanted=people.select(player_id="id").unique()
    )
    declared = _declared(con, person_of)
    teams_of: dict[int, dict[int, Days]] = defaultdict(dict)
    had: dict[int, set[int]] = defaultdict(set)
    for player, team, first, last in seen.iter_rows():
        teams = teams_of[person_of[player]]
        teams[team] = _hull(teams.get(team), (first, last) if first else None)
        had[player].add(team)
    for league, player, person, form, written in (
        _first_rows(wanted)
        .select("league_id", "id", "person_id", "normal_form", "as_written")
        .iter_rows()
    ):
        rows.setdefault((person, written), player)
        for team in had[player] if person in declared else ():
            of_team.setdefault((person, written, team), player)
        name = names.setdefault((league, form), _Name(written))
        if person in declared:
            name.declared.add(person)
        if person in name.players:
            continue
        name.players.append(person)
        if not teams_of[person]:
            name.free.append(person)
        for team, span in teams_of[person].items():
            # The team of live attempts is a player's before a team he only once had.
            if team not in name.owner or (span and not name.days[team]):
                name.owner[team], name.days[team] = person, span
            else:
                name.days[team] = _hull(name.days[team], span)
    return rows, names, of_team


def _declared(con: DuckDBPyConnection, person_of: dict[int, int]) -> set[int]:
    """The people of whom somebody said that several names are them."""
    told = frames.fetch(con, ("commit/identity", "declared"))["player_id"]
    return {person_of[player] for player in told if player in person_of}


def _first_rows(known: pl.DataFrame) -> pl.DataFrame:
    """Rows of people, the one that stands for all and the spelling that is shown first."""
    return known.sort(pl.col("id") != pl.col("person_id"), "id", ~pl.col("shown"), "as_written")


def _place(
    name: _Name, teams: dict[int, Days], number: int
) -> tuple[list[int], list[Split], list[int]]:
    """Decide whose each team's records are; new players get numbers from `number` on.

    Returns:
        The new players, players of the ledger that are split, and the teams told apart.
    """
    days = dict(name.days)
    for team, span in teams.items():
        days[team] = _hull(days.get(team), span)
    added: list[int] = []

    def another() -> int:
        added.append(number + len(added))
        return added[-1]

    if not _overlapping(days) and len(name.players) <= 1:
        only = name.players[0] if name.players else another()
        for team in teams:
            name.owner.setdefault(team, only)
        return added, [], []
    splits = _unpick(name, days, another)
    told: list[int] = []
    for team in teams:
        if team in name.owner:
            continue
        if not name.owner and name.free:
            name.owner[team] = name.free.pop(0)
        elif len(name.players) == 1 and (
            team == _NO_TEAM or (name.declared and not _meets(days, team))
        ):
            name.owner[team] = name.players[0]
        else:
            name.owner[team] = another()
            told.append(team)
    apart = bool(added) or bool(splits)
    return added, splits, sorted({*days, *told} - {_NO_TEAM}) if apart else []


def _unpick(name: _Name, days: dict[int, Days], another: Callable[[], int]) -> list[Split]:
    """Part players of the ledger whose own teams now lie among each other."""
    splits = []
    teams_of: dict[int, list[int]] = defaultdict(list)
    for team, player in name.owner.items():
        if days.get(team):
            teams_of[player].append(team)
    for player, teams in teams_of.items():
        if player in name.declared:
            continue
        if len(teams) > 1 and _overlapping({t: days[t] for t in teams}):
            first = min(teams, key=lambda t: (name.days.get(t) or days[t] or (date.max,))[0])
            for team in sorted(teams):
                if team != first:
                    name.owner[team] = another()
                    splits.append(Split(player, name.owner[team], team))
    return splits


def _overlapping(days: dict[int, Days]) -> bool:
    spans = sorted(span for span in days.values() if span)
    return any(b[0] <= a[1] for a, b in pairwise(spans))


def _meets(days: dict[int, Days], team: int) -> bool:
    """Whether the days of one team lie among those of any other."""
    own = days[team]
    others = [span for number, span in days.items() if number != team and span]
    return own is not None and any(a <= own[1] and own[0] <= b for a, b in others)


def _hull(a: Days, b: Days) -> Days:
    if a is None or b is None:
        return a or b
    return min(a[0], b[0]), max(a[1], b[1])


def _say(con: DuckDBPyConnection, parted: list[tuple[str, list[int]]], found: Found) -> None:
    """Name the first of the names told apart, and count the rest."""
    if not parted:
        return
    listed = frames.fetch(con, ("commit/identity", "team_names"))
    teams = dict(zip(listed["id"], listed["name"], strict=True))
    for shown, numbers in parted[:_MOST]:
        several = " and ".join(teams[n] for n in numbers[:4])
        found.warnings.append(
            f"{shown} played for {several} on the same or alternating days: kept as "
            f"{len(numbers)} players; if they are one, type: offglass same"
        )
    if len(parted) > _MOST:
        found.warnings.append(f"{len(parted) - _MOST} more names are several players likewise")


def carry_out(con: DuckDBPyConnection, hand: Hand, splits: list[Split], source_id: int) -> None:
    """Give the records of each split team to the new player, also in what files gave."""
    for split in splits:
        move(con, split.old, split.new, split.team_id)
        journal.record(
            con, hand.clock, hand.who, "split", table="player", row_id=split.new,
            field=str(split.team_id), old=split.old, new=split.new, source_id=source_id,
        )  # fmt: skip


def resplit(con: DuckDBPyConnection, source_id: int, *, again: bool) -> None:
    """Join the players that a source had parted, or part them again, where the days say so."""
    for new, old, team in frames.fetch(
        con, ("commit/undo", "splits"), {"source_id": source_id}
    ).iter_rows():
        wanted = pl.DataFrame({"player_id": [new, old]}, schema={"player_id": pl.Int32})
        days: dict[int, Days] = {}
        for _, number, first, last in frames.fetch(
            con, ("commit/identity", "stints"), wanted=wanted
        ).iter_rows():
            days[number] = _hull(days.get(number), (first, last) if first else None)
        if _overlapping(days):
            if again:
                move(con, old, new, team)
        elif not again:
            move(con, new, old, team)


def move(con: DuckDBPyConnection, old: int, new: int, team_id: int) -> None:
    """Make the records of one team another player's."""
    values = {"old": old, "new": new, "team_id": team_id}
    for statement in ("move_given", "move_attempts", "move_totals", "move_roster"):
        text = sql("commit/persons", statement)
        con.execute(text, {k: v for k, v in values.items() if f"${k}" in text})


def _store(
    con: DuckDBPyConnection,
    fresh: list[tuple[int, int, str, str, int | None]],
    source_id: int,
) -> None:
    """Add players and spellings, and where each spelling came from."""
    if not fresh:
        return
    shape = {
        "id": pl.Int32,
        "league_id": pl.Int32,
        "name": pl.String,
        "normal_form": pl.String,
        "same_as": pl.Int32,
    }
    rows = pl.DataFrame(fresh, schema=shape, orient="row")
    frames.run(con, ("commit/identity", "add_player"), incoming=rows)
    aliases = rows.select("league_id", "normal_form", player_id="id", as_written="name")
    statement = ("commit/identity", "add_player_alias")
    frames.run(con, statement, {"source_id": source_id}, incoming=aliases)
