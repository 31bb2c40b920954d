"""The headline and the notes of a ranking."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.questions import level
from ledger.questions.wording import (
    capital,
    count,
    counted,
    in_words,
    listed,
    percent,
    rate_with_interval,
)
from ledger.stats.beta_binomial import MIN_ROWS
from ledger.stats.rank_chance import DRAWS
from ledger.stats.technique_class import MIN_TAGS

if TYPE_CHECKING:
    from ledger.questions.inquiry import Inquiry
    from ledger.questions.ranking import Ranked

# Usual floors; a rule of thumb, common practice, no source.
FLOORS = {"player": 50, "player-season": 50, "team": 1, "league-season": 1}
_NOUNS = {
    "player": "player",
    "player-season": "player-season",
    "team": "team",
    "league-season": "league-season",
}
_STATE_WORDS = {
    "adopter": "an adopter",
    "occasional": "seen doing it now and then",
    "not": "called as not doing it",
    "undecided": "undecided",
    "untagged": "unwatched",
}
Row = dict[str, Any]


def nothing(inquiry: Inquiry, dropped: int) -> str:
    """The headline where no row is left at all."""
    if dropped:
        return (
            "No rate by technique: the watched attempts were picked by their result, so makes and "
            "misses of a technique cannot be compared."
        )
    return inquiry.nothing_here()


def headline(inquiry: Inquiry, ranked: Ranked) -> str:
    """One sentence: who is first, how sure that is, or why there is no order."""
    by, order = inquiry.options["by"], inquiry.options["order"]
    noun = _NOUNS[by]
    if ranked.all_rows == 0:
        return (
            f"No {noun} has {counted(ranked.floor, 'attempt')} here: "
            f"{counted(ranked.left_out, noun)} with fewer; type --min-attempts for a lower floor."
        )
    if ranked.rows.height == 0:
        word = _STATE_WORDS[inquiry.options["state"]]
        neither = "and not" if ranked.all_rows == 1 else "none of them"
        return f"{counted(ranked.all_rows, noun)} ranked, {neither} {word}."
    rows = list(ranked.rows.iter_rows(named=True))
    if order in ("made", "attempts"):
        return _most(inquiry, rows, order)
    if order == "raw" or by == "league-season":
        return _raw(inquiry, rows, ranked)
    if rows[0]["rank"] is None:
        return _no_order(ranked)
    return _first(inquiry, rows, ranked)


def _no_order(ranked: Ranked) -> str:
    few = ranked.no_level or 0
    where = f"{few} rows" if ranked.levels.height == 1 else f"At most {few} rows a league-season"
    if few == 1:
        where = where.replace("rows", "row", 1)
    return f"{where}: raw rates only; import the league's totals for an order."


def _first(inquiry: Inquiry, rows: list[Row], ranked: Ranked) -> str:
    first = rows[0]
    figure = _figure(first, "shrunken_rate", "low", "high")
    if ranked.all_rows == 1:
        made = f"{count(first['made'])} of {count(first['attempts'])} made"
        lead = f"{_name(inquiry, first)}: {figure} after allowing for luck, {made}"
        return f"{lead}; one row has no order."
    ordered = [r for r in rows if r["rank"] is not None]
    together = [r for r in ordered if r["rank"] == first["rank"]]
    by_low = " by its lower limit" if inquiry.options["order"] == "low" else ""
    if first["rank"] > 1 or inquiry.options["state"]:
        # Others stand before it that the state filter does not show.
        place = f"in place {first['rank']} of {count(ranked.all_rows)}"
        return f"{_name(inquiry, first)} stands {place} after allowing for luck{by_low}, {figure}."
    if len(together) > 1:
        names = _names(inquiry, together)
        return f"{names} share the first place after allowing for luck{by_low}, {figure}."
    lead = f"{_name(inquiry, first)} is first after allowing for luck{by_low}, {figure}"
    return f"{lead}, {_overlap(ordered, first)}."


def _overlap(ordered: list[Row], first: Row) -> str:
    """How many rows from the top have an interval that reaches into the first one's."""
    run = 0
    for row in ordered:
        if row["high"] < first["low"]:
            break
        run += 1
    if run == len(ordered):
        return "but the two overlap" if run == 2 else f"but all {in_words(run)} overlap"
    if run > 1:
        return f"but the first {in_words(run)} overlap"
    reach = any(row["high"] >= first["low"] for row in ordered[1:])
    if reach:
        return "but rows further down overlap with it"
    return "and no other row reaches into that range"


def _raw(inquiry: Inquiry, rows: list[Row], ranked: Ranked) -> str:
    first = rows[0]
    made = f"{count(first['made'])} of {count(first['attempts'])}"
    figure = made
    if first["attempts"] >= 10:
        figure = f"{made}, {_figure(first, 'raw_rate', 'raw_low', 'raw_high')}"
    together = [r for r in rows if r["rank"] == first["rank"]]
    if ranked.all_rows == 1:
        return f"{_name(inquiry, first)}: {figure} raw; one row has no order."
    if len(together) > 1:
        most = counted(max(r["attempts"] for r in together), "attempt")
        return (
            f"{_names(inquiry, together)} have the highest raw rate, on {most} at most; luck is "
            "not allowed for."
        )
    lead = "has the highest raw rate" if first["rank"] == 1 else f"stands in place {first['rank']}"
    return f"{_name(inquiry, first)} {lead}, {figure}; luck is not allowed for."


def _most(inquiry: Inquiry, rows: list[Row], order: str) -> str:
    first = rows[0]
    what = "makes" if order == "made" else "attempts"
    together = [r for r in rows if r["rank"] == first["rank"]]
    number = count(first[order])
    if first["rank"] > 1:
        return f"{_name(inquiry, first)} stands in place {first['rank']} with {number} {what}."
    if len(together) > 1:
        return f"{_names(inquiry, together)} have the most {what}, {number} each."
    return f"{_name(inquiry, first)} has the most {what}, {number}."


def _figure(row: Row, rate: str, low: str, high: str) -> str:
    # A rate allowing for luck is no count: below ten attempts it keeps whole percent.
    attempts = max(row["attempts"], 10)
    return rate_with_interval(row[rate], row[low], row[high], attempts)


def _name(inquiry: Inquiry, row: Row) -> str:
    by = inquiry.options["by"]
    if by == "league-season":
        return f"{row['league']} {row['season']}"
    if by == "team":
        return f"{row['team']} ({row['season']})"
    return f"{row['player']} ({row['season']})" if by == "player-season" else str(row["player"])


def _names(inquiry: Inquiry, rows: list[Row]) -> str:
    if len(rows) <= 3:
        return listed([_name(inquiry, row) for row in rows])
    return f"{_name(inquiry, rows[0])} and {in_words(len(rows) - 1)} others"


def notes(inquiry: Inquiry, ranked: Ranked) -> list[str]:
    """What a reader must know about the table and its order."""
    by = inquiry.options["by"]
    noun = _NOUNS[by]
    said = []
    if ranked.left_out:
        verb = "is" if ranked.left_out == 1 else "are"
        still = "" if by in ("team", "league-season") else "; they count in the common level"
        said.append(
            f"{counted(ranked.left_out, noun)} with fewer than "
            f"{counted(ranked.floor, 'attempt')} {verb} left out of the table{still}."
        )
    if inquiry.options["state"]:
        said.append(
            f"Only rows in the state {inquiry.options['state']} are shown "
            f"({count(ranked.rows.height)} of {count(ranked.all_rows)}); ranks and chances are "
            "those among all rows."
        )
    if by == "league-season":
        said.append("League-seasons have raw rates only: there is no level to draw them to.")
    else:
        said += level.notes(ranked.levels, "team" if by == "team" else "player")
    said += _about_chances(inquiry, ranked)
    said += _about_states(inquiry, ranked)
    usual = FLOORS[by]
    if ranked.floor != usual:
        said.append(f"Changed settings: --min-attempts {ranked.floor} (usually {usual}).")
    if by in ("team", "league-season"):
        said.append(
            "State and share of a technique are a player's: ask uptake for teams and leagues."
        )
    return said


def _about_states(inquiry: Inquiry, ranked: Ranked) -> list[str]:
    """Which attempts state and share are of, where a row shows them."""
    if not ranked.rows["state_tags"].sum():
        return []
    season = "that season"
    if inquiry.options["by"] == "player":
        season = f"his latest season with {MIN_TAGS} watched attempts or more"
    words = capital(inquiry.focus.words)
    return [f"{words}: of everything watched in {season}, not only of the attempts asked for."]


def _about_chances(inquiry: Inquiry, ranked: Ranked) -> list[str]:
    top = inquiry.options["top"]
    if ranked.method == "draws":
        return [
            f"Chances of the top {top}: {count(DRAWS)} joint draws, seed "
            f"{inquiry.options['seed']}, error at most {percent(ranked.error, 100)}."
        ]
    why = ranked.rows.filter(pl.col("top_n_chance_why").is_not_null())
    if ranked.method == "" and why.height and inquiry.options["by"] != "league-season":
        first = why["top_n_chance_why"].to_list()[0]
        if not str(first).endswith(f"fewer than {MIN_ROWS} rows: raw rates only"):
            return [f"No chance of the top {top}: {first}."]
    return []
