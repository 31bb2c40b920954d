"""Do adopters rank higher, and how many stand among the top N?"""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import polars as pl

from ledger.questions import columns
from ledger.questions.answer import Part
from ledger.questions.guards import NOT_A_TEST
from ledger.questions.states import DECIDED
from ledger.questions.wording import (
    between,
    by_luck,
    count,
    counted,
    listed,
    rate_with_interval,
)
from ledger.stats.beta_binomial import MIN_ROWS
from ledger.stats.rank_test import outranking, top_tail

OUTRANKING_COLUMNS = (
    columns.number_of("adopters", "Adopters", "players", "Players judged adopter"),
    columns.number_of("others", "Others", "players", "Players judged, and not adopter"),
    columns.share(
        "chance_outranks",
        "Chance to outrank",
        "Chance that a random adopter has a higher rate allowing for luck than a random other",
    ),
    columns.share("low", "Low", "Lower limit of that chance (95 %)"),
    columns.share("high", "High", "Upper limit of that chance (95 %)"),
    columns.share("p", "p", "Rank test, one-sided: how often luck alone does as much"),
    columns.text("p_why", "Why none", "Why there is no test"),
    columns.number_of("undecided", "Undecided", "players", "Players who count neither way"),
    columns.share(
        "chance_least", "At least", "The chance if the undecided fell so that it is smallest"
    ),
    columns.share(
        "chance_most", "At most", "The chance if the undecided fell so that it is largest"
    ),
)
TOP_COLUMNS = (
    columns.number_of("n", "Top N", "players", "How many players from the top"),
    columns.number_of("adopters", "Adopters", "players", "Adopters among them"),
    columns.number_of(
        "adopters_low", "At least", "players", "If no undecided one among them does it"
    ),
    columns.number_of("adopters_high", "At most", "players", "If every undecided one does it"),
    columns.share("base_rate", "In all", "Adopters of all players judged"),
    columns.share(
        "chance", "By lot", "Chance of as many or more if ranks were dealt by lot; a description"
    ),
    columns.text("chance_why", "Why none", "Why there is no count or no chance"),
    columns.number_of("players", "Players", "players", "Players ranked"),
)


@dataclass(frozen=True, slots=True)
class Compared:
    """The two frames, and what must be said beside them."""

    parts: dict[str, Part]
    notes: list[str]


def empty_parts(top: int) -> dict[str, Part]:
    """The frames where there is nothing to compare."""
    why = "no players to compare"
    return {
        "outranking": columns.part(
            OUTRANKING_COLUMNS, [{"adopters": 0, "others": 0, "p_why": why}]
        ),
        "top_n": columns.part(TOP_COLUMNS, [{"n": top, "chance_why": why, "players": 0}]),
    }


def compared(
    players: pl.DataFrame,
    *,
    top: int,
    seed: int,
    floor: int,
    raised: pl.DataFrame,
    left: bool,
) -> Compared:
    """Compare the rates of adopters with those of the others, one row a player.

    Args:
        players: `player, person_id, attempts, rate` (empty where there is no level), `state`.
        top: N of the top N.
        seed: of the permutations.
        floor: the attempts a player needed to be here, for the note.
        raised: league-seasons left out because they raised the question.
        left: whether any season is left.
    """
    rated = players.filter(pl.col("rate").is_not_null())
    why = "" if left or raised.height == 0 else NOT_A_TEST
    if not why and players.height and rated.height == 0:
        why = f"fewer than {MIN_ROWS} rows: raw rates only"
    test = _test(rated, seed, why)
    first = _top(rated, top, why)
    parts = {
        "outranking": columns.part(OUTRANKING_COLUMNS, [test]),
        "top_n": columns.part(TOP_COLUMNS, [first]),
    }
    return Compared(parts, _notes(test, first, floor, raised))


def _test(rated: pl.DataFrame, seed: int, why: str) -> dict[str, Any]:
    by_state = {
        key: rated.filter(condition)["rate"].to_list()
        for key, condition in (
            ("adopters", pl.col("state") == "adopter"),
            ("others", pl.col("state").is_in(["occasional", "not"])),
            ("open", ~pl.col("state").is_in(DECIDED).fill_null(False)),
        )
    }
    adopters, others, undecided = by_state["adopters"], by_state["others"], by_state["open"]
    row: dict[str, Any] = {
        "adopters": len(adopters),
        "others": len(others),
        "undecided": len(undecided),
    }
    if why:
        return {**row, "p_why": why}
    found = outranking(adopters, others, seed=seed)
    row |= {
        "chance_outranks": found.chance,
        "low": found.low,
        "high": found.high,
        "p": found.p,
        "p_why": found.why or None,
    }
    if found.chance is not None:
        row["chance_least"], row["chance_most"] = chance_range(adopters, others, undecided)
    return row


def chance_range(
    adopters: Sequence[float], others: Sequence[float], undecided: Sequence[float]
) -> tuple[float, float]:
    """The smallest and the largest chance to outrank, over every way the undecided may fall.

    For any number of adopters among them the chance is largest if those are the ones with the
    highest rates, and smallest if they are the ones with the lowest: so each number is tried once.

    >>> chance_range([0.8], [0.7], [0.9, 0.6])
    (0.5, 1.0)
    """
    most = _largest(adopters, others, undecided)
    # Turned round, the others outrank the adopters: the smallest chance is one minus the largest.
    turned = [[-v for v in values] for values in (adopters, others, undecided)]
    return 1.0 - _largest(*turned), most


def _largest(
    adopters: Sequence[float], others: Sequence[float], undecided: Sequence[float]
) -> float:
    doing, rest = sorted(adopters), sorted([*others, *undecided])
    pairs = sum(_beaten(value, rest) for value in doing)
    best = pairs / (len(doing) * len(rest))
    for value in sorted(undecided, reverse=True):
        pairs -= len(doing) - _beaten(value, doing)
        del rest[bisect_left(rest, value)]
        pairs += _beaten(value, rest)
        insort(doing, value)
        best = max(best, pairs / (len(doing) * len(rest)))
    return best


def _beaten(value: float, ordered: Sequence[float]) -> float:
    """How many of the ordered values lie below, ties one half."""
    return (bisect_left(ordered, value) + bisect_right(ordered, value)) / 2


def _top(rated: pl.DataFrame, top: int, why: str) -> dict[str, Any]:
    row: dict[str, Any] = {"n": top, "players": rated.height}
    if why:
        return {**row, "chance_why": why}
    if top >= rated.height:
        said = f"top {top} of {counted(rated.height, 'player')}: everybody would be in it"
        return {**row, "chance_why": said}
    ordered = rated.sort(
        ["rate", "attempts", "player", "person_id"],
        descending=[True, True, False, False],
        maintain_order=True,
    )
    doing = pl.col("state") == "adopter"
    decided = pl.col("state").is_in(DECIDED).fill_null(False)
    first = ordered.head(top)
    adopters, known = first.filter(doing).height, first.filter(decided).height
    all_adopters, all_known = rated.filter(doing).height, rated.filter(decided).height
    row |= {
        "adopters": adopters,
        "adopters_low": adopters,
        "adopters_high": adopters + top - known,
    }
    if all_known == 0:
        return {**row, "chance_why": "no player is watched enough to be judged"}
    tail = top_tail(adopters, known, all_adopters, all_known)
    return {**row, "base_rate": tail.base_rate, "chance": tail.chance}


def _notes(
    test: dict[str, Any], first: dict[str, Any], floor: int, raised: pl.DataFrame
) -> list[str]:
    said = []
    if raised.height:
        names = [f"{league} {season}" for league, season in raised.head(3).iter_rows()]
        if raised.height > 3:
            names.append(f"{raised.height - 3} more")
        said.append(f"Left out of both comparisons of rates: {listed(names)} ({NOT_A_TEST}).")
    if test.get("p_why"):
        said.append(f"Do adopters rank higher: {test['p_why']}.")
    else:
        said.append(_outranks(test))
    if first.get("adopters") is not None:
        span = first["adopters_high"] - first["adopters_low"]
        may = f"{first['adopters_low']} to {first['adopters_high']}"
        around = f" ({span} cannot be called: it may be {may})"
        number = first["adopters"]
        are = {0: "none is an adopter", 1: "one is an adopter"}
        said.append(
            f"Of the first {first['n']} players by the rate that allows for luck, "
            f"{are.get(number, f'{count(number)} are adopters')}"
            f"{around if span else ''}; a description, not a test."
        )
    said.append(f"Comparisons of rates take players with {counted(floor, 'attempt')} or more.")
    return said


def _outranks(test: dict[str, Any]) -> str:
    pairs = rate_with_interval(test["chance_outranks"], test["low"], test["high"], 10)
    said = (
        f"An adopter ranks above a player who is none in {pairs} of pairs; as much happens "
        f"{by_luck(test['p'])} by luck"
    )
    low, high = test["chance_least"], test["chance_most"]
    if low == high:
        return f"{said}."
    aside = counted(test["undecided"], "player")
    return f"{said}; {between(low, high)} however the {aside} not called would fall."
