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
    listed,
    percent,
)
from ledger.stats.league_share import MIN_ATTEMPTS

if TYPE_CHECKING:
    from ledger.questions.inquiry import Inquiry

# How many players a lot should hold; a rule of thumb, common practice, no source.
LOT_SIZE = 12
# Filters that leave out players of a league.
PARTS_OF_A_LEAGUE = ("team", "position", "player", "list_name")
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
        return f"{_one_league(inquiry, rows)}."
    return f"{_several(inquiry, leagues)}."


def _several(inquiry: Inquiry, leagues: dict[str, list[Row]]) -> str:
    """The league whose share rose most, and how many there are besides."""
    shares = {
        league: [row["share"] for row in own if row["share"] is not None]
        for league, own in leagues.items()
    }
    told = {league: own for league, own in shares.items() if own}
    if not told:
        return (
            f"No share can be told in any of {len(leagues)} leagues: draw players by lot and watch "
            "them all"
        )
    rises = {league: own[-1] - own[0] for league, own in told.items() if len(own) > 1}
    if rises and max(rises.values()) > 0:
        named = max(rises, key=lambda league: rises[league])
        among = _among(len(rises), len(leagues), "with a share then and now")
        place = f"the largest rise seen in {among}" if len(rises) > 1 else among
    else:
        named = max(told, key=lambda league: told[league][-1])
        among = _among(len(told), len(leagues), "with a share")
        place = among
        if len(told) > 1:
            alike = [own for own in told.values() if own[-1] == told[named][-1]]
            most = f"the most in {among}" if len(alike) == 1 else f"none of {among} shows more"
            place = f"{most}, no rise seen" if rises else most
    return f"{_one_league(inquiry, leagues[named], named)}; {place}"


def _shots(inquiry: Inquiry) -> str:
    """What is shot, and by whom where only a part of a league is meant."""
    part = any(getattr(inquiry.cohort, name) for name in PARTS_OF_A_LEAGUE)
    return f"{inquiry.shots()} of these players" if part else inquiry.shots()


def _among(some: int, leagues: int, who: str) -> str:
    if some == 1:
        return f"the only one of {leagues} leagues {who}"
    return f"{leagues} leagues" if some == leagues else f"the {some} of {leagues} leagues {who}"


def _one_league(inquiry: Inquiry, rows: Sequence[Row], name: str = "") -> str:
    told = [row for row in rows if row["share"] is not None]
    words, shots = capital(inquiry.focus.words), _shots(inquiry)
    if not told:
        return _bounds(inquiry, rows[-1])
    first, last = told[0], told[-1]
    lead = f"{words}: {name} " if name else f"{words}: "
    start = f"{lead}{_share(first)} of {shots}{_limits(first)} in {first['season']}{_raised(first)}"
    if first is last:
        said = f"{start}; {_how([first])}"
    else:
        now = f"{_share(last)}{_limits(last)} in {last['season']}{_raised(last)}"
        said = f"{start}, {now}; {_how([first, last])}"
    if last is not rows[-1]:
        return f"{said}; {_no_share(inquiry, rows[-1])}"
    return said


def _how(rows: Sequence[Row]) -> str:
    ways = list(dict.fromkeys(_WATCHED[row["method"]] for row in rows))
    if len(ways) == 1:
        return ways[0]
    return f"{ways[0]} then, {ways[1]} now"


def _no_share(inquiry: Inquiry, row: Row) -> str:
    """The last season, where an earlier one has the last share."""
    season = row["season"]
    if row.get("least_share") is None:
        return f"no share in {season}, {guards.plain(row['share_why'])}"
    if row["players"] == 0:
        return f"no player with {MIN_ATTEMPTS} {inquiry.shots()} in {season}"
    if row["tagged_players"] == 0:
        return f"nobody watched in {season}"
    return f"{between(row['least_share'], row['most_share'])} in {season}, {_why(row)}"


def _bounds(inquiry: Inquiry, row: Row) -> str:
    words, shots, season = inquiry.focus.words, _shots(inquiry), row["season"]
    if row.get("least_share") is None:
        return f"No share in {season}: {guards.plain(row['share_why'])}"
    if row["players"] == 0:
        few = f"No player has {MIN_ATTEMPTS} {inquiry.shots()} in {season}"
        return f"{few}: no share of a league"
    if row["tagged_players"] == 0:
        return f"Nobody was watched in {season}: nothing can be said. {_draw(row)}"
    span = between(row["least_share"], row["most_share"])
    why = _why(row)
    said = f"Between {span.replace(' to ', ' and ')} of {shots} {words} in {season}: {why}"
    return said if why in (_PART, _waiting(row)) else f"{said}. {_draw(row)}"


_PART = "not every player is watched"


def _why(row: Row) -> str:
    """Why a season has bounds only, in words that fit behind them."""
    if str(row["share_why"]).startswith("not every player"):
        return _PART
    if str(row["share_why"]).startswith("players outside the list"):
        return "too many players are outside the lot"
    if row["unwatched_drawn"]:
        return _waiting(row)
    return "those watched were picked"


def _waiting(row: Row) -> str:
    return f"{counted(row['unwatched_drawn'], 'drawn player')} not watched yet"


def _draw(row: Row) -> str:
    unwatched = row["players"] - row["tagged_players"]
    return f"Draw {counted(min(LOT_SIZE, max(unwatched, 1)), 'player')}"


def _raised(row: Row) -> str:
    return ", which raised the question" if row["raised"] else ""


def _share(row: Row) -> str:
    return percent(row["share"], 10)


def _limits(row: Row) -> str:
    if row["low"] is None:
        return f" ({row['share_why']})"
    return f" ({limits(row['low'], row['high'], 10)})"


def _seasons(rows: Sequence[Row]) -> str:
    names = [f"{row['league']} {row['season']}" for row in rows[:3]]
    if len(rows) > 3:
        names.append(f"{len(rows) - 3} more")
    return listed(names)


def _whole(row: Row) -> bool:
    return row.get("method") in ("census", "near_census")


def _parts(inquiry: Inquiry, rows: Sequence[Row]) -> str:
    by = inquiry.options["by"]
    newest = max(row["start_year"] for row in rows)
    last = [row for row in rows if row["start_year"] == newest]
    told = [row["share"] for row in last if row["share"] is not None]
    season, all_ = last[0]["season"], counted(len(last), by)
    if not told:
        none = f"The one {by}" if len(last) == 1 else f"None of the {all_}"
        without = "has not" if len(last) == 1 else "has"
        return f"{none} in {season} {without} every player watched: bounds only, no share."
    span = percent(min(told), 10)
    if max(told) > min(told):
        span = between(min(told), max(told))
    which = f"the {len(told)} of {all_} with every player watched"
    if len(told) == len(last) > 1:
        which = f"all {all_}, every player watched"
    return f"{capital(inquiry.focus.words)}: {span} of {inquiry.shots()} in {which}, {season}."


def raised(rows: Sequence[Row]) -> list[str]:
    """That a share is of a season that suggested the question, where one is."""
    found = [row for row in rows if row["raised"] and row["share"] is not None]
    if not found:
        return []
    shares, them = ("its share", "it") if len(found) == 1 else ("their shares", "them")
    no_test = f"{shares} and any curve through {them} are no test of it"
    return [f"{_seasons(found)} suggested the question: {no_test}."]


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
    unusable = sum(row["refused_drawn"] for row in rows)
    waiting = sum(row["unwatched_drawn"] for row in rows) - unusable
    if waiting:
        are = "is" if waiting == 1 else "are"
        said.append(f"{counted(waiting, 'drawn player')} {are} not watched yet.")
    if unusable:
        verb = "counts" if unusable == 1 else "count"
        said.append(
            f"{counted(unusable, 'drawn player')} {verb} as not watched: the attempts that were "
            "watched were picked by result."
        )
    declared = [row for row in rows if row["declared"] and row.get("method") == "drawn"]
    if declared:
        said.append(
            f"Drawn by lot elsewhere, as their tags were declared: {_seasons(declared)}; the lot "
            "itself is not in this ledger."
        )
    lone = [row for row in rows if row["picked_players"] and not _whole(row)]
    if inquiry.options["by"] == "league" and lone:
        said.append(
            "Players who were watched without a lot count for themselves only, never for others."
        )
    if inquiry.options["by"] != "league":
        said.append("Curves are those of the leagues, not of their parts.")
    return said
