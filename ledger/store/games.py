"""Games: found by league, season, day and label, added where new, blank facts filled."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.store import frames, journal
from ledger.store.identity import Found, spread
from ledger.store.joined import ones

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

_KEY = ["league_id", "season_id", "date", "game"]
_FACTS = {"home_team_id": pl.Int32(), "away_team_id": pl.Int32(), "stage": pl.String()}
# What a game is held to be where no file says it; a file that says another stage fills it.
_STAGE = "regular"
_MOST = 5


def games(
    con: DuckDBPyConnection, hand: Hand, frame: pl.DataFrame, source_id: int, found: Found
) -> pl.DataFrame:
    """The frame with `game_id`, by `league_id, season_id, date, game`.

    A game without a label is known by its two teams. Home, away and stage are taken from the first
    row that gives them; where the ledger has another one, that stays and a warning says so.
    """
    facts = [n for n in _FACTS if n in frame.columns]
    keys = [*_KEY, *(n for n in facts if n != "stage" and frame["game"].null_count())]
    labels = frame.select(*keys, *[n for n in facts if n not in keys])
    if len(labels.columns) == len(keys):
        wanted = labels.unique(maintain_order=True)
    else:
        wanted = labels.group_by(keys, maintain_order=True).agg(
            *[pl.col(n).drop_nulls().first() for n in facts if n not in keys],
            *[pl.col(n).drop_nulls().n_unique().alias(f"{n}_told") for n in facts if n not in keys],
        )
        _warn_of_two(wanted, [n for n in facts if n not in keys], found)
    wanted = wanted.with_columns(
        [pl.lit(None, kind).alias(n) for n, kind in _FACTS.items() if n not in wanted.columns]
    )
    leagues = wanted.select("league_id").unique()
    there = frames.fetch(con, ("commit/identity", "games"), wanted=leagues).rename(
        {"label": "game"}
    )
    on = [*_KEY, *(k for k in keys if k not in _KEY)]
    there = pl.concat([there, _former(con, there)]).unique(on, keep="first", maintain_order=True)
    old = there.rename({n: f"{n}_old" for n in _FACTS if n not in on})
    wanted = wanted.join(old, on=on, how="left", nulls_equal=True, maintain_order="left")
    wanted = _added(con, wanted, source_id, found)
    _fill(con, hand, wanted, [n for n in _FACTS if n not in on], source_id, found)
    table = wanted.select(*on, pl.col("id").alias("game_id"))
    if len(on) > len(_KEY):
        return frame.join(table, on=on, how="left", nulls_equal=True, maintain_order="left")
    return spread(frame, on, table)


def _added(
    con: DuckDBPyConnection, wanted: pl.DataFrame, source_id: int, found: Found
) -> pl.DataFrame:
    number = int(frames.one(con, ("commit/identity", "next_game")))
    new = pl.col("id").is_null()
    wanted = wanted.with_columns(
        new.alias("is_new"),
        pl.when(new).then(number - 1 + new.cum_sum()).otherwise("id").cast(pl.Int32).alias("id"),
    )
    added = wanted.filter("is_new")
    if len(added):
        rows = added.select(
            *("id", "league_id", "season_id", "date", "home_team_id", "away_team_id"),
            pl.col("stage").fill_null(_STAGE),
            pl.col("game").alias("label"),
        )
        frames.run(con, ("commit/identity", "add_game"), {"source_id": source_id}, incoming=rows)
        found.count("games", len(added))
    return wanted


def _fill(
    con: DuckDBPyConnection,
    hand: Hand,
    wanted: pl.DataFrame,
    facts: list[str],
    source_id: int,
    found: Found,
) -> None:
    """Blank facts of games that were there are filled and journalled, others kept and named."""
    old = wanted.filter(~pl.col("is_new"))
    if old.is_empty() or not facts:
        return
    change, kept, one = {}, [], ones(con)
    for row in old.iter_rows(named=True):
        values = {n: row[f"{n}_old"] if n in facts else row[n] for n in _FACTS}
        for name in facts:
            told, have = row[name], values[name]
            if told is None or told == have or (name != "stage" and one.same_team(told, have)):
                continue
            if have is None or (name == "stage" and have == _STAGE):
                journal.record(
                    con, hand.clock, hand.who, "fill", table="game", row_id=row["id"],
                    field=name, old=have, new=told, source_id=source_id,
                )  # fmt: skip
                values[name] = told
                change[row["id"]] = values
            elif not (name == "stage" and told == _STAGE):
                kept.append(f"{row['game'] or row['date']} ({name.removesuffix('_team_id')})")
    if change:
        write_facts(con, change)
    if kept:
        more = f" and {len(kept) - _MOST} more" if len(kept) > _MOST else ""
        found.warnings.append(
            "facts of games differ from those in the ledger, which are kept: "
            + ", ".join(kept[:_MOST])
            + more
        )


def _former(con: DuckDBPyConnection, there: pl.DataFrame) -> pl.DataFrame:
    """Games under the day and label they had before a correction: older files still say so."""
    former = frames.fetch(con, ("commit/correct", "former_keys"))
    by_game: dict[int, dict[str, Any]] = {}
    for number, name, old in former.iter_rows():
        value = date.fromisoformat(old) if name == "date" else old
        by_game.setdefault(number, {})["game" if name == "label" else name] = value
    rows = [
        row | by_game[row["id"]]
        for row in there.filter(pl.col("id").is_in(list(by_game))).iter_rows(named=True)
    ]
    return pl.DataFrame(rows, schema=there.schema)


def refill(con: DuckDBPyConnection, source_id: int, *, again: bool) -> None:
    """Empty the facts that a source filled and nobody changed since, or fill them again."""
    fills = frames.fetch(con, ("commit/undo", "fills"), {"source_id": source_id})
    if fills.is_empty():
        return
    wanted = fills.select(pl.col("row_id").alias("game_id")).unique()
    now = {
        row["id"]: row
        for row in frames.fetch(con, ("commit/undo", "game_facts"), wanted=wanted).iter_rows(
            named=True
        )
    }
    for number, name, old, new in fills.iter_rows():
        before, after = (new, old) if not again else (old, new)
        row = now[number]
        if str(row[name]) == str(before):
            row[name] = int(after) if after is not None and name != "stage" else after
    write_facts(con, now)


def write_facts(con: DuckDBPyConnection, change: dict[int, dict[str, Any]]) -> None:
    """Set home, away and stage of games."""
    rows = [(number, *(values[n] for n in _FACTS)) for number, values in change.items()]
    frame = pl.DataFrame(rows, schema={"id": pl.Int32, **_FACTS}, orient="row")
    frames.run(con, ("commit/identity", "fill_game"), incoming=frame)


def _warn_of_two(wanted: pl.DataFrame, facts: list[str], found: Found) -> None:
    for name in facts:
        torn = wanted.filter(pl.col(f"{name}_told") > 1)
        if len(torn):
            listed = ", ".join(str(g) for g in torn["game"].head(_MOST))
            games = "1 game has" if len(torn) == 1 else f"{len(torn)} games have"
            found.warnings.append(
                f"{games} more than one {name.removesuffix('_team_id')} in this"
                f" file, the first is kept: {listed}"
            )
