"""Which player, team or league a typed name means, where names are to be joined or told apart.

A name that is several is refused with the choices, each written so that it can be typed back:
`NAME (TEAM)`, `NAME (LEAGUE)`, `NAME (TEAM, LEAGUE)` or, where nothing else tells them apart,
`NAME (player 12)`.
"""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import polars as pl

from ledger.errors import UseError
from ledger.store import frames
from ledger.store.names import did_you_mean, find_league, loose_form, tidy, written_form
from ledger.store.statements import sql

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from duckdb import DuckDBPyConnection

_HINTED = re.compile(r"(.*\S)\s*\(([^()]+)\)")
_MOST = 6


@dataclass(slots=True)
class Facts:
    """What is known of one row: where it played and how often."""

    leagues: list[str] = field(default_factory=list)
    teams: list[str] = field(default_factory=list)
    seasons: list[str] = field(default_factory=list)
    attempts: int = 0

    def words(self) -> str:
        """League, teams, seasons and attempts in one line."""
        parts = [", ".join(self.leagues), ", ".join(self.teams), seasons_of(self.seasons)]
        parts.append(f"{self.attempts:,} attempts" if self.attempts != 1 else "1 attempt")
        return "; ".join(p for p in parts if p)


def seasons_of(labels: list[str]) -> str:
    """Seasons as one figure: the only one, or first to last."""
    return labels[0] if len(labels) == 1 else f"{labels[0]} to {labels[-1]}" if labels else ""


def facts_of(con: DuckDBPyConnection, kind: str, of: dict[int, int]) -> dict[int, Facts]:
    """What is known of rows, put together by what `of` says each row belongs to."""
    wanted = pl.DataFrame({"id": list(of)}, schema={"id": pl.Int32})
    found: dict[int, Facts] = defaultdict(Facts)
    rows = frames.fetch(con, ("commit/same", f"facts_{kind}"), wanted=wanted)
    for number, league, team, season, attempts in rows.iter_rows():
        facts = found[of[number]]
        for have, name in (
            (facts.leagues, league), (facts.teams, team), (facts.seasons, season),
        ):  # fmt: skip
            if name is not None and name not in have:
                have.append(name)
        facts.seasons.sort()
        facts.attempts += int(attempts)
    return dict(found)


class Called:
    """All rows of a kind by every way they are called.

    Args:
        con: a connection.
        kind: player, team or league.
        unit: what a row counts as: names that lead to one unit mean one thing.
        within: only in this league.
    """

    def __init__(
        self,
        con: DuckDBPyConnection,
        kind: str,
        unit: Callable[[int, int], int],
        within: str | None = None,
    ) -> None:
        self._con, self._kind = con, kind
        self._by: dict[str, dict[str, list[tuple[int, int, str, str]]]] = {}
        self._rows = [
            (int(own), unit(int(own), int(one)), str(called), str(name))
            for own, one, called, name in con.execute(
                sql("commit/same", f"called_{kind}")
            ).fetchall()
        ]
        if within is not None and kind != "league":
            league = find_league(con, within).id
            rows = con.execute(sql("commit/same", f"rows_{kind}")).fetchall()
            inside = {int(r[0]) for r in rows if int(r[3]) == league}
            self._rows = [r for r in self._rows if r[0] in inside]

    def one(self, text: str) -> tuple[int, str]:
        """The row a name means, and its name.

        Raises:
            UseError: if it is none or several, with what to type instead.
        """
        found = self._written(text)
        hinted = _HINTED.fullmatch(tidy(text)) if not found else None
        if hinted:
            found = self._hinted(self._written(hinted.group(1)), hinted.group(2))
        if not found:
            self._refuse_none(hinted.group(1) if hinted else text, hinted)
        units = {unit for _, unit, _, _ in found}
        if len(units) > 1:
            self._refuse_several(text, found)
        own, _, _, name = min(found)
        return own, name

    def units(self, text: str) -> set[int]:
        """What a name could mean, by unit."""
        return {unit for _, unit, _, _ in self._written(text)}

    def _written(self, text: str) -> list[tuple[int, int, str, str]]:
        for form in (tidy, written_form, loose_form):
            if form.__name__ not in self._by:
                by: dict[str, list[tuple[int, int, str, str]]] = defaultdict(list)
                for row in self._rows:
                    by[form(row[2])].append(row)
                self._by[form.__name__] = by
            asked = form(text)
            if asked and asked in self._by[form.__name__]:
                return self._by[form.__name__][asked]
        return []

    def _hinted(
        self, found: list[tuple[int, int, str, str]], hint: str
    ) -> list[tuple[int, int, str, str]]:
        facts = facts_of(self._con, self._kind, {own: own for own, _, _, _ in found})
        for part in hint.split(","):
            asked = loose_form(part)
            found = [
                r for r in found
                if asked == f"{self._kind} {r[0]}"
                or asked in {loose_form(n) for n in _all(facts.get(r[0], Facts()))}
            ]  # fmt: skip
        return found

    def _refuse_none(self, text: str, hinted: re.Match[str] | None) -> None:
        if hinted and (found := self._written(text)):
            self._refuse_several(text, found, f" in {hinted.group(2)!r}")
        if not self._rows:
            raise UseError(f"the ledger has no {self._kind}s there yet")
        hint = did_you_mean(text, sorted({called for _, _, called, _ in self._rows}))
        raise UseError(f"the ledger has no {self._kind} {tidy(text)!r}{hint}")

    def _refuse_several(
        self, text: str, found: list[tuple[int, int, str, str]], where: str = ""
    ) -> None:
        units = {own: unit for own, unit, _, _ in found}
        shown = choices(self._con, self._kind, {u: n for _, u, _, n in reversed(found)}, units)
        listed = " or ".join(shown[:_MOST]) + (
            f" or {len(shown) - _MOST} more" * (len(shown) > _MOST)
        )
        many = f"{len(shown)} {self._kind}s" if not where else f"no {self._kind}"
        raise UseError(f"{tidy(text)!r} is {many}{where}: type {listed}")


def choices(
    con: DuckDBPyConnection, kind: str, names: dict[int, str], of: dict[int, int]
) -> list[str]:
    """How each of several can be typed so that it is meant alone, with what is known of it."""
    facts = facts_of(con, kind, of)
    first = {unit: min(own for own, u in of.items() if u == unit) for unit in names}
    typed = typed_names(kind, names, facts, first)
    return [f'"{typed[u]}" [{facts.get(u, Facts()).words()}]' for u in sorted(names)]


def typed_names(
    kind: str, names: dict[int, str], facts: dict[int, Facts], first: dict[int, int]
) -> dict[int, str]:
    """Each of several of one name as it can be typed: with team, league or number behind it.

    Args:
        kind: player, team or league.
        names: the name of each.
        facts: what is known of each.
        first: a row of each, for its number.
    """
    out = {}
    for unit, name in names.items():
        own = facts.get(unit, Facts())
        others = [facts.get(u, Facts()) for u in names if u != unit]
        telling = [t for t in own.teams if all(t not in o.teams for o in others)]
        leagues = [n for n in own.leagues if all(n not in o.leagues for o in others)]
        hint = next(iter([*telling, *leagues]), f"{kind} {first[unit]}")
        out[unit] = f"{name} ({hint})" if others else name
    return out


def _all(facts: Facts) -> Iterable[str]:
    return (*facts.leagues, *facts.teams, *facts.seasons)
