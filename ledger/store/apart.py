"""Rows that were refused and mended: which row of which file each one is.

Refused rows come in again in a file of their own, and stay further rows of the file they were
refused from: equal rows of one file are several attempts, so a mended row is never an attempt that
another row of that file is. A row is known by the hash of its file and its line there; the mended
row carries both in `refused_by`, one pair for each file that refused it.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from ledger.store import frames
from ledger.store.match import PAIRS, PLACE, match, match_ids, ranked, rest

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

# Kept beside the mapping of a source; what a column is mapped to is text, this is not.
_KEY = "--refused-by"
_ROW = r"\b[0-9a-f]{64}:\d{1,9}\b"
_ORIGIN: dict[str, pl.DataType] = {"line": pl.Int32(), "sha256": pl.String(), "row": pl.Int32()}
_TOLD: dict[str, pl.DataType] = {"source_id": pl.Int32(), **_ORIGIN, "live": pl.Boolean()}
_RECORD: dict[str, pl.DataType] = {
    "rec": pl.Int64(),
    "sha256": pl.String(),
    "row": pl.Int32(),
}
_ATTEMPT: dict[str, pl.DataType] = {
    "attempt_id": pl.Int64(),
    "sha256": pl.String(),
    "row": pl.Int32(),
}


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of files that mended rows were refused from.

    Attributes:
        records: `rec`, `sha256`, `row`: what each record is a row of; others have no row here.
        attempts: `attempt_id`, `sha256`, `row`: what has seen each attempt.
    """

    records: pl.DataFrame
    attempts: pl.DataFrame


def origins(frame: pl.DataFrame) -> pl.DataFrame:
    """What `refused_by` says in a batch: `line`, `sha256`, `row`."""
    if "refused_by" not in frame.columns:
        return pl.DataFrame(schema=_ORIGIN)
    told = frame.select("line", pl.col("refused_by").str.extract_all(_ROW).alias("told"))
    told = told.filter(pl.col("told").list.len() > 0).explode("told", empty_as_null=True)
    parts = pl.col("told").str.split(":")
    found = told.select("line", parts.list.get(0).alias("sha256"), parts.list.get(1).alias("row"))
    return found.cast(pl.Schema(_ORIGIN)).unique(maintain_order=True)


def mapping_kept(mapping: dict[str, str], frame: pl.DataFrame) -> str:
    """The mapping of a source as it is kept, with the rows its rows were refused as."""
    kept: dict[str, object] = dict(mapping)
    found = origins(frame)
    if len(found):
        kept[_KEY] = {
            sha256: part.select("line", "row").rows()
            for (sha256,), part in found.group_by("sha256", maintain_order=True)
        }
    return json.dumps(kept, ensure_ascii=False)


def rows_of_batch(
    con: DuckDBPyConnection,
    batch: pl.DataFrame,
    sha256: str | None,
    records: pl.DataFrame,
) -> pl.DataFrame:
    """What the records (`rec`, `line`) of a file that comes in are rows of.

    Args:
        con: a connection.
        batch: the file's frame.
        sha256: its hash.
        records: its records.

    Returns:
        `rec`, `sha256`, `row`, and `live`: not only by sources that were taken back.
    """
    shape = pl.Schema(_RECORD | {"live": pl.Boolean()})
    own = origins(batch).with_columns(pl.lit(True).alias("live"))
    told = _told(con).filter(pl.col("sha256") == (sha256 or ""))
    found = [records.select("rec", "line").join(own, on="line").select(list(shape))]
    if len(told):
        live = pl.lit(bool(told["live"].any())).alias("live")
        found.append(
            records.select("rec", pl.lit(sha256).alias("sha256"), pl.col("line").alias("row"), live)
        )
    return pl.concat([f.cast(shape) for f in found])


def rows_met(
    con: DuckDBPyConnection, attempts: pl.DataFrame, records: pl.DataFrame
) -> tuple[Rows | None, Rows | None]:
    """Which rows records and some attempts (`attempt_id`) are, as far as the files are the same.

    Args:
        con: a connection.
        attempts: the attempts.
        records: from `rows_of_batch`.

    Returns:
        By live sources, then by all sources; nothing where that is the same as without.
    """
    if records.is_empty() or attempts.is_empty():
        return None, None
    wanted = attempts.select("attempt_id")
    sighted = frames.fetch(con, ("commit/apart", "sighted"), wanted=wanted)
    told = _told(con).drop("live")
    named = _named(con, sighted, told, records["sha256"].unique())
    named = named.join(records.select("sha256").unique(), on="sha256", how="semi")
    rows = []
    for by, seen in ((records.filter("live"), named.filter("live")), (records, named)):
        told_of = seen.select(list(_ATTEMPT)).cast(pl.Schema(_ATTEMPT))
        rows.append(Rows(by.select(list(_RECORD)), told_of) if len(by) else None)
    return rows[0], rows[1]


def rows_of_sightings(con: DuckDBPyConnection, records: pl.DataFrame) -> pl.DataFrame:
    """What the records (`rec`, `source_id`, `line`) of live sources are rows of."""
    told = _told(con).filter("live").drop("live")
    if told.is_empty():
        return pl.DataFrame(schema=_RECORD)
    lines = records.select("rec", pl.col("source_id").cast(pl.Int32), pl.col("line").cast(pl.Int32))
    return _named(con, lines, told, told["sha256"].unique()).select(list(_RECORD))


def _told(con: DuckDBPyConnection) -> pl.DataFrame:
    """What every source says that its lines were refused as: `_TOLD` columns."""
    found = frames.fetch(con, ("commit/apart", "telling"), {"key": json.dumps(_KEY)})
    told = []
    for source_id, mapping, live in found.iter_rows():
        held = json.loads(mapping).get(_KEY)
        for sha256, pairs in held.items() if isinstance(held, dict) else ():
            told += [(source_id, line, sha256, row, live) for line, row in pairs]
    return pl.DataFrame(told, schema=_TOLD, orient="row")


def _named(
    con: DuckDBPyConnection, lines: pl.DataFrame, told: pl.DataFrame, files: pl.Series
) -> pl.DataFrame:
    """Lines of sources with what they are rows of: their own file, and those they came from."""
    lines = lines.with_columns(pl.col("source_id", "line").cast(pl.Int32))
    wanted = pl.DataFrame({"sha256": files})
    own = frames.fetch(con, ("commit/apart", "files"), wanted=wanted)
    own = own.with_columns(pl.col("source_id").cast(pl.Int32))
    whole = lines.join(own, on="source_id").with_columns(pl.col("line").alias("row"))
    mended = lines.join(told, on=["source_id", "line"]).select(whole.columns)
    return pl.concat([whole, mended])


def match_rows(
    records: pl.DataFrame, state: pl.DataFrame, tags: pl.DataFrame, rows: Rows
) -> pl.DataFrame:
    """`match.match`, but no attempt that one row of a file is goes to another row of that file.

    Args:
        records: as for `match`.
        state: as for `match`.
        tags: as for `match`.
        rows: which rows of which files they are.
    """
    pairs = [match_ids(records, state)]
    records, state = rest(records, state, pairs)
    pairs.append(_same_rows(records, state, rows))
    records, state = rest(records, state, pairs[-1:])
    files = rows.records.group_by("rec").agg(pl.col("sha256").unique().sort().str.join(" "))
    records = records.join(files, on="rec", how="left", maintain_order="left")
    # Those that may be fewest attempts choose first.
    parts = records.partition_by("sha256", maintain_order=True, include_key=True)
    parts.sort(key=lambda part: -len(part["sha256"][0] or ""))
    for part in parts:
        barred = rows.attempts.filter(pl.col("sha256").is_in((part["sha256"][0] or "").split(" ")))
        offered = state.join(barred, on="attempt_id", how="anti")
        pairs.append(match(part.drop("sha256"), offered, tags))
        state = state.join(pairs[-1], on="attempt_id", how="anti")
    return pl.concat([p.select(list(PAIRS)).cast(pl.Schema(PAIRS)) for p in pairs])


def _same_rows(records: pl.DataFrame, state: pl.DataFrame, rows: Rows) -> pl.DataFrame:
    """Records and attempts that are the same row of the same file, mended twice or read anew."""
    new = records.drop("attempt_id", strict=False).join(rows.records, on="rec")
    old = state.join(rows.attempts.unique(), on="attempt_id")
    found: list[pl.DataFrame] = []
    for keys, clash in (([*PLACE, "made"], False), (PLACE, True)):
        if new.is_empty() or old.is_empty():
            break
        pairs = ranked(new, old, [*keys, "sha256", "row"], [])
        pairs = pairs.unique("rec", keep="first", maintain_order=True)
        pairs = pairs.unique("attempt_id", keep="first", maintain_order=True)
        found.append(
            pairs.select(
                *("rec", "attempt_id"), pl.lit("row").alias("how"), pl.lit(clash).alias("clash")
            )
        )
        new, old = rest(new, old, found[-1:])
    return pl.concat(found) if found else pl.DataFrame(schema=PAIRS)
