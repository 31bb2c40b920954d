"""Players of the other ledger: who each is here, who is one person, what is known of him."""

from __future__ import annotations

import json
from collections import defaultdict
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.store import frames, identity
from ledger.store.batch import Taken
from ledger.store.identity import Found
from ledger.store.merge.bounds import within
from ledger.store.merge.brought import Brought
from ledger.store.merge.spelling import Spelling, Tables
from ledger.store.names import written_form
from ledger.store.people import FIELDS, tell
from ledger.store.persons import carry_out, players
from ledger.store.totals import commit_totals

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand


def bring_totals(
    con: DuckDBPyConnection,
    hand: Hand,
    other: Tables,
    spelling: Spelling,
    source_id: int,
    first_line: int,
    brought: Brought,
) -> dict[int, int]:
    """Season totals that count there; whose each was, number there to id here."""
    rows = other["season_total"].filter(~pl.col("removed")).sort("id")
    frame = (
        rows.select(
            pl.int_range(first_line, first_line + pl.len(), dtype=pl.Int32).alias("line"),
            pl.col("player_id").alias("their_player"),
            *("league_id", "season_id", "team_id", "shot", "made", "attempts"),
        )
        .with_columns(
            _called("league_id", spelling.leagues).alias("league"),
            _called("team_id", spelling.teams).alias("team"),
            _called("their_player", spelling.players).alias("player"),
        )
        .join(_seasons(other), on="season_id", maintain_order="left")
        .drop("league_id", "season_id", "team_id")
    )
    frame, bad = within(frame, ("totals",))
    over = frame.filter(pl.col("made") > pl.col("attempts"))
    frame = frame.join(over.select("line"), on="line", how="anti", maintain_order="left")
    if len(bad) + len(over):
        brought.leave(f"{len(bad) + len(over)} season totals that no file could have brought")
    if frame.is_empty():
        return {}
    taken = commit_totals(con, hand, frame.drop("their_player"), source_id)
    _tell_of_totals(frame, taken, brought)
    whose = frames.fetch(con, ("merge/registers", "totals_of"), {"source_id": source_id})
    pairs = frame.select("line", "their_player").join(whose, on="line")
    return dict(pairs.select("their_player", "player_id").iter_rows())


def _tell_of_totals(frame: pl.DataFrame, taken: Taken, brought: Brought) -> None:
    brought.count("season totals", len(taken.lines.filter(pl.col("outcome") == "stored")))
    against = taken.lines.filter(pl.col("outcome") == "contradicting")
    lost = pl.concat([against.select("line"), taken.refused.select("line")])
    for row in frame.join(lost, on="line", how="semi").iter_rows(named=True):
        brought.leave(
            f"season total {row['player']}, {row['season']}: {row['made']} of {row['attempts']} "
            f"{row['shot']} there, otherwise here"
        )


class Everybody:
    """Who each player of the other ledger is here.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who merges, and when.
        other: the other ledger's tables.
        spelling: what its things are called here.
        source_id: the merge.
    """

    def __init__(
        self,
        con: DuckDBPyConnection,
        hand: Hand,
        other: Tables,
        spelling: Spelling,
        source_id: int,
    ) -> None:
        self._con, self._hand = con, hand
        self._other, self._spelling, self._source_id = other, spelling, source_id
        self.here: dict[int, int] = {}
        self.found = Found()

    def know(self, people: dict[int, int]) -> None:
        """Enter players that were met among records."""
        for number, player in people.items():
            self.here.setdefault(number, player)

    def meet(self, brought: Brought) -> None:
        """Find or add those of whom there is no record: by league, name and team of a roster."""
        missing = self._other["player"].filter(~pl.col("id").is_in(list(self.here)))
        if missing.is_empty():
            return
        rosters = self._other["roster"].select(
            pl.col("player_id").alias("id"), _called("team_id", self._spelling.teams).alias("team")
        )
        frame = missing.select("id", "league_id").join(
            rosters.unique("id", keep="first", maintain_order=True),
            on="id", how="left", maintain_order="left",
        )  # fmt: skip
        frame = frame.select(
            pl.int_range(1, pl.len() + 1, dtype=pl.Int32).alias("line"),
            pl.col("id").alias("their_player"),
            _called("league_id", self._spelling.leagues).alias("league"),
            _called("id", self._spelling.players).alias("player"),
            "team",
        )
        frame, bad = within(frame, ("players",))
        if len(bad):
            who = "1 player" if len(bad) == 1 else f"{len(bad)} players"
            brought.leave(f"{who}: a name that no file could have brought")
        frame = identity.leagues(self._con, frame, self._source_id, self.found)
        frame = identity.teams(self._con, frame, {"team": "team_id"}, self._source_id, self.found)
        sure = self._sure(frame)
        for name in frame.join(sure, on="line", how="anti", maintain_order="left")["player"]:
            brought.leave(f"player {name}: several players have the name, and no team tells which")
        frame = sure
        if frame.is_empty():
            return
        frame, splits = players(self._con, frame, self._source_id, self.found)
        carry_out(self._con, self._hand, splits, self._source_id)
        self.know(dict(frame.select("their_player", "player_id").iter_rows()))

    def _sure(self, frame: pl.DataFrame) -> pl.DataFrame:
        """Those whose name is one player here, or whose team tells which."""
        known = frames.fetch(
            self._con, ("commit/identity", "players"), wanted=frame.select("league_id").unique()
        )
        people: dict[tuple[int, str], set[int]] = defaultdict(set)
        for league, person, form in known.select(
            "league_id", "person_id", "normal_form"
        ).iter_rows():
            people[league, form].add(person)
        sure = [
            len(people[league, written_form(name)]) < 2 or team is not None
            for league, name, team in frame.select("league_id", "player", "team_id").iter_rows()
        ]
        return frame.filter(pl.Series(sure, dtype=pl.Boolean))

    def name(self, number: int | None) -> str:
        """What a player of the other ledger is called here."""
        return self._spelling.players.get(number or 0, "somebody")


def bring_facts(
    con: DuckDBPyConnection,
    hand: Hand,
    other: Tables,
    spelling: Spelling,
    everybody: Everybody,
    source_id: int,
    first_line: int,
    brought: Brought,
) -> None:
    """What is known of players: position, height and so on, and their teams and numbers."""
    told: list[tuple[int, int, str]] = []
    says: list[str] = []
    facts = other["player"].select(pl.col("id").alias("line"), pl.col("id"), *FIELDS)
    good, bad = within(facts.with_columns(pl.col("line").cast(pl.Int32)), ("players",))
    if len(bad):
        brought.leave(
            f"what is known of {len(bad)} players: values that no file could have brought"
        )
    for row in good.iter_rows(named=True):
        for name in FIELDS:
            if row[name] is not None and row["id"] in everybody.here:
                told.append(
                    _fact(first_line + len(told), everybody.here[row["id"]], {name: row[name]})
                )
                says.append(f"{name} of {everybody.name(row['id'])}: {row[name]}")
    for row, place in _rosters(con, other, spelling, source_id, everybody, brought):
        if row["player_id"] in everybody.here:
            told.append(
                _fact(first_line + len(told), everybody.here[row["player_id"]], {"roster": place})
            )
            says.append(f"number or team of {everybody.name(row['player_id'])}: {row['number']}")
    outcomes = tell(con, hand, told, source_id, hand.clock())
    for (line, _, _), said in zip(told, says, strict=True):
        outcome = outcomes.get((source_id, line))
        if outcome == "stored":
            brought.count("facts of players")
        elif outcome == "contradicting":
            brought.leave(f"{said} there, otherwise here")


def _fact(line: int, player: int, what: dict[str, Any]) -> tuple[int, int, str]:
    return line, player, json.dumps(what, ensure_ascii=False)


def _rosters(
    con: DuckDBPyConnection,
    other: Tables,
    spelling: Spelling,
    source_id: int,
    everybody: Everybody,
    brought: Brought,
) -> list[tuple[dict[str, Any], list[Any]]]:
    leagues = other["player"].select(pl.col("id").alias("player_id"), "league_id")
    frame = (
        other["roster"]
        .join(leagues, on="player_id", maintain_order="left")
        .join(_seasons(other), on="season_id", maintain_order="left")
        .select(
            pl.int_range(1, pl.len() + 1, dtype=pl.Int32).alias("line"),
            *("player_id", "number", "season", "season_key", "start_year"),
            _called("league_id", spelling.leagues).alias("league"),
            _called("team_id", spelling.teams).alias("team"),
        )
    )
    frame, bad = within(frame, ("players",))
    if len(bad):
        brought.leave(f"players' teams and numbers: {len(bad)} that no file could have brought")
    if frame.is_empty():
        return []
    frame = identity.leagues(con, frame, source_id, everybody.found)
    frame = identity.teams(con, frame, {"team": "team_id"}, source_id, everybody.found)
    frame = identity.seasons(con, frame, everybody.found)
    return [
        (row, [row["team_id"], row["season_id"], row["number"]])
        for row in frame.iter_rows(named=True)
    ]


def _seasons(other: Tables) -> pl.DataFrame:
    return other["season"].select(
        pl.col("id").alias("season_id"),
        pl.col("label").alias("season"),
        pl.col("normal_form").alias("season_key"),
        "start_year",
    )


def _called(column: str, names: dict[int, str]) -> pl.Expr:
    return pl.col(column).replace_strict(
        pl.Series(list(names), dtype=pl.Int32),
        pl.Series(list(names.values()), dtype=pl.String),
        default=None,
        return_dtype=pl.String,
    )
