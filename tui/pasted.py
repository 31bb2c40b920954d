"""What a pasted text may be: players of a line-up, trips, or rows of a CSV."""

from __future__ import annotations

import re
from dataclasses import dataclass

from tui.trip_line import is_whole

# Nobody has more players, or types more trips of one game; common practice, no source.
MOST_PLAYERS = 60
MOST_TRIPS = 300
LOOKED_AT = 2 * MOST_TRIPS
_LINE = 300
_SHIRT = re.compile(r"\s*#?(\d{1,3})?[\s.,;:)\t-]*([^\d\W].*\S|[^\d\W])\s*")
_HEADER = re.compile(r"[\s\"']*[A-Za-z_ ]+[\"']*\s*[,;\t|]")


@dataclass(frozen=True, slots=True)
class Pasted:
    """A pasted text, looked through once.

    Attributes:
        text: all of it.
        lines: how many lines it has.
        first: the first of them that is not blank.
        shirts: number and name of each line that may be a player; none of more lines than a team.
        trips: the lines that end as a trip does; none of more lines than a game has.
        is_csv: its first line may be a header of columns.
    """

    text: str
    lines: int
    first: str
    shirts: tuple[tuple[str, str], ...]
    trips: tuple[str, ...]
    is_csv: bool


def look_through(text: str) -> Pasted:
    r"""What a pasted text may be.

    >>> look_through("12 Ilvo Tarn\n#4, Bram Oselo\n").shirts
    (('12', 'Ilvo Tarn'), ('4', 'Bram Oselo'))
    >>> look_through("12+-\n4++\n").trips
    ('12+-', '4++')
    >>> look_through("league,season,player,made\nHalma League,2024-25,Ilvo Tarn,yes").is_csv
    True
    """
    # A long text is a file: its lines are not looked at one by one.
    many = text.count("\n") + (not text.endswith("\n"))
    lines = [line for line in text.splitlines() if line.strip()] if many <= LOOKED_AT else []
    first = next(iter(lines), text[:_LINE].partition("\n")[0])
    is_csv = many > 1 and _HEADER.match(first[:_LINE]) is not None
    trips = [line.strip() for line in lines if is_whole(line.strip())]
    shirts = [] if is_csv else [s for s in map(shirt_of, lines) if s is not None]
    return Pasted(
        text,
        len(lines) or many,
        first,
        tuple(shirts) if len(shirts) <= MOST_PLAYERS else (),
        tuple(trips) if len(trips) <= MOST_TRIPS else (),
        is_csv,
    )


def shirt_of(line: str) -> tuple[str, str] | None:
    """Number (or nothing) and name of a line of a line-up; none where it is no such line."""
    if len(line) > _LINE or is_whole(line.strip()):
        return None
    found = _SHIRT.fullmatch(line)
    return (found[1] or "", " ".join(found[2].split())) if found is not None else None
