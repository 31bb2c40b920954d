"""An attempt to watch in words: who, what became of it, when, and where on the film."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from ledger.errors import UseError
from ledger.questions.wording import clock, count, film_place

if TYPE_CHECKING:
    from ledger.store.reads.film import ToWatch
    from tui.reel import Reel

_FILM_TIME = re.compile(r"(?:(\d{1,3}):)?(\d{1,3}):(\d{2}(?:\.\d+)?)|(\d+(?:\.\d+)?)")
_SHOTS = {"two": "two", "three": "three"}


def film_seconds(text: str) -> str:
    """A place on the film as it is typed, in seconds.

    >>> film_seconds("12:34"), film_seconds("1:02:34.5"), film_seconds("754")
    ('754', '3754.5', '754')

    Raises:
        UseError: if it is none.
    """
    found = _FILM_TIME.fullmatch(text.strip())
    if found is None:
        raise UseError(f"a place on the film is typed 12:34 or 1:02:34, not {text.strip()!r}")
    hours, minutes, seconds, plain = found.groups()
    if plain is not None:
        return plain
    total = int(hours or 0) * 3600 + int(minutes) * 60 + float(seconds)
    return f"{total:g}" if total < 1e5 else f"{total:.1f}"


def trip_words(attempt: ToWatch, *, brief: bool = False) -> str:
    """Which throw of its visit, and whether its rebound was contested."""
    shot = _SHOTS.get(attempt.shot, "")
    if attempt.trip_shot is not None and attempt.trip_of is not None:
        shot = f"{attempt.trip_shot} of {attempt.trip_of}"
    kind = attempt.trip_kind
    if kind == "one_and_one":
        shot = f"{shot or ''} one-and-one".strip()
    elif kind in ("technical", "flagrant"):
        shot = f"{shot}, {kind}" if shot else kind
    live = ""
    if not attempt.made:
        live = {True: "live", False: "dead", None: ""}[attempt.live]
        live += " miss" if live and not brief else ""
    return ", ".join(part for part in (shot, live) if part)


def when_words(attempt: ToWatch, *, brief: bool = False) -> str:
    """Period and clock, as far as they are known."""
    period = "" if attempt.period is None else f"{'P' if brief else 'period '}{attempt.period}"
    if attempt.clock_s is None:
        return period or "no time recorded"
    part = " " if brief else ", "
    return f"{period}{part}{clock(attempt.clock_s)} left".removeprefix(part)


def facts_of(attempt: ToWatch, on_film: float | None, *, brief: bool = False) -> tuple[str, ...]:
    """The lines that tell a person what to look for, the first the most important.

    Args:
        attempt: the attempt.
        on_film: about where on the film it is, in seconds.
        brief: for a narrow window.
    """
    number = f"{attempt.number}  " if attempt.number else ""
    result = "● made" if attempt.made else "✗ missed"
    what = ", ".join(p for p in (result, trip_words(attempt, brief=brief)) if p)
    place = f"about {film_place(on_film)}" if on_film is not None else ""
    where = attempt.video or "no film named"
    sides = f"{attempt.home} - {attempt.away}" if attempt.home and attempt.away else ""
    # Many a game is called by its two teams.
    told = all(team and team in attempt.game for team in (attempt.home, attempt.away))
    game = [attempt.game, "" if told or brief else sides, str(attempt.date)]
    if not brief:
        game.append(f"{attempt.league} {attempt.season}")
    film = f"film: {where}" + (f", {place}" if place else "")
    # In a narrow window the end of a long address is lost, not the place.
    if brief and place:
        film = f"film {place}: {where}"
    return (
        f"{number}{attempt.player}, {attempt.team}",
        f"{what}; {when_words(attempt, brief=brief)}",
        ", ".join(part for part in game if part),
        film,
    )


def place_words(reel: Reel, *, brief: bool = False) -> str:
    """Which queue, which of how many, and how many were done today."""
    here = f"{count(min(reel.place, reel.total))} of {count(reel.total)}"
    if brief:
        return f"{here}, {count(reel.today)} today; {reel.film.words}"
    return f"{reel.film.words}: {here}, {count(reel.today)} done today"
