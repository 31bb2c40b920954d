"""Date, season and round out of a file's name."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

from ledger.intake import seasons

_ISO = re.compile(r"(?<!\d)((?:19|20)\d\d)([-_. ]?)(0[1-9]|1[0-2])\2(0[1-9]|[12]\d|3[01])(?!\d)")
_OTHER = re.compile(r"(?<!\d)(\d{1,2})([-_. ])(\d{1,2})\2((?:19|20)?\d\d)(?!\d)")
_SEASON = re.compile(r"(?<!\d)((?:19|20)\d\d[-–_/ ](?:(?:19|20)?\d\d))(?!\d|[-_.]\d)")
_ROUND = re.compile(
    r"(?i)(?<![a-z])((?:round|rd|week|game|match|matchday|md|spieltag|jornada|journee|giornata|"
    r"kolo|runde|no|nr)[ _.#-]*\d+)"
)


@dataclass(frozen=True, slots=True)
class Named:
    """What a file's name holds.

    Attributes:
        date: a day that reads one way only, as a pattern's group.
        doubtful: a day whose order the name does not settle.
        season: a season of two years, as written in a pattern's group.
        season_as: the same as the ledger writes it, where the name writes it otherwise.
        game: a round or game number.
        pattern: a regular expression with the groups of what was found.
    """

    date: str | None
    doubtful: str | None
    season: str | None
    season_as: str | None
    game: str | None
    pattern: str


def look(file: str) -> Named:
    r"""Look at a file's name.

    >>> look("U16 2017-07-09.json").pattern
    '(?P<date>\\d{4}-\\d{2}-\\d{2})'
    >>> look("halma 2023-24.csv").season
    '2023-24'
    """
    found: list[tuple[int, int, str]] = []
    date = doubtful = season = season_as = game = None
    day = _day(file)
    if day is not None:
        date = day[0]
        found.append((day[1], day[2], f"(?P<date>{_shape(date)})"))
    else:
        other = _OTHER.search(file)
        if other is not None:
            doubtful = other[0]
            found.append((other.start(), other.end(), f"(?P<date>{_shape(other[0])})"))
    match = _SEASON.search(file)
    if match is not None and not _within(match, found):
        read = seasons.season_of(re.sub(r"[_ ]", "-", match[1]))
        if read is not None:
            season = match[1]
            found.append((match.start(1), match.end(1), f"(?P<season>{_shape(season)})"))
            if seasons.season_of(season) is None:
                season_as, found = read[0], found[:-1]
    match = _ROUND.search(file)
    if match is not None and not _within(match, found):
        game = match[1]
        word = re.match(r"\D*", game)
        shape = re.escape(word[0] if word else "").replace("\\ ", " ") + r"\d+"
        found.append((match.start(1), match.end(1), f"(?P<game>{shape})"))
    return Named(date, doubtful, season, season_as, game, _joined(file, found))


def _day(file: str) -> tuple[str, int, int] | None:
    for match in _ISO.finditer(file):
        try:
            dt.date(int(match[1]), int(match[3]), int(match[4]))
        except ValueError:
            continue
        return match[0], match.start(), match.end()
    return None


def _within(match: re.Match[str], found: list[tuple[int, int, str]]) -> bool:
    return any(match.start() < end and start < match.end() for start, end, _ in found)


def _shape(text: str) -> str:
    """Digits as their number, the rest as written."""
    parts = re.findall(r"\d+|\D+", text)
    return "".join(
        rf"\d{{{len(p)}}}"
        if p.isdecimal()
        else re.escape(p).replace("\\-", "-").replace("\\ ", " ")
        for p in parts
    )


def _joined(file: str, found: list[tuple[int, int, str]]) -> str:
    """The groups in the order of the name, what stands between two as it is or as anything."""
    pattern, last = "", 0
    for start, end, group in sorted(found):
        if pattern:
            between = file[last:start]
            plain = not re.search(r"\w", between)
            pattern += (
                re.escape(between).replace("\\ ", " ").replace("\\-", "-") if plain else ".*?"
            )
        pattern += group
        last = end
    return pattern
