"""What is a trip to the line worth?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import polars as pl

from ledger.questions import columns, guards, level, worth_words
from ledger.questions.player_seasons import LEAGUE_SEASON, PERSON_SEASON, gather
from ledger.stats.worth import (
    RATE_POINTS,
    REBOUND_POINTS,
    TRIPS,
    Known,
    Worth,
    break_even,
    chance_below,
    worth,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from ledger.questions.answer import Answer, Part
    from ledger.questions.inquiry import Inquiry
    from ledger.questions.player_seasons import Table
    from ledger.store.reads.trips_worth import LiveMisses, Trips

FREE_THROWS = "A trip to the line is of free throws: leave out --shot."
PRACTICE = "A trip to the line is of a game: leave out --stage practice."
MIX = "mix"
_MAKES, _BOTH = "makes", "makes and rebounds"
NOTHING_UNCERTAIN = "rate and rebounds were typed: nothing is uncertain"

COLUMNS = (
    columns.text("trip", "Trip", "one, two, three, one_and_one, or mix: as they were recorded"),
    columns.share("rate", "Make rate", "What each shot is made with"),
    columns.figure("points", "Points", "points", "Expected points of one trip"),
    columns.figure("low", "Low", "points", "Lower limit of it, 95 %"),
    columns.figure("high", "High", "points", "Upper limit of it, 95 %"),
    columns.text("counted", "Counted", "makes, or makes and rebounds: what points are made of"),
    columns.figure("points_per_100", "Per 100", "points", "Expected points of 100 trips"),
    columns.number_of("trips", "Trips", "", "Recorded trips of the kind"),
    columns.text("low_why", "Why no limits", "Why the points have no limits"),
)
BREAK_EVEN = (
    columns.text("trip", "Trip", "one, two, three or one_and_one"),
    columns.share("rate", "Break even", "Make rate below which a deliberate foul pays"),
    columns.share("chance_below", "Chance below", "Chance that the shooter's rate is below it"),
    columns.text("why", "Why", "Why there is no rate, or what it rests on"),
)
KNOWN = (
    columns.text("what", "What", "rate, offensive_rebound or per_possession"),
    columns.figure("value", "Value", "", "The number that was used"),
    columns.figure("low", "Low", "", "Lower limit of it, 95 %"),
    columns.figure("high", "High", "", "Upper limit of it, 95 %"),
    columns.number_of("count", "Count", "", "Makes, or offensive rebounds"),
    columns.number_of("of", "Of", "", "Attempts, or live misses whose rebound is noted"),
    columns.text("given", "From", "recorded, typed, or missing"),
)
CURVE = (
    columns.text("trip", "Trip", "one, two, three, one_and_one, or mix: as they were recorded"),
    columns.share("rate", "Make rate", "A make rate, from 0 to 1"),
    columns.figure("points", "Points", "points", "Expected points of one trip at that rate"),
)
# Makes enter as straight lines, or nearly so: steps of 5 in 100 draw them.
_CURVE_STEPS = 20


@dataclass(frozen=True, slots=True, eq=False)
class Rate:
    """Whose make rate enters, and what is known of it.

    Attributes:
        known: the rate.
        who: a player's name, empty for several or a typed rate.
        players: how many players it is made of, 0 where it was typed.
        made: makes it rests on.
        attempts: attempts it rests on.
        allowing: whether the luck of a single player was allowed for.
    """

    known: Known
    who: str
    players: int
    made: int
    attempts: int
    allowing: bool


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """What an answer is told from."""

    inquiry: Inquiry
    rate: Rate
    rebound: Known | None
    misses: LiveMisses
    trips: Trips
    possession: float | None
    left_out: int
    refusals: guards.Refusals


def answer(inquiry: Inquiry) -> Answer:
    """Points of each kind of trip, and where a deliberate foul breaks even."""
    refused = ""
    if inquiry.practice_only:
        refused = PRACTICE
    elif inquiry.cohort.shots != ("free_throw",):
        refused = FREE_THROWS
    if refused:
        return inquiry.answer(refused, _main([]), _parts())
    games = inquiry.games_only()
    table = gather(games)
    refusals = guards.picked_by_result(table.everybody)
    people, left_out = _usable(games, table, refusals)
    rate = _rate(games, table, people)
    if rate is None:
        headline = games.nothing_here() if not table.attempts else worth_words.PICKED
        notes = [*table.notes(), *refusals.notes(left_out)]
        return inquiry.answer(headline, _main([]), _parts(), notes)
    misses = games.reads.trips_worth.live_misses(games.scope)
    told = Told(
        games,
        rate,
        _rebound(games, misses),
        misses,
        games.reads.trips_worth.trips(games.scope),
        games.options["per_possession"],
        left_out,
        refusals,
    )
    even = [_break_even(told, trip) for trip in TRIPS]
    notes = [*table.notes(), *worth_words.notes(told)]
    rows = _rows(told)
    headline = worth_words.headline(told, rows, even)
    parts = _parts(even, _known(told), _curve(told))
    return inquiry.answer(headline, _main(rows), parts, notes, with_focus=False)


def _main(rows: list[dict[str, Any]]) -> Part:
    return columns.part(COLUMNS, rows)


def _parts(
    even: Sequence[Mapping[str, Any]] = (),
    known: Sequence[Mapping[str, Any]] = (),
    curve: Sequence[Mapping[str, Any]] = (),
) -> dict[str, Part]:
    return {
        "break_even": columns.part(BREAK_EVEN, even),
        "known": columns.part(KNOWN, known),
        "curve": columns.part(CURVE, curve),
    }


def _usable(inquiry: Inquiry, table: Table, refusals: guards.Refusals) -> tuple[pl.DataFrame, int]:
    """The cohort's player-seasons; by technique only those whose tags say something of its rate."""
    people = table.people
    if not inquiry.cohort.technique:
        return people, 0
    kept = people.join(refusals.players, on=PERSON_SEASON, how="anti", maintain_order="left")
    return kept, people.height - kept.height


def _rate(inquiry: Inquiry, table: Table, people: pl.DataFrame) -> Rate | None:
    """The typed rate, a player's own allowing for luck, or that of all attempts together."""
    typed = inquiry.options["rate"]
    if typed is not None:
        return Rate(Known.typed(typed), "", 0, 0, 0, allowing=False)
    made, attempts = int(people["made"].sum()), int(people["attempts"].sum())
    if not attempts:
        return None
    persons = people["person_id"].n_unique()
    shape, allowing = (made + 0.5, attempts - made + 0.5), False
    if persons == 1:
        levels = level.fit(table.whole)
        entries = people.select(*LEAGUE_SEASON, "made", "attempts").with_columns(
            row=pl.lit(0, dtype=pl.Int64)
        )
        talent = level.shrink(entries, 1, levels)
        if not np.isnan(talent.a[0]):
            shape, allowing = (float(talent.a[0]), float(talent.b[0])), True
    who = str(people["player"][0]) if persons == 1 else ""
    return Rate(Known.beta(*shape, RATE_POINTS), who, persons, made, attempts, allowing)


def _rebound(inquiry: Inquiry, misses: LiveMisses) -> Known | None:
    typed = inquiry.options["offensive_rebound"]
    if typed is not None:
        return Known.typed(typed)
    if not misses.noted:
        return None
    other = misses.noted - misses.offensive
    return Known.beta(misses.offensive + 0.5, other + 0.5, REBOUND_POINTS)


def _kinds(told: Told) -> dict[str, dict[str, float]]:
    """Each kind of trip, and the mix where trips were recorded."""
    kinds = {trip: {trip: 1.0} for trip in TRIPS}
    if told.trips.of_kind:
        kinds[MIX] = {trip: float(n) for trip, n in told.trips.of_kind.items()}
    return kinds


def _rebounds_count(told: Told) -> tuple[Known, float] | None:
    """The chance of an offensive rebound and what it brings; None where one is not known."""
    if told.rebound is None or told.possession is None:
        return None
    return told.rebound, told.possession


def _rows(told: Told) -> list[dict[str, Any]]:
    recorded = told.trips.of_kind
    both = _rebounds_count(told)
    rebound, possession = both or (Known.typed(0.0), 0.0)
    rows = []
    for name, mix in _kinds(told).items():
        found = worth(mix, told.rate.known, rebound, possession)
        trips = sum(recorded.values()) if name == MIX else recorded.get(name, 0)
        rows.append(_row(name, told.rate.known.mean, found, trips, _BOTH if both else _MAKES))
    return rows


def _curve(told: Told) -> list[dict[str, Any]]:
    """Points of each kind of trip at every make rate, rebounds as likely as they are thought."""
    both = _rebounds_count(told)
    rebound, possession = (Known.typed(both[0].mean), both[1]) if both else (Known.typed(0.0), 0.0)
    rates = [k / _CURVE_STEPS for k in range(_CURVE_STEPS + 1)]
    return [
        {"trip": name, "rate": p, "points": worth(mix, Known.typed(p), rebound, possession).mean}
        for name, mix in _kinds(told).items()
        for p in rates
    ]


def _row(trip: str, rate: float, found: Worth, trips: int, counted: str) -> dict[str, Any]:
    return {
        "trip": trip,
        "rate": rate,
        "points": found.mean,
        "low": found.low,
        "high": found.high,
        "low_why": NOTHING_UNCERTAIN if found.low is None else None,
        "counted": counted,
        "points_per_100": 100 * found.mean,
        "trips": trips,
    }


def _break_even(told: Told, trip: str) -> dict[str, Any]:
    if told.possession is None:
        return {"trip": trip, "why": "type --per-possession: points of one possession"}
    if told.rebound is None:
        return {"trip": trip, "why": "no rebound of a live miss recorded: type --offensive-rebound"}
    limit = break_even(trip, told.possession, told.rebound.mean)
    chance = chance_below(trip, told.rate.known, told.rebound, told.possession)
    row: dict[str, Any] = {"trip": trip, "rate": limit, "chance_below": chance}
    if limit > 1:
        row |= {"rate": None, "why": "above 1: fouling always pays, on these numbers"}
    elif told.rate.known.shape is None and told.rebound.shape is None:
        side = "below" if chance else "not below"
        row |= {"chance_below": None, "why": f"the typed rate is {side} it: nothing is uncertain"}
    return row


def _known(told: Told) -> list[dict[str, Any]]:
    rate, misses = told.rate, told.misses
    rows: list[dict[str, Any]] = [
        {"what": "rate", **_said(rate.known)},
        {"what": "offensive_rebound", **_said(told.rebound)},
        {"what": "per_possession", "value": told.possession},
    ]
    if rate.known.shape is not None:
        rows[0] |= {"count": rate.made, "of": rate.attempts}
    if told.rebound is not None and told.rebound.shape is not None:
        rows[1] |= {"count": misses.offensive, "of": misses.noted}
    rows[2]["given"] = "missing" if told.possession is None else "typed"
    return rows


def _said(known: Known | None) -> dict[str, Any]:
    if known is None:
        return {"given": "missing"}
    if known.limits is None:
        return {"value": known.mean, "given": "typed"}
    low, high = known.limits
    return {"value": known.mean, "low": low, "high": high, "given": "recorded"}
