"""What a typed name means in this ledger: without case and accents, or a clear question back.

Accents and case count only where they tell two apart: the name as written wins over its look-alike.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ledger.errors import UseError
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_SEASON = re.compile(r"(\d{4}|\d{2})\s*[-/\u2013]\s*(\d{4}|\d{2})")
_MOST_CHOICES = 6


@dataclass(frozen=True, slots=True)
class Named:
    """One thing of the ledger that has a name.

    Attributes:
        id: its row; of several that are one, the row that stands for them.
        name: as it is shown.
        place: what tells it from others of its name: its league, or the kind of a list.
    """

    id: int
    name: str
    place: str = ""

    def words(self) -> str:
        """Name and place."""
        return f"{self.name} ({self.place})" if self.place else self.name


@dataclass(frozen=True, slots=True)
class _Called:
    named: Named
    called: str
    league_id: int = 0


def tidy(text: str) -> str:
    """A typed name: NFC, runs of blanks to one, no invisible letters."""
    kept = (c for c in unicodedata.normalize("NFC", text) if unicodedata.category(c) != "Cf")
    return " ".join("".join(kept).split())


def written_form(text: str) -> str:
    """The form in which a name is the same name: tidied, capitals ignored, accents kept."""
    return unicodedata.normalize("NFC", tidy(text).casefold())


def loose_form(text: str) -> str:
    """The form for finding only: without case, accents and differences of width."""
    split = unicodedata.normalize("NFKD", tidy(text).casefold())
    bare = "".join(c for c in split if not unicodedata.combining(c))
    return unicodedata.normalize("NFC", bare.casefold())


def find_league(con: DuckDBPyConnection, text: str) -> Named:
    """The league of that name.

    Raises:
        UseError: if none or several are meant; names the nearest.
    """
    return _one("league", text, _called(con, "leagues"))


def find_season(con: DuckDBPyConnection, text: str) -> Named:
    """The season of that label: 2023-24, 2023/24, 2023-2024, 23-24 and 2023 all find 2023-24.

    Raises:
        UseError: if none or several are meant.
    """
    rows = con.execute(sql("names", "seasons")).fetchall()
    called = [_Called(Named(int(i), n), c) for i, n, c, _, _ in rows]
    exact = [c for c in called if loose_form(c.called) == loose_form(text)]
    year = start_year(text)
    if not exact and year is not None:
        called_so = [Named(int(r[0]), str(r[1])) for r in rows if int(r[4]) == year]
        if len(called_so) == 1:
            return called_so[0]
    return _one("season", text, called)


def find_team(con: DuckDBPyConnection, text: str, league: str | int | None = None) -> Named:
    """The team of that name, in a league if one is given (by name or id).

    Raises:
        UseError: if none or several are meant.
    """
    return _one("team", text, _within(con, _called(con, "teams"), league))


def find_player(con: DuckDBPyConnection, text: str, league: str | int | None = None) -> Named:
    """The player of that name, in a league if one is given (by name or id).

    Returns:
        The person: its id is the `person_id` of the view `live_attempt`.

    Raises:
        UseError: if none or several are meant; several are listed with league and team.
    """
    return find_players(con, [text], league)[0]


def find_players(
    con: DuckDBPyConnection, texts: Iterable[str], league: str | int | None = None
) -> list[Named]:
    """The players of these names, each as `find_player` finds it.

    Raises:
        UseError: for the first that is not one player.
    """
    called = _within(con, _called(con, "players"), league)
    return [_one("player", text, called, con) for text in texts]


def find_technique(con: DuckDBPyConnection, text: str) -> Named:
    """The technique of that name.

    Raises:
        UseError: if there is none.
    """
    return _one("technique", text, _called(con, "techniques"))


def find_list(con: DuckDBPyConnection, text: str) -> Named:
    """The shortlist or lot of that name; `place` says which of the two it is.

    Raises:
        UseError: if there is none.
    """
    return _one("list", text, _called(con, "lists"))


def start_year(text: str) -> int | None:
    """The year a season begins in, from its label: 2023-24, 23/24 and 2023 give 2023."""
    plain = tidy(text)
    if re.fullmatch(r"\d{4}", plain, re.ASCII):
        return int(plain)
    matched = re.fullmatch(_SEASON, plain)
    if not matched or not plain.replace("\u2013", "").isascii():
        return None
    first, second = matched.groups()
    year = int(first) + (2000 if int(first) < 70 else 1900) if len(first) == 2 else int(first)
    follows = int(second) in (year + 1, (year + 1) % 100)
    return year if follows else None


def did_you_mean(text: str, names: Sequence[str]) -> str:
    """The end of a message: the nearest names, or all of a few, or nothing."""
    forms: dict[str, str] = {}
    for name in names:
        forms.setdefault(loose_form(name), name)
    asked = loose_form(text)
    near = difflib.get_close_matches(asked, list(forms), n=3, cutoff=0.6)
    words = set(asked.split())
    near += [f for f in forms if f not in near and words & set(f.split())]
    if near:
        return f": did you mean {_listed([forms[f] for f in near[:3]])}?"
    if 0 < len(forms) <= _MOST_CHOICES:
        return f": there is {_listed(list(forms.values()), 'and')}"
    return ""


def _called(con: DuckDBPyConnection, which: str) -> list[_Called]:
    return [
        _Called(Named(int(row[0]), str(row[1]), str(row[3])), str(row[2]), *map(int, row[4:5]))
        for row in con.execute(sql("names", which)).fetchall()
    ]


def _within(
    con: DuckDBPyConnection, called: list[_Called], league: str | int | None
) -> list[_Called]:
    if league is None:
        return called
    wanted = league if isinstance(league, int) else find_league(con, league).id
    return [c for c in called if c.league_id == wanted]


def _one(
    kind: str, text: str, called: list[_Called], con: DuckDBPyConnection | None = None
) -> Named:
    for form in (tidy, written_form, loose_form):
        asked = form(text)
        found = {c.named.id: c.named for c in called if form(c.called) == asked} if asked else {}
        if len(found) == 1:
            return next(iter(found.values()))
        if found:
            raise UseError(f"{text!r} is {len(found)} {kind}s: {_choices(found, kind, con)}")
    hint = did_you_mean(text, [c.called for c in called])
    if not called:
        hint = f": it has no {kind}s yet" if kind != "player" else ": it has no players there yet"
    raise UseError(f"the ledger has no {kind} {text!r}{hint}")


def _choices(found: dict[int, Named], kind: str, con: DuckDBPyConnection | None) -> str:
    named = list(found.values())
    if con is not None and len({n.words() for n in named}) < len(named):
        rows = con.execute(sql("names", "teams_of_players"), {"ids": list(found)}).fetchall()
        teams = {int(i): str(t) for i, t in rows}
        words = [f"{n.name} ({n.place}, {teams.get(n.id, 'no attempts')})" for n in named]
        return f"{_listed(words[:_MOST_CHOICES])}; say which with --team"
    words = [n.words() for n in named]
    say = "; say which with --league" if kind in ("player", "team") else ""
    return _listed(words[:_MOST_CHOICES]) + say


def _listed(values: Sequence[str], last: str = "or") -> str:
    if len(values) < 2:
        return "".join(values)
    return f"{', '.join(values[:-1])} {last} {values[-1]}"
