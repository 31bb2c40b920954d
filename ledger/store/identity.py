"""Leagues, seasons and teams: from names as files write them to rows of the ledger.

Each different name is looked up once; what is new is added in bulk. Equal is what is equal without
case and runs of blanks (`names.written_form`); accents tell names apart.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import polars as pl

from ledger.store import frames
from ledger.store.names import written_form

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection


@dataclass(slots=True)
class Found:
    """What a batch added while its names were looked up, for its report.

    Attributes:
        new: how many leagues, seasons, teams, players and games were added.
        warnings: doubtful names and contradicting facts of games.
    """

    new: dict[str, int] = field(default_factory=dict)
    warnings: list[str] = field(default_factory=list)

    def count(self, what: str, number: int) -> None:
        """Count rows that were added."""
        if number:
            self.new[what] = self.new.get(what, 0) + number


def leagues(
    con: DuckDBPyConnection, frame: pl.DataFrame, source_id: int, found: Found
) -> pl.DataFrame:
    """The frame with `league_id` beside `league`; null where there is no league."""
    names = frame["league"].unique(maintain_order=True).drop_nulls().to_list()
    known = frames.fetch(con, ("commit/identity", "leagues"))
    by_form = dict(zip(known["normal_form"], known["id"], strict=True))
    spellings = set(known["as_written"])
    number = int(frames.one(con, ("commit/identity", "next_league")))
    ids: dict[str, int] = {}
    fresh: list[tuple[int, str, str]] = []
    aliases: list[tuple[int, str, str]] = []
    for name in names:
        form = written_form(name)
        if form not in by_form:
            by_form[form] = number
            fresh.append((number, name, form))
            number += 1
        ids[name] = by_form[form]
        if name not in spellings:
            aliases.append((by_form[form], name, form))
    _add(con, "add_league", fresh, {"id": pl.Int32, "name": pl.String, "normal_form": pl.String})
    _alias(con, "league", aliases, source_id)
    found.count("leagues", len(fresh))
    return frame.with_columns(_mapped("league", ids).alias("league_id"))


def seasons(con: DuckDBPyConnection, frame: pl.DataFrame, found: Found) -> pl.DataFrame:
    """The frame with `season_id` beside `season`, `season_key` and `start_year`."""
    known = frames.fetch(con, ("commit/identity", "seasons"))
    ids = dict(zip(known["normal_form"], known["id"], strict=True))
    number = int(frames.one(con, ("commit/identity", "next_season")))
    fresh = []
    different = frame.select("season_key", "season", "start_year").unique(
        "season_key", keep="first", maintain_order=True
    )
    for key, _, year in different.drop_nulls("season_key").iter_rows():
        if key not in ids:
            ids[key] = number
            fresh.append((number, key, key, year))
            number += 1
    shape = {"id": pl.Int32, "label": pl.String, "normal_form": pl.String, "start_year": pl.Int32}
    _add(con, "add_season", fresh, shape)
    found.count("seasons", len(fresh))
    return frame.with_columns(_mapped("season_key", ids).alias("season_id"))


def teams(
    con: DuckDBPyConnection,
    frame: pl.DataFrame,
    columns: dict[str, str],
    source_id: int,
    found: Found,
) -> pl.DataFrame:
    """The frame with an id beside each column of team names: of the team that is written so.

    Args:
        con: a connection inside `LedgerFile.changing`.
        frame: with `league_id`.
        columns: column of names to the column its ids get.
        source_id: the source that brings them.
        found: counts what is added.
    """
    columns = {name: made for name, made in columns.items() if name in frame.columns}
    parts = [
        frame.select("league_id", pl.col(name).alias("name")).unique(maintain_order=True)
        for name in columns
    ]
    known = frames.fetch(con, ("commit/identity", "teams"))
    by_form: dict[tuple[int, str], int] = {}
    for league, own, form, _ in known.iter_rows():
        by_form.setdefault((league, form), own)
    spellings = {(r[0], r[3]) for r in known.iter_rows()}
    number = int(frames.one(con, ("commit/identity", "next_team")))
    fresh: list[tuple[int, int, str, str]] = []
    aliases: list[tuple[int, int, str, str]] = []
    rows: list[tuple[int, str, int]] = []
    for league, name in pl.concat(parts).unique(maintain_order=True).drop_nulls().iter_rows():
        form = written_form(name)
        if (league, form) not in by_form:
            by_form[league, form] = number
            fresh.append((number, league, name, form))
            number += 1
        rows.append((league, name, by_form[league, form]))
        if (league, name) not in spellings:
            aliases.append((by_form[league, form], league, name, form))
    shape = {"id": pl.Int32, "league_id": pl.Int32, "name": pl.String, "normal_form": pl.String}
    _add(con, "add_team", fresh, shape)
    _alias(con, "team", aliases, source_id)
    found.count("teams", len(fresh))
    kinds = {"league_id": pl.Int32, "name": pl.String, "id": pl.Int32}
    table = pl.DataFrame(rows, schema=kinds, orient="row")
    for name, made in columns.items():
        frame = spread(frame, ["league_id", name], table.rename({"name": name, "id": made}))
    return frame


def spread(frame: pl.DataFrame, keys: list[str], table: pl.DataFrame) -> pl.DataFrame:
    """The frame with the further columns of a small table, by its keys; rows keep their order."""
    constant = [key for key in keys if key != keys[-1] and frame[key].n_unique() == 1]
    if constant and len(frame):
        for key in constant:
            table = table.filter(pl.col(key) == frame[key][0])
        table, keys = table.drop(constant), [k for k in keys if k not in constant]
    return frame.join(table, on=keys, how="left", maintain_order="left")


def _mapped(column: str, ids: dict[str, int]) -> pl.Expr:
    if len(ids) == 1:
        return pl.when(pl.col(column).is_not_null()).then(
            pl.lit(next(iter(ids.values())), pl.Int32)
        )
    return pl.col(column).replace_strict(
        pl.Series(list(ids), dtype=pl.String),
        pl.Series(list(ids.values()), dtype=pl.Int32),
        default=None,
        return_dtype=pl.Int32,
    )


def _add(
    con: DuckDBPyConnection,
    statement: str,
    rows: list[tuple[object, ...]] | list[tuple[int, str, str]] | list[tuple[int, int, str, str]],
    shape: dict[str, type[pl.DataType]],
) -> None:
    if rows:
        frame = pl.DataFrame(rows, schema=shape, orient="row")
        frames.run(con, ("commit/identity", statement), incoming=frame)


def _alias(
    con: DuckDBPyConnection,
    what: str,
    rows: list[tuple[int, str, str]] | list[tuple[int, int, str, str]],
    source_id: int,
) -> None:
    if not rows:
        return
    names = [
        f"{what}_id",
        *(["league_id"] if what != "league" else []),
        "as_written",
        "normal_form",
    ]
    kinds = {n: pl.Int32 if n.endswith("_id") else pl.String for n in names}
    frames.run(
        con,
        ("commit/identity", f"add_{what}_alias"),
        {"source_id": source_id},
        incoming=pl.DataFrame(rows, schema=kinds, orient="row"),
    )
