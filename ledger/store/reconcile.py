"""One game from a box score and from events: the union by player, never both.

Counts that fit into one another are one player's attempts, the larger count with the rest filled
in. Where they cannot both be right (more makes in one, more misses in the other), the side with
more attempts is kept whole and the other contradicts; with as many, the events, which say more of
each attempt. That does not depend on which file came first.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from ledger.store import frames
from ledger.store.match import PLACE

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

BOX = "box"
_GAMES = {"game_id": pl.Int32()}
# How many are named; the number of all is always said.
_MOST = 10


def torn_games(
    con: DuckDBPyConnection, games: pl.DataFrame, torn: pl.DataFrame, *, box: bool
) -> pl.DataFrame:
    """Games (`game_id`) that a box score and events tell differently, to be laid out anew.

    Args:
        con: an open ledger, the records of a source just written.
        games: the games of that source, `game_id`.
        torn: those of them in which a record of it contradicts.
        box: it is a box score; its row of the sources is not there yet.
    """
    nothing = pl.DataFrame(schema=_GAMES)
    if games.is_empty() or not _both(con, box):
        return nothing
    found = frames.fetch(con, ("commit/reconcile", "games"), wanted=games)
    now = pl.col("game_id").is_in(torn["game_id"].implode())
    kinds = pl.col("told") if box else pl.col("boxed")
    return found.filter(kinds & (pl.col("torn") | now)).select("game_id").cast(pl.Schema(_GAMES))


def _both(con: DuckDBPyConnection, box: bool | None) -> bool:
    boxes, others = frames.fetch(con, ("commit/reconcile", "kinds")).row(0)
    if box is None:
        return bool(boxes and others)
    return bool(others if box else boxes)


def yielding(records: pl.DataFrame, seen: pl.DataFrame) -> pl.DataFrame:
    """Records that come after all others, so that the richer side of a torn player is kept.

    Args:
        records: `rec`, `line`, `source_id`, `told` (by `box` or `events`), `made` and what a record
            is placed by.
        seen: what became of them laid in the order of their sources: `rec`, `attempt_id`,
            `outcome`.

    Returns:
        `rec`; whole lines, and all of a player's records of a game together.
    """
    records = records.select("rec", "line", "source_id", "told", "made", *PLACE)
    whole = records.filter(pl.col("made").is_not_null() & pl.col("told").is_not_null())
    told = whole.join(seen.select("rec", "attempt_id", "outcome"), on="rec").with_columns(
        (pl.col("told") == BOX).alias("boxed"), (pl.col("outcome") == "contradicting").alias("torn")
    )
    mixed = told.group_by(PLACE).agg(
        (pl.col("boxed").any() & ~pl.col("boxed").all() & pl.col("torn").any()).alias("both")
    )
    told = told.join(mixed.filter("both"), on=PLACE, how="semi", nulls_equal=True)
    if told.is_empty():
        return pl.DataFrame(schema={"rec": pl.Int64})
    side = [*PLACE, "boxed"]
    agreed = told.filter(~pl.col("torn")).unique([*side, "attempt_id"]).group_by(side).len("n")
    torn = told.group_by(*side, "source_id").agg(pl.col("torn").sum())
    sides = torn.group_by(side).agg(pl.col("torn").max()).join(agreed, on=side, how="left")
    sides = sides.select(*side, (pl.col("n").fill_null(0) + pl.col("torn")).alias("n"))
    boxes = sides.filter("boxed").join(sides.filter(~pl.col("boxed")), on=PLACE, suffix="_events")
    loses = boxes.select(*PLACE, (pl.col("n") <= pl.col("n_events")).alias("boxed"))
    found = whole.with_columns((pl.col("told") == BOX).alias("boxed")).join(
        loses, on=[*PLACE, "boxed"], how="semi"
    )
    return _whole_lines(whole, found.select("rec"))


def _whole_lines(records: pl.DataFrame, chosen: pl.DataFrame) -> pl.DataFrame:
    """The records with all others of their lines, and of their players in the same source."""
    size = -1
    while size != len(chosen):
        size = len(chosen)
        for keys in (["source_id", "line"], ["source_id", *PLACE]):
            own = records.join(chosen, on="rec", how="semi").select(keys).unique()
            chosen = records.join(own, on=keys, how="semi").select("rec")
    return chosen


def live_tags(con: DuckDBPyConnection, games: pl.DataFrame) -> pl.DataFrame:
    """Tags that count in games (`game_id`) with a box score and events: `source_id, line, tagger`.

    Args:
        con: an open ledger.
        games: games that are about to be laid out anew, or were.
    """
    return frames.fetch(con, ("commit/reconcile", "live_tags"), wanted=games)


def put_aside(before: pl.DataFrame, after: pl.DataFrame) -> list[str]:
    """What a reader must know of tags that went with the poorer side of a game.

    Args:
        before: from `live_tags`, before the games were laid out anew.
        after: the same afterwards.
    """
    gone = before.join(after, on=before.columns, how="anti", nulls_equal=True)
    if gone.is_empty():
        return []
    tags = "1 tag is" if len(gone) == 1 else f"{len(gone)} tags are"
    return [
        f"{tags} put aside with attempts of the poorer side, where box score and events differ: "
        "to bring them back take the richer side back (offglass sources lists it)"
    ]


def said(con: DuckDBPyConnection, games: pl.DataFrame, *, box: bool | None) -> list[str]:
    """What a reader must know where box score and events of a game differ.

    Args:
        con: an open ledger.
        games: the games of a file that came in, `game_id`.
        box: it is a box score; `None` where it tells by both.
    """
    if games.is_empty() or not _both(con, box):
        return []
    found = frames.fetch(con, ("commit/reconcile", "games"), wanted=games)
    mixed = found.filter(pl.col("boxed") & pl.col("told")).select("game_id")
    if mixed.is_empty():
        return []
    counts = frames.fetch(con, ("commit/reconcile", "counts"), wanted=mixed)
    return [*_players(counts), *_teams(counts)]


def _players(counts: pl.DataFrame) -> list[str]:
    keys = ["game_id", "game", "person_id", "player", "shot"]
    sums = ["box_made", "box_attempts", "event_made", "event_attempts", "made", "attempts"]
    by_player = counts.group_by(keys, maintain_order=True).agg(pl.col(sums).sum())
    differ = by_player.filter(
        (pl.col("box_made") != pl.col("event_made"))
        | (pl.col("box_attempts") != pl.col("event_attempts"))
    )
    if differ.is_empty():
        return []
    one = len(differ) == 1
    head = (
        f"{len(differ)} {'player has' if one else 'players have'} other counts in the box score "
        "than in the events of the same game; the richer one is kept"
    )
    more = f" (the first {_MOST} are named)" if len(differ) > _MOST else ""
    return [head + more, *(_player(row) for row in differ.head(_MOST).iter_rows(named=True))]


def _player(row: dict[str, object]) -> str:
    what = "" if row["shot"] == "free_throw" else f" ({row['shot']})"
    box, events = (_pair(row, f"{side}_") for side in ("box", "event"))
    kept = _pair(row, "")
    return f"{row['player']} in {row['game']}{what}: box score {box}, events {events}, kept {kept}"


def _pair(row: dict[str, object], mark: str) -> str:
    if not row[f"{mark}attempts"]:
        return "none"
    return f"{row[f'{mark}made']} of {row[f'{mark}attempts']}"


def _teams(counts: pl.DataFrame) -> list[str]:
    keys = ["game_id", "game", "team_id", "team", "shot"]
    sums = ["box_attempts", "event_attempts", "attempts"]
    by_team = counts.group_by(keys, maintain_order=True).agg(pl.col(sums).sum())
    above = by_team.filter(
        (pl.col("attempts") > pl.max_horizontal("box_attempts", "event_attempts"))
        & (pl.col("box_attempts") > 0)
        & (pl.col("event_attempts") > 0)
    )
    if above.is_empty():
        return []
    listed = "; ".join(
        f"{row['team']} in {row['game']} {row['box_attempts']} in the box score, "
        f"{row['event_attempts']} in the events, {row['attempts']} in the ledger"
        for row in above.head(_MOST).iter_rows(named=True)
    )
    more = f"; and {len(above) - _MOST} more" if len(above) > _MOST else ""
    return [
        "team sums disagree, a player may stand under two names and count twice "
        f"(if so, type: offglass same): {listed}{more}"
    ]
