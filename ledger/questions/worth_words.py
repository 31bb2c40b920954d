"""The headline and the notes of worth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from ledger.questions.wording import (
    amount,
    count,
    counted,
    listed,
    percent,
    rate_with_interval,
    shown_share,
)

if TYPE_CHECKING:
    from ledger.questions.worth import Told

PICKED = (
    "No rate by technique: the watched attempts were picked by their result; type --rate instead."
)
_LIVE, _FEW = 20, 10


def headline(
    told: Told, rows: Sequence[Mapping[str, Any]], even: Sequence[Mapping[str, Any]]
) -> str:
    """One sentence: where a deliberate foul pays, or what a trip of two brings and what is missing.

    Args:
        told: what the answer is told from.
        rows: its rows.
        even: the rows of its break-even rates.
    """
    if told.rebound is None:
        return f"{_why_no_rebound(told)}: type --offensive-rebound."
    two = next(row for row in rows if row["trip"] == "two")
    if told.possession is None:
        points = amount(two["points"], two["low"], two["high"])
        return (
            f"{_shooter(told)}; two shots bring {points} points from makes alone: type "
            "--per-possession for rebounds and the deliberate foul."
        )
    limit = next(row for row in even if row["trip"] == "two")
    given = f"At {told.possession:.2f} a possession and {_rebounds(told)}"
    pays = (
        "a foul for two shots always pays"
        if limit["rate"] is None
        else f"a foul for two shots pays below {_digits(limit['rate'])}"
    )
    return f"{given}, {pays}; {_shooter(told, small=True)}."


def _why_no_rebound(told: Told) -> str:
    if told.misses.live:
        return f"No rebound is noted of {counted(told.misses.live, 'live miss', 'live misses')}"
    return "No live misses recorded"


def _rebounds(told: Told) -> str:
    rebound = told.rebound
    assert rebound is not None
    if rebound.limits is None:
        return f"{shown_share(rebound.mean)} offensive rebounds"
    low, high = rebound.limits
    shown = rate_with_interval(rebound.mean, low, high, max(told.misses.noted, 10))
    return f"{shown} offensive rebounds"


def _shooter(told: Told, *, small: bool = False) -> str:
    rate = told.rate
    if rate.known.limits is None:
        text = f"the rate typed is {shown_share(rate.known.mean)}"
        return text if small else text.capitalize()
    low, high = rate.known.limits
    shown = rate_with_interval(rate.known.mean, low, high, max(rate.attempts, 10))
    if rate.who and rate.attempts < _FEW and not rate.allowing:
        return f"{rate.who} made {rate.made} of {rate.attempts}"
    if rate.who:
        return f"{rate.who} shoots {shown}"
    who = f"the {count(rate.players)} players together shoot"
    return f"{who if small else who.capitalize()} {shown}"


def _digits(share: float) -> str:
    return f"{100 * share:.1f} %"


def notes(told: Told) -> list[str]:
    """What a reader must know."""
    said = [*told.refusals.notes(told.left_out)] if told.left_out else []
    rate, trips = told.rate, told.trips
    if rate.players == 1 and not rate.allowing:
        said.append(
            "No level of his league to allow for luck with (fewer than 8 rows): his own makes "
            "alone."
        )
    elif rate.players > 1:
        said.append(
            "The rate is that of all attempts together; say with --player whose trips are meant."
        )
    elif rate.players == 1:
        said.append("The rate allows for luck: it is drawn to the level of his league.")
    if told.possession is None:
        said.append(
            "Points of a possession are typed, there is no usual value: without --per-possession "
            "an offensive rebound counts nothing and no rate to foul below is given."
        )
    elif told.rebound is None:
        said.append("Points are of makes alone: nothing is known of offensive rebounds.")
    said += _misses(told)
    if trips.of_kind:
        sorted_kinds = [(kind, trips.of_kind[kind]) for kind in _KIND if kind in trips.of_kind]
        kinds = ", ".join(f"{_KIND[kind]} {count(n)}" for kind, n in sorted_kinds)
        said.append(f"The mix is of {counted(sum(trips.of_kind.values()), 'trip')}: {kinds}.")
        none = [words for kind, words in _KIND.items() if not trips.of_kind.get(kind)]
        if none:
            said.append(
                f"Not recorded among these attempts: trips of {listed(none, 'or')}; their points "
                "follow from the rate alone."
            )
    else:
        said.append("No trip of a known kind is recorded: there is no mix.")
    if trips.dead:
        said.append(
            f"{counted(trips.dead, 'trip')} after technical or flagrant fouls left out of the mix: "
            "no rebound follows."
        )
    if trips.unknown:
        kind = counted(trips.unknown, "attempt")
        said.append(f"{kind} of a trip whose kind is not known left out of the mix.")
    said.append(
        "Shots of a trip count as independent. Left out: the clock, foul trouble, points after a "
        "rebound of the other side, fatigue."
    )
    return said


_KIND = {
    "one": "one shot",
    "two": "two shots",
    "three": "three shots",
    "one_and_one": "one-and-one",
}


def _misses(told: Told) -> list[str]:
    rebound, misses = told.rebound, told.misses
    if rebound is None or rebound.limits is None:
        return []
    part = percent(misses.offensive / misses.noted, misses.noted)
    shown = f" ({part})" if misses.noted >= 10 else ""
    said = [
        f"Offensive rebounds: {count(misses.offensive)} of "
        f"{counted(misses.noted, 'live miss', 'live misses')} whose rebound is noted{shown}."
    ]
    unknown = misses.live - misses.noted
    if unknown:
        verb = "has" if unknown == 1 else "have"
        said.append(
            f"{counted(unknown, 'live miss', 'live misses')} {verb} no rebound noted: left out."
        )
    if misses.noted < _LIVE:
        said.append(f"Fewer than {_LIVE} such misses: type --offensive-rebound if you know better.")
    return said
