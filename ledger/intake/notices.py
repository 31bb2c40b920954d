"""What the reader of an import report should know, though no row is wrong."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

import polars as pl

from ledger.intake import findings, names, seasons, summary_rows
from ledger.intake.mapping import Columns, listed
from ledger.intake.tokens import Table

# Fewer of one result in a row are no wonder; common practice, no source.
SUSPICIOUS_ROWS = 10
# Why rows hold no record by a profile; rows like a totals row need no word.
_LEFT_OUT = {
    "not_kept": "not kept by the profile",
    "dropped": "dropped by the profile",
    "no_match": "matched by no pattern of the profile",
    "not_in_table": "a blank pair",
}
_SPANS = {"season_key": pl.String, "start_year": pl.Int32, "first": pl.Date, "last": pl.Date}
_MOST = 5
_MOST_WORDS = 20
_NAME_FIELDS = ("league", "player", "team", "opponent", "home", "away")


def about_table(table: Table, columns: Columns) -> list[str]:
    """Lines above the header and columns that fill no field."""
    found: list[str] = []
    if table.above:
        holds = "holds" if len(table.above) == 1 else "hold"
        named = findings.lines_named(table.above)
        found.append(f"{named} above the header {holds} no row; left out")
    if columns.ignored:
        found.append(f"columns that fill no field, left out: {listed(columns.ignored)}")
    return found


def about_skipped(skipped: pl.DataFrame) -> list[str]:
    """Rows that a profile leaves out: how many of each kind, and one of them."""
    if skipped.is_empty() or not skipped["reason"].is_in(list(_LEFT_OUT)[:3]).any():
        return []
    return [f"left out: {told}" for told in skipped_words(skipped)]


def skipped_words(skipped: pl.DataFrame) -> list[str]:
    """How many rows were skipped for each reason, the commonest first, with one of them."""
    counted = skipped.group_by("reason", maintain_order=True).agg(
        pl.len(), pl.col("line").first(), pl.col("text").first()
    )
    counted = counted.sort("len", descending=True, maintain_order=True)
    return [
        f"{many:,} {'row' if many == 1 else 'rows'} {_LEFT_OUT.get(reason, reason)} ({reason}),"
        f" such as line {line}: {findings.show(text)}"
        for reason, many, line, text in counted.iter_rows()
    ]


def about_records(frame: pl.DataFrame, unknown_techniques: Mapping[str, int]) -> list[str]:
    """Suspicious results, words, seasons and names among the records."""
    found = _techniques(unknown_techniques)
    found += _one_result(frame)
    found += _two_kinds_of_season(frame)
    found += _far_dates(frame)
    found += _names(frame)
    return found


def _rows(number: int) -> str:
    return f"{number} row{'' if number == 1 else 's'}"


def _techniques(unknown: Mapping[str, int]) -> list[str]:
    """One line a word, the commonest first."""
    ranked = sorted(unknown.items(), key=lambda item: (-item[1], item[0]))
    found = [
        f"technique {findings.show(word)!r} is unknown in {_rows(rows)}; the technique stays open;"
        f" type --word technique:{findings.show(word)}=NAME to settle it"
        for word, rows in ranked[:_MOST_WORDS]
    ]
    if len(ranked) > _MOST_WORDS:
        rest = sum(rows for _, rows in ranked[_MOST_WORDS:])
        more = len(ranked) - _MOST_WORDS
        words = "1 more technique word" if more == 1 else f"{more} more technique words"
        rows = "1 row" if rest == 1 else f"{rest} rows"
        found.append(f"{words} in {rows} {'is' if more == 1 else 'are'} unknown")
    return found


def _one_result(frame: pl.DataFrame) -> list[str]:
    if "made" not in frame.columns or frame.is_empty():
        return []
    if "attempts" in frame.columns:
        made, attempts = int(frame["made"].sum()), int(frame["attempts"].sum())
    else:
        made, attempts = int(frame["made"].sum()), frame["made"].count()
    if attempts < SUSPICIOUS_ROWS or 0 < made < attempts:
        return []
    word = "made" if made else "missed"
    return [f"all {attempts} attempts were {word}: check that the file holds makes and misses"]


def _two_kinds_of_season(frame: pl.DataFrame) -> list[str]:
    if "season_key" not in frame.columns:
        return []
    leagues = pl.col("league") if "league" in frame.columns else pl.lit("")
    seen = frame.select(leagues.alias("league"), "season_key", "start_year").unique()
    seen = seen.drop_nulls("season_key")
    found = []
    for league, group in sorted(seen.group_by("league"), key=lambda item: str(item[0])):
        keys = set(group["season_key"].to_list())
        single = sorted(key for key in keys if key.isdecimal())
        spanning = sorted(key for key in keys if "-" in key)
        near = [
            (key, other) for key in single for other in spanning if key in (other[:4], _end(other))
        ]
        if near:
            where = findings.show(str(league[0])) or "the file"
            pairs = "; ".join(f"{key} and {other}" for key, other in near[:_MOST])
            found.append(
                f"{where}: kept as different seasons though they may be one: {pairs}; if they are,"
                " write one of them throughout"
            )
    return found


def _far_dates(frame: pl.DataFrame) -> list[str]:
    """Days long before or after the season they are written in."""
    if not {"season_key", "start_year", "date"} <= set(frame.columns):
        return []
    # First and last day of each season are found much faster than every day there is.
    ends = frame.group_by("season_key", "start_year").agg(
        pl.col("date").min().alias("earliest"), pl.col("date").max().alias("latest")
    )
    outside = [
        (key, year, *span)
        for key, year, earliest, latest in ends.drop_nulls().iter_rows()
        if (span := seasons.days_of(key, year)) and not span[0] <= earliest <= latest <= span[1]
    ]
    if not outside:
        return []
    spans = pl.DataFrame(outside, schema=_SPANS, orient="row")
    day = pl.col("date")
    rows = frame.join(spans, on=["season_key", "start_year"])
    rows = rows.filter((day < pl.col("first")) | (day > pl.col("last"))).sort("line")
    shown = rows.unique(["season", "date"], keep="first", maintain_order=True)
    named = [
        f"{day} in season {findings.show(season)} (line {line})"
        for season, day, line in shown.select("season", "date", "line").head(_MOST).iter_rows()
    ]
    more = f" and {len(shown) - _MOST} more dates" if len(shown) > _MOST else ""
    have = "has a date" if len(rows) == 1 else "have dates"
    return [
        f"{_rows(len(rows))} {have} more than {seasons.FAR_DAYS} days outside the season:"
        f" {', '.join(named)}{more}; kept as written: check the date and the season"
    ]


def _end(season: str) -> str:
    return str(int(season[:4]) + 1) if season[:4].isdecimal() else ""


def _names(frame: pl.DataFrame) -> list[str]:
    found: list[str] = []
    for field in _NAME_FIELDS:
        if field not in frame.columns:
            continue
        column = frame[field]
        kept = sorted(column.drop_nulls().unique().to_list())
        for name, twin in names.lookalikes(kept)[:_MOST]:
            like = f"looks like {findings.show(twin)!r} but holds" if twin else "mixes in"
            found.append(
                f"{field} {findings.show(name)!r} {like} letters of another script; kept as written"
            )
        lost = [name for name in kept if "\ufffd" in name]
        if lost:
            rows = column.is_in(lost)
            found.append(
                f"{field}: {rows.sum()} rows ({findings.lines_named(frame['line'].filter(rows))})"
                " hold the sign for a lost letter; the letters were lost before the file came here"
            )
        doubtful = {name: before for name in kept if (before := names.misread(name))}
        if doubtful:
            rows = column.is_in(list(doubtful))
            first, before = next(iter(doubtful.items()))
            found.append(
                f"{field}: {rows.sum()} rows ({findings.lines_named(frame['line'].filter(rows))})"
                f" look as if read once in a wrong encoding ({findings.show(first)!r} may be"
                f" {findings.show(before)!r}); kept as written"
            )
    if "player" in frame.columns:
        found += _totals(frame)
    return found


def _totals(frame: pl.DataFrame) -> list[str]:
    counts: Counter[str] = Counter()
    for name in frame["player"].drop_nulls().unique().to_list():
        if summary_rows.is_total_word(name):
            counts[name] += frame.filter(pl.col("player") == name).height
    return [
        f"a player is called {findings.show(name)!r} in {rows} rows; if these are totals rows,"
        " remove them and import again"
        for name, rows in sorted(counts.items())
    ]
