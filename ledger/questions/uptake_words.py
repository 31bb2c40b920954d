"""The headline and the notes of uptake."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ledger.questions import guards
from ledger.questions.wording import (
    between,
    capital,
    counted,
    limits,
    percent,
)
from ledger.stats.league_share import MIN_ATTEMPTS

if TYPE_CHECKING:
    from ledger.questions.inquiry import Inquiry

# How many players a lot should hold; a rule of thumb, common practice, no source.
LOT_SIZE = 12
_MOST_LEAGUES = 3
_WATCHED = {
    "drawn": "players drawn by lot",
    "census": "every player watched",
    "near_census": "nearly every player watched",
}
Row = dict[str, Any]


def headline(inquiry: Inquiry, rows: Sequence[Row]) -> str:
    """One sentence: the share then and now, or the bounds and what to do about them."""
    if inquiry.options["by"] != "league":
        return _parts(inquiry, rows)
    leagues: dict[str, list[Row]] = {}
    for row in rows:
        leagues.setdefault(row["league"], []).append(row)
    if len(leagues) == 1:
        return _one_league(inquiry, rows)
    if len(leagues) <= _MOST_LEAGUES:
        said = [f"{league} {_short(own)}" for league, own in leagues.items()]
        return f"{capital(inquiry.focus.words)}, of {inquiry.shots()}: {'; '.join(said)}."
    last = [own[-1] for own in leagues.values()]
    told = [row["share"] for row in last if row["share"] is not None]
    if not told:
        return (
            f"No share can be told in any of {len(leagues)} leagues: those watched were picked, or "
            "nobody was watched; draw players by lot."
        )
    span = f"{percent(min(told), 10)} to {percent(max(told), 10)}"
    return (
        f"{capital(inquiry.focus.words)}: {span} of {inquiry.shots()} in the latest season of "
        f"{len(told)} of {len(leagues)} leagues; no share in the others."
        if len(told) < len(leagues)
        else f"{capital(inquiry.focus.words)}: {span} of {inquiry.shots()} in the latest season of "
        f"{len(leagues)} leagues."
    )


def _one_league(inquiry: Inquiry, rows: Sequence[Row]) -> str:
    told = [row for row in rows if row["share"] is not None]
    words, shots = capital(inquiry.focus.words), inquiry.shots()
    if not told:
        return _bounds(inquiry, rows[-1])
    first, last = told[0], told[-1]
    how = _how([first, last])
    if first is last:
        said = f"{words}: {_share(last)} of {shots}{_limits(last)} in {last['season']}; {how}"
    else:
        said = (
            f"{words}: {_share(first)} of {shots}{_limits(first)} in {first['season']}, "
            f"{_share(last)}{_limits(last)} in {last['season']}; {how}"
        )
    if last is not rows[-1]:
        return f"{said}; {_no_share(rows[-1])}."
    return f"{said}."


def _how(rows: Sequence[Row]) -> str:
    ways = list(dict.fromkeys(_WATCHED[row["method"]] for row in rows))
    if len(ways) == 1:
        return ways[0]
    return f"{ways[0]} then, {ways[1]} now"


def _no_share(row: Row) -> str:
    if row.get("least_share") is None:
        return f"no share in {row['season']}, {guards.plain(row['share_why'])}"
    return f"{between(row['least_share'], row['most_share'])} in {row['season']}, no lot watched"


def _bounds(inquiry: Inquiry, row: Row) -> str:
    words, shots = inquiry.focus.words, inquiry.shots()
    if row.get("least_share") is None:
        return f"No share in {row['season']}: {guards.plain(row['share_why'])}."
    if row["players"] == 0:
        return f"No player has {MIN_ATTEMPTS} {shots} in {row['season']}: no share of a league."
    draw = _draw(row)
    if row["tagged_players"] == 0:
        return f"Nobody was watched in {row['season']}: nothing can be said. {draw}"
    least, most = (f"{100 * row[k]:.0f}" for k in ("least_share", "most_share"))
    said = f"Between {least} and {most} % of {shots} {words} in {row['season']}"
    if row["unwatched_drawn"]:
        return f"{said}: {counted(row['unwatched_drawn'], 'drawn player')} not watched yet."
    if str(row["share_why"]).startswith("players outside the list"):
        return f"{said}: too many players are outside the lot. {draw}"
    if str(row["share_why"]).startswith("not every player"):
        return f"{said}: not every player is watched."
    return f"{said}: those watched were picked. {draw}"


def _draw(row: Row) -> str:
    unwatched = row["players"] - row["tagged_players"]
    return f"Draw {counted(min(LOT_SIZE, max(unwatched, 1)), 'player')}."


def _share(row: Row) -> str:
    return percent(row["share"], 10)


def _limits(row: Row) -> str:
    if row["low"] is None:
        return f" ({row['share_why']})"
    return f" ({limits(row['low'], row['high'], 10)})"


def _short(rows: Sequence[Row]) -> str:
    told = [row for row in rows if row["share"] is not None]
    if not told:
        last = rows[-1]
        if last.get("least_share") is None or last["tagged_players"] == 0:
            return "no share"
        return f"{between(last['least_share'], last['most_share'])}, those watched were picked"
    first, last = told[0], told[-1]
    now = f"{_share(last)}{_limits(last)} in {last['season']}"
    return now if first is last else f"{_share(first)}{_limits(first)} in {first['season']}, {now}"


def _parts(inquiry: Inquiry, rows: Sequence[Row]) -> str:
    by = inquiry.options["by"]
    newest = max(row["start_year"] for row in rows)
    last = [row for row in rows if row["start_year"] == newest]
    told = [row["share"] for row in last if row["share"] is not None]
    season, all_ = last[0]["season"], counted(len(last), by)
    if not told:
        return f"No {by} of {all_} in {season} has every player watched: bounds only, no share."
    span = percent(min(told), 10)
    if max(told) > min(told):
        span += f" to {percent(max(told), 10)}"
    return (
        f"{capital(inquiry.focus.words)}: {span} of {inquiry.shots()} in the {len(told)} of {all_} "
        f"with every player watched, {season}."
    )


def notes(inquiry: Inquiry, rows: Sequence[Row]) -> list[str]:
    """Who is left out, who was drawn and not watched, how players were chosen."""
    said = []
    few, attempts = (sum(row[c] for row in rows) for c in ("left_out_players", "left_out_attempts"))
    if few:
        said.append(
            f"Shares are over players with {MIN_ATTEMPTS} attempts or more in a season: "
            f"{counted(few, 'player-season')} with fewer left out "
            f"({counted(attempts, 'attempt')})."
        )
    waiting = sum(row["unwatched_drawn"] for row in rows)
    if waiting:
        are = "is" if waiting == 1 else "are"
        said.append(f"{counted(waiting, 'drawn player')} {are} not watched yet.")
    if inquiry.options["by"] == "league" and any(row["picked_players"] for row in rows):
        said.append(
            "Players who were watched without a lot count for themselves only, never for others."
        )
    if inquiry.options["by"] != "league":
        said.append("Curves are those of the leagues, not of their parts.")
    return said
