"""What files tell of players, and shortlists: who a name is, and what is told for the first time.

All that a file tells of a player is kept as lines `told` in the journal, with its source. The
fields of a player are then what the first live source told, and a row that differs in a filled
field gives nothing.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.errors import UseError
from ledger.store import frames, identity, marks
from ledger.store.batch import REFUSED, Taken
from ledger.store.identity import Found
from ledger.store.names import did_you_mean, written_form
from ledger.store.persons import players
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

FIELDS = ("position", "height_cm", "mass_kg", "birth_year", "hand")
_NUMBERS = ("height_cm", "mass_kg", "birth_year")
_MOST = 6


def commit_players(
    con: DuckDBPyConnection, hand: Hand, frame: pl.DataFrame, source_id: int, now: datetime
) -> Taken:
    """Bring in what is known of players."""
    found = Found()
    frame, refused = _who(con, marks.set_aside(frame), source_id, found, may_add=True)
    frame = _with_team_and_season(con, frame, source_id, found)
    found.warnings += marks.keep(con, _without_numbers(con, frame), source_id)
    told = []
    for row in frame.iter_rows(named=True):
        given = {n: row[n] for n in FIELDS if row.get(n) is not None}
        if row.get("team_id") is not None and row.get("season_id") is not None:
            given["roster"] = [row["team_id"], row["season_id"], row.get("number")]
        told.append((row["line"], row["player_id"], json.dumps(given, ensure_ascii=False)))
    lines = _outcomes(told, tell(con, hand, told, source_id, now), source_id)
    return Taken(
        lines=lines,
        refused=refused,
        fields_filled=0,
        new=found.new,
        warnings=tuple(found.warnings),
    )


def _without_numbers(con: DuckDBPyConnection, frame: pl.DataFrame) -> pl.DataFrame:
    """Rows of players with their league: their numbers are told with the roster."""
    leagues = frames.fetch(
        con, ("commit/people", "leagues_of"), wanted=frame.select("player_id").unique()
    )
    frame = frame.drop([n for n in ("number", "league_id") if n in frame.columns])
    return frame.join(leagues.cast(pl.Int32), on="player_id", how="left", maintain_order="left")


def tell(
    con: DuckDBPyConnection,
    hand: Hand,
    told: list[tuple[int, int, str]],
    source_id: int,
    now: datetime,
) -> dict[tuple[int, int], str]:
    """Keep what a source tells of players, and let it count.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who brings it.
        told: line, player and what is told as JSON.
        source_id: the source.
        now: when.

    Returns:
        What became of each row of these players: by source and line.
    """
    if told:
        rows = pl.DataFrame(
            told, schema={"line": pl.Int32, "player_id": pl.Int64, "told": pl.String}, orient="row"
        )
        values = {"source_id": source_id, "who": hand.who, "at_time": now}
        frames.run(con, ("commit/people", "tell"), values, incoming=rows)
    return rederive_players(con, sorted({t[1] for t in told}), incoming=source_id)


def _outcomes(
    told: list[tuple[int, int, str]], outcomes: Mapping[tuple[int, int], str], source_id: int
) -> pl.DataFrame:
    lines = [(line, outcomes.get((source_id, line), "already_there")) for line, _, _ in told]
    return pl.DataFrame(lines, schema={"line": pl.Int32, "outcome": pl.String}, orient="row")


def rederive_players(
    con: DuckDBPyConnection, ids: list[int], *, incoming: int | None = None
) -> dict[tuple[int, int], str]:
    """Set the fields and rosters of players to what live sources told, then what was corrected.

    Args:
        con: a connection inside `LedgerFile.changing`.
        ids: players.
        incoming: a source whose own row is not written yet.

    Returns:
        What became of each row: by source and line.
    """
    if not ids:
        return {}
    wanted = pl.DataFrame({"player_id": ids}, schema={"player_id": pl.Int64})
    values = {"incoming": incoming}
    told = frames.fetch(con, ("commit/people", "told"), values, wanted=wanted)
    base = _untold(con, wanted)
    fixed = frames.fetch(con, ("commit/people", "corrected"), wanted=wanted)
    fields: dict[int, dict[str, Any]] = defaultdict(dict, base)
    rosters: dict[tuple[int, int, int], tuple[str | None, int]] = {}
    outcomes: dict[tuple[int, int], str] = {}
    for source, player, line, text in told.iter_rows():
        given = json.loads(text)
        outcomes[source, line] = _lay(given, player, source, fields[player], rosters)
    for player, field, value in fixed.iter_rows():
        if field in FIELDS:
            fields[player][field] = float(value) if value and field in _NUMBERS else value
    _write(con, {p: fields[p] for p in ids}, rosters, wanted)
    return outcomes


def _untold(con: DuckDBPyConnection, wanted: pl.DataFrame) -> dict[int, dict[str, Any]]:
    """Fields that no file ever told: as somebody typed them, or as they came in a merge."""
    touched: dict[int, set[str]] = defaultdict(set)
    first: dict[tuple[int, str], str | None] = {}
    lines = frames.fetch(con, ("commit/people", "ever"), wanted=wanted)
    for player, action, field, old, new in lines.iter_rows():
        if action == "told":
            touched[player] |= set(json.loads(new))
        elif field in FIELDS:
            touched[player].add(field)
            first.setdefault((player, field), old)
    base: dict[int, dict[str, Any]] = {}
    now = frames.fetch(con, ("commit/people", "fields"), wanted=wanted)
    for row in now.iter_rows(named=True):
        player = row["id"]
        base[player] = {
            n: row[n] for n in FIELDS if row[n] is not None and n not in touched[player]
        }
        told = {
            n
            for p, action, _, _, new in lines.iter_rows()
            if p == player and action == "told"
            for n in json.loads(new)
        }
        for (p, field), old in first.items():
            if p == player and old is not None and field not in told:
                base[player][field] = float(old) if field in _NUMBERS else old
    return base


def _lay(
    given: dict[str, Any],
    player: int,
    source: int,
    have: dict[str, Any],
    rosters: dict[tuple[int, int, int], tuple[str | None, int]],
) -> str:
    """Lay one row over what is there."""
    roster = given.pop("roster", None)
    place = (player, roster[0], roster[1]) if roster else None
    number = roster[2] if roster else None
    against = any(have.get(n) is not None and have[n] != v for n, v in given.items())
    if place in rosters and number and rosters[place][0] and rosters[place][0] != number:
        against = True
    if against:
        return "contradicting"
    new = {n: v for n, v in given.items() if have.get(n) is None}
    have.update(new)
    gives = bool(new)
    if place is not None and (place not in rosters or (number and not rosters[place][0])):
        rosters[place] = (number, rosters[place][1] if place in rosters else source)
        gives = True
    return "stored" if gives else "already_there"


def _write(
    con: DuckDBPyConnection,
    fields: dict[int, dict[str, Any]],
    rosters: dict[tuple[int, int, int], tuple[str | None, int]],
    wanted: pl.DataFrame,
) -> None:
    if fields:
        shape = {"id": pl.Int32, "position": pl.String, "height_cm": pl.Float64}
        shape |= {"mass_kg": pl.Float64, "birth_year": pl.Int32, "hand": pl.String}
        rows = [
            (p, *(int(v[n]) if n == "birth_year" and v.get(n) else v.get(n) for n in FIELDS))
            for p, v in fields.items()
        ]
        frame = pl.DataFrame(rows, schema=shape, orient="row")
        frames.run(con, ("commit/people", "set_fields"), incoming=frame)
    frames.run(con, ("commit/people", "clear_rosters"), wanted=wanted)
    if rosters:
        shape = {"player_id": pl.Int32, "team_id": pl.Int32, "season_id": pl.Int32}
        more = {"number": pl.String, "source_id": pl.Int32}
        entries = [(*place, number, source) for place, (number, source) in rosters.items()]
        frame = pl.DataFrame(entries, schema=shape | more, orient="row")
        frames.run(con, ("commit/people", "add_rosters"), incoming=frame)


def commit_shortlist(
    con: DuckDBPyConnection, frame: pl.DataFrame, source_id: int, now: datetime
) -> Taken:
    """Bring in shortlists; a list that there is none of is made."""
    found = Found()
    frame, refused = _who(con, frame, source_id, found, may_add=False)
    lists: dict[str, int] = {}
    for name in frame["list"].unique(maintain_order=True).to_list():
        lists[name] = _list(con, name, now)
    lines = []
    for row in frame.iter_rows(named=True):
        entry = {"shortlist_id": lists[row["list"]], "player_id": row["player_id"]}
        note = row.get("note")
        there = con.execute(sql("commit/people", "entry"), entry).fetchall()
        if not there:
            values = {**entry, "note": note, "source_id": source_id, "at_time": now}
            con.execute(sql("commit/people", "add_entry"), values)
            outcome = "stored"
        elif note and there[0][0] and there[0][0] != note:
            outcome = "contradicting"
        elif note and not there[0][0]:
            con.execute(sql("commit/people", "note_entry"), {**entry, "note": note})
            outcome = "stored"
        else:
            outcome = "already_there"
        lines.append((row["line"], outcome))
    return Taken(
        lines=pl.DataFrame(lines, schema={"line": pl.Int32, "outcome": pl.String}, orient="row"),
        refused=refused,
        new=found.new,
        warnings=tuple(found.warnings),
    )


def _list(con: DuckDBPyConnection, name: str, now: datetime) -> int:
    form = written_form(name)
    for number, called, _, kind in con.execute(sql("names", "lists")).fetchall():
        if written_form(str(called)) == form:
            if kind == "lot":
                raise UseError(
                    f"{called!r} is a lot, drawn once and left as it is: rename the list"
                )
            return int(number)
    made = int(frames.one(con, ("commit/people", "next_shortlist")))
    con.execute(sql("commit/people", "add_shortlist"), {"id": made, "name": name, "at_time": now})
    return made


def _who(
    con: DuckDBPyConnection,
    frame: pl.DataFrame,
    source_id: int,
    found: Found,
    *,
    may_add: bool,
) -> tuple[pl.DataFrame, pl.DataFrame]:
    """The rows with `player_id`, and those whose player cannot be known."""
    everybody = frames.fetch(con, ("commit/people", "everybody"))
    by_form: dict[str, list[tuple[int, str, str, str]]] = defaultdict(list)
    for person, name, form, league, teams in everybody.iter_rows():
        by_form[form].append((person, name, league, teams or ""))
    names = everybody["name"].unique().to_list()
    ids: dict[int, int] = {}
    refused, unknown = [], []
    for row in frame.iter_rows(named=True):
        chosen = _choices(by_form.get(written_form(row["player"]), []), row)
        people = {c[0] for c in chosen}
        if len(people) == 1:
            ids[row["line"]] = people.pop()
        elif people:
            listed = ", ".join(
                sorted(
                    {
                        f"{c[1]} ({c[2]}{', ' + c[3].replace(chr(31), ', ') if c[3] else ''})"
                        for c in chosen
                    }
                )[:_MOST]
            )
            fix = f"several players have the name, give league and team: {listed}"
            refused.append((row["line"], "player", row["player"], "several_players", fix))
        elif may_add and row.get("league"):
            unknown.append(row["line"])
        else:
            fix = f"the ledger has no such player{did_you_mean(row['player'], names)}"
            if may_add:
                fix += "; give the league to add him"
            refused.append((row["line"], "player", row["player"], "no_such_player", fix))
    ids |= _added(con, frame.filter(pl.col("line").is_in(unknown)), source_id, found)
    kept = frame.filter(pl.col("line").is_in(list(ids)))
    numbers = pl.Series("player_id", [ids[line] for line in kept["line"]], dtype=pl.Int32)
    return kept.with_columns(numbers), pl.DataFrame(refused, schema=REFUSED, orient="row")


def _choices(
    there: list[tuple[int, str, str, str]], row: dict[str, Any]
) -> list[tuple[int, str, str, str]]:
    """Players of the name that league and team of the row leave."""
    if row.get("league"):
        form = written_form(row["league"])
        there = [c for c in there if written_form(c[2]) == form]
    if row.get("team") and len({c[0] for c in there}) > 1:
        team = written_form(row["team"])
        there = [c for c in there if team in {written_form(t) for t in c[3].split("\x1f")}]
    return there


def _added(
    con: DuckDBPyConnection, frame: pl.DataFrame, source_id: int, found: Found
) -> dict[int, int]:
    if frame.is_empty():
        return {}
    frame = identity.leagues(con, frame, source_id, found)
    frame = frame.with_columns(pl.lit(None, pl.Int32).alias("team_id"))
    frame, _ = players(
        con, frame.select("line", "league_id", "player", "team_id"), source_id, found
    )
    return dict(zip(frame["line"], frame["player_id"], strict=True))


def _with_team_and_season(
    con: DuckDBPyConnection, frame: pl.DataFrame, source_id: int, found: Found
) -> pl.DataFrame:
    if not {"team", "season_key"} <= set(frame.columns) or frame.is_empty():
        return frame
    leagues = frames.fetch(
        con, ("commit/people", "leagues_of"), wanted=frame.select("player_id").unique()
    )
    frame = frame.join(leagues.cast(pl.Int32), on="player_id", how="left", maintain_order="left")
    frame = identity.teams(con, frame, {"team": "team_id"}, source_id, found)
    return identity.seasons(con, frame, found)
