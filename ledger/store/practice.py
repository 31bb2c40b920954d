"""The gate for records of practice: they come in only with a consent for their day."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import polars as pl

from ledger.store import frames
from ledger.store.batch import REFUSED
from ledger.store.names import written_form
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_FALLS = (
    "{game} of {date} is in the ledger as a game: give the practice a label of its own, or say "
    "with offglass correct game that it was practice"
)


def practice_allowed(
    con: DuckDBPyConnection, frame: pl.DataFrame
) -> tuple[pl.DataFrame, pl.DataFrame]:
    """Rows that may come in, and those of practice that nobody agreed to.

    Args:
        con: a connection inside `LedgerFile.changing`.
        frame: rows of attempts or of box scores, before any name of theirs is added.

    Returns:
        The rows without those refused, and the refused ones with `REFUSED` columns.
    """
    asked = _asked(con, frame)
    if asked.is_empty():
        return frame, pl.DataFrame(schema=REFUSED)
    without = frames.fetch(con, ("consents", "without"), asked=asked)
    games = frames.fetch(con, ("consents", "into_games"), asked=asked)
    refused = pl.concat(
        [
            _refused(without, "no_consent", [_fix(**r) for r in without.drop("line").to_dicts()]),
            _refused(games, "not_practice", [_FALLS.format(**r) for r in games.to_dicts()]),
        ]
    ).unique("line", keep="first", maintain_order=True)
    kept = frame.join(refused.select("line"), on="line", how="anti", maintain_order="left")
    return kept, refused


def _refused(rows: pl.DataFrame, reason: str, fixes: list[str]) -> pl.DataFrame:
    return rows.select(
        pl.col("line"),
        pl.lit("player").alias("column"),
        pl.col("player").alias("value"),
        pl.lit(reason).alias("reason"),
        pl.Series("fix", fixes, dtype=pl.String),
    ).cast(pl.Schema(REFUSED))


def _asked(con: DuckDBPyConnection, frame: pl.DataFrame) -> pl.DataFrame:
    """The rows that are practice by their own word, or fall on a day of practice there was."""
    days = [day for (day,) in con.execute(sql("consents", "practice_days")).fetchall()]
    told = (
        (pl.col("stage") == "practice").fill_null(False)
        if "stage" in frame.columns
        else pl.lit(False)
    )
    label = pl.col("game") if "game" in frame.columns else pl.lit(None, pl.String)
    rows = frame.select(
        "line",
        "player",
        pl.col("date").cast(pl.Date),
        "season_key",
        "league",
        label.alias("game"),
        told.alias("is_practice"),
    ).filter(pl.col("is_practice") | pl.col("date").is_in(days))
    return rows.with_columns(
        *(_forms(rows[name]).alias(f"{name}_form") for name in ("league", "player"))
    )


def _forms(names: pl.Series) -> pl.Series:
    forms = {name: written_form(name) for name in names.unique().drop_nulls().to_list()}
    return pl.Series([forms.get(name) for name in names.to_list()], dtype=pl.String)


def _fix(player: str, date: date, known: bool, ran_out: date | None, begins: date | None) -> str:
    quoted = "'" + player.replace("'", "'\\''") + "'"
    type_it = f"offglass consent {quoted} --given-by player|guardian --on DATE --for TEXT"
    if not known:
        return (
            f"practice on {date} needs a consent, and the league has no player of that name yet: "
            f"add him (offglass add players --stdin), then {type_it}"
        )
    if ran_out is not None:
        return f"the consent ran out on {ran_out}, practice on {date} needs a new one: {type_it}"
    if begins is not None:
        return (
            f"the consent holds from {begins} only, practice on {date} needs one of its own: "
            f"{type_it}"
        )
    return f"practice on {date} needs a consent: {type_it}, then bring the rows in again"
