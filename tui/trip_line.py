"""A trip to the line as it is typed: who, then one sign a shot; no key of it is a word.

`12+-` is number 12: made, missed. Letters of a name do as well. After the signs a digit says what
became of the ball or what gave the trip, and `/2` that the second technique of the ledger was shot.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ledger.errors import UseError
from ledger.intake.trip import Trip
from tui.completion import folded

if TYPE_CHECKING:
    from ledger.store.reads.scoresheet import Shirt

# `=` is the key of `+` without shift on many keyboards.
MARKS: dict[str, bool | None] = {"+": True, "=": True, "-": False, "*": None}
# What a digit after the signs says: field of a trip, its value, and how a reader knows it.
CODES = {
    "1": ("rebound_by", "offensive", "own rebound"),
    "2": ("rebound_by", "defensive", "their rebound"),
    "3": ("rebound_by", "out", "out of bounds"),
    "4": ("ended_by", "violation", "violation"),
    "5": ("ended_by", "foul", "foul"),
    "6": ("ended_by", "buzzer", "end of period"),
    "7": ("kind", "one_and_one", "one-and-one"),
    "8": ("kind", "technical", "technical"),
    "9": ("kind", "flagrant", "flagrant"),
}
_TAIL = re.compile(r"[+=*\-][+=*\-/0-9]*$")
_CLOCK = re.compile(r"(\d{1,2}):?(\d\d)\*(?=\w)|(\d{1,2})\*(?=\w)")
_NUMBER = re.compile(r"(\d{1,3})(?:\s+(.*\S))?", re.DOTALL)
_WORDS = re.compile(r"[\s\-']+")
_LONGEST = 200
_MOST_SHOWN = 4


@dataclass(frozen=True, slots=True)
class Teams:
    """Who may be meant: the two teams, each with its line-up.

    Attributes:
        names: home and away team.
        shirts: the line-up of each.
        techniques: names of the ledger's techniques, in its order.
    """

    names: tuple[str, str]
    shirts: tuple[Sequence[Shirt], Sequence[Shirt]]
    techniques: Sequence[str] = ()


@dataclass(frozen=True, slots=True)
class Shooter:
    """Who is meant by what was typed before the signs."""

    side: int
    number: str
    name: str
    is_new: bool = False


@dataclass(slots=True)
class _Said:
    made: list[bool | None] = field(default_factory=list)
    techniques: list[str] = field(default_factory=list)
    fields: dict[str, str] = field(default_factory=dict)


def is_whole(text: str) -> bool:
    """Whether a line ends in signs: a space after it means the away team.

    >>> is_whole("12+-"), is_whole("33 Ilvo"), is_whole("")
    (True, False, False)
    """
    return len(text) <= _LONGEST and _TAIL.search(text) is not None


def read_trip(text: str, teams: Teams, side: int, period: int | None = None) -> Trip:
    """What was typed, as a trip.

    Args:
        text: the line.
        teams: who may be meant.
        side: 0 for the home team, 1 for the away team, where both have whom it names.
        period: of the game.

    Raises:
        UseError: in one line, if it is none.
    """
    if len(text) > _LONGEST:
        raise UseError("that is no trip: it is longer than a line")
    clock, rest = _parted(text)
    tail = _TAIL.search(rest)
    if tail is None:
        raise UseError("a trip is a number (or letters of a name), then + made, - missed: 12+-")
    who = " ".join(rest[: tail.start()].split())
    said = _read_tail(tail[0], teams.techniques)
    shooter = find(who, teams, side)
    trip = Trip(
        player=shooter.name,
        team=teams.names[shooter.side],
        made=tuple(said.made),
        number=shooter.number,
        is_new=shooter.is_new,
        period=period,
        clock=clock,
        techniques=tuple(said.techniques),
        **said.fields,
    )
    trip.check()
    if trip.made[-1] and (trip.rebound_by or trip.ended_by):
        raise UseError("the last shot was made: nothing comes after it")
    return trip


def head_of(text: str) -> str:
    """The number or letters at the start of a line, without clock and signs.

    >>> head_of("538*12+-"), head_of("ta"), head_of("33 Ilvo")
    ('12', 'ta', '')
    """
    _, rest = _parted(text)
    tail = _TAIL.search(rest) if len(rest) <= _LONGEST else None
    who = " ".join((rest[: tail.start()] if tail else rest).split())
    return "" if _NUMBER.fullmatch(who) and " " in who else who


def preview(text: str, teams: Teams) -> str:
    """What a line as it stands would store, or whom it may mean so far."""
    _, rest = _parted(text)
    if not rest.strip():
        return ""
    if not is_whole(rest):
        who = " ".join(rest.split())
        found = candidates(who, teams)
        listed = " or ".join(_shown(s, teams) for s in found[:_MOST_SHOWN])
        more = f" or {len(found) - _MOST_SHOWN} more" if len(found) > _MOST_SHOWN else ""
        return f"{listed}{more}" if found else f"nobody of the line-ups is {who!r}"
    both = [_told(text, teams, side) for side in (0, 1)]
    (who, results), (other, _) = both
    if who != other:
        return f"enter: {who}; space: {other}"
    return f"{who}: {results}" if results else who


def _told(text: str, teams: Teams, side: int) -> tuple[str, str]:
    """Who is meant for that side, and what came of his shots; why not, where it is no trip."""
    try:
        trip = read_trip(text, teams, side)
    except UseError as error:
        what, _, why = error.message.partition(": ")
        return what, why
    return f"{trip.number} {trip.player} ({trip.team})".strip(), trip.results()


def _shown(shooter: Shooter, teams: Teams) -> str:
    return f"{shooter.number} {shooter.name} ({teams.names[shooter.side]})".strip()


def find(who: str, teams: Teams, side: int) -> Shooter:
    """The player a number or letters mean.

    Raises:
        UseError: if nobody or several are meant.
    """
    if not who:
        raise UseError("who shot? type a number, or letters of a name, before the signs")
    typed = _NUMBER.fullmatch(who)
    if typed is not None and typed[2]:
        return _named(typed[1], typed[2], teams, side)
    found = candidates(who, teams)
    if not found:
        if typed is None:
            raise UseError(f"neither team has a {who!r}: a new player is number, space and name")
        raise UseError(f"neither team has number {who}: type it with his name, {who} Ilvo Tarn+-")
    ours = [s for s in found if s.side == side] or found
    if len(ours) > 1:
        names = ", ".join(f"{s.number or '-'} {s.name}" for s in ours[:4])
        raise UseError(f"{who} may be {names}: type the number, or more letters")
    return ours[0]


def candidates(who: str, teams: Teams) -> list[Shooter]:
    """Everybody a number or letters may mean: of both teams, whole names before beginnings."""
    everybody = [
        Shooter(side, shirt.number, shirt.name)
        for side, shirts in enumerate(teams.shirts)
        for shirt in shirts
    ]
    if who.isdigit():
        return [s for s in everybody if s.number == who]
    asked = folded(who)
    whole = [s for s in everybody if folded(s.name) == asked]
    return whole or [s for s in everybody if _begins(asked, s.name)]


def _begins(asked: str, name: str) -> bool:
    """Whether a name, or one of its words, begins so."""
    form = folded(name)
    return form.startswith(asked) or any(w.startswith(asked) for w in _WORDS.split(form))


def _named(number: str, name: str, teams: Teams, side: int) -> Shooter:
    """A player told with number and name: new, or one of the line-up."""
    name = " ".join(name.split())
    known = [s for s in candidates(name, teams) if folded(s.name) == folded(name)]
    here = next((s for s in known if s.side == side), known[0] if known else None)
    if here is not None and here.number == number:
        return here
    if here is not None and here.number:
        raise UseError(
            f"{here.name} of {teams.names[here.side]} has number {here.number}: type that"
        )
    at = here.side if here is not None else side
    other = next((s for s in candidates(number, teams) if s.side == at), None)
    if other is not None:
        raise UseError(f"number {number} of {teams.names[at]} is {other.name}: type another")
    return Shooter(at, number, here.name if here is not None else name, is_new=True)


def _parted(text: str) -> tuple[str, str]:
    """The clock before a `*`, and the rest."""
    clock = _CLOCK.match(text.lstrip())
    if clock is None:
        return "", text
    minutes, seconds = (clock[1], clock[2]) if clock[2] else ("0", clock[3])
    return f"{minutes}:{int(seconds):02d}", text.lstrip()[clock.end() :]


def _read_tail(tail: str, techniques: Sequence[str]) -> _Said:
    said = _Said()
    signs = iter(tail)
    for sign in signs:
        if sign in MARKS:
            if said.fields:
                raise UseError(f"{sign} after the digits of a trip: end each trip with enter")
            said.made.append(MARKS[sign])
        elif sign == "/":
            name = _technique(next(signs, ""), techniques)
            said.techniques += [name] * (len(said.made) - len(said.techniques))
        else:
            name, value, words = CODES.get(sign, ("", "", ""))
            if not name:
                raise UseError(f"{sign} after the signs says nothing: leave it out")
            if name in said.fields or {name, *said.fields} >= {"rebound_by", "ended_by"}:
                raise UseError(f"{sign} ({words}) does not go with the digit before it")
            said.fields[name] = value
    return said


def _technique(digit: str, techniques: Sequence[str]) -> str:
    if not digit.isdigit() or not 1 <= int(digit) <= len(techniques):
        known = ", ".join(f"{n} {name}" for n, name in enumerate(techniques[:9], start=1))
        raise UseError(f"/{digit}: the techniques are {known}")
    return techniques[int(digit) - 1]
