"""Names that may be one: listed with what speaks for it, joined only by a person.

The reasons are looked for name by name, not attempt by attempt: within a league the ways one name
is written, one id of a file under two names, and a player who is only a shirt number beside the one
who wears it; between leagues the same name. A pair that stands in one game of one file is two
players, and one that a person has told apart is not offered again. Names of teams are offered
where totals and games part them (`doubled`), for there they make figures wrong.
"""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import asdict, dataclass
from itertools import combinations
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.store import declared, doubled, frames, lookalikes
from ledger.store.chosen import Called, Facts, facts_of, seasons_of, typed_names
from ledger.store.marks import plain_number
from ledger.store.statements import sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

REASONS = {
    "totals": "two teams: the totals know only the one, the games only the other",
    "id": "one id of the files under two names",
    **lookalikes.REASONS,
    "number": "one is only a number: the same team and number",
    "league": "the same name in two leagues",
    "ids": "one name with several ids of the files",
}
_PLACE = {reason: place for place, reason in enumerate(REASONS)}
_NUMBER = re.compile(r"#?\s*\d{1,3}")


@dataclass(frozen=True, slots=True)
class Side:
    """One name of an offer.

    Attributes:
        name: as it can be typed for `offglass same`.
        leagues: where it played.
        teams: for whom.
        seasons: when.
        numbers: shirt numbers that files gave.
        ids: ids that files gave.
        attempts: how many attempts, with those of season totals.
    """

    name: str
    leagues: tuple[str, ...]
    teams: tuple[str, ...]
    seasons: tuple[str, ...]
    numbers: tuple[str, ...]
    ids: tuple[str, ...]
    attempts: int

    def words(self) -> str:
        """The name and what is known of it."""
        parts = [", ".join(self.leagues), ", ".join(self.teams), seasons_of(list(self.seasons))]
        if self.numbers:
            parts.append("number " + ", ".join(self.numbers))
        if self.ids:
            parts.append("id " + ", ".join(self.ids))
        parts.append(f"{self.attempts:,} attempts" if self.attempts != 1 else "1 attempt")
        return f"{self.name} ({'; '.join(p for p in parts if p)})"


@dataclass(frozen=True, slots=True)
class Offer:
    """Two names that may be one; or, for the reason `ids`, one player who may be two.

    Attributes:
        reason: a key of `REASONS`.
        why: the reason in words.
        one: the name with more attempts.
        other: the other name; nothing for `ids`.
        kind: player or team.
    """

    reason: str
    why: str
    one: Side
    other: Side | None
    kind: str = "player"

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return asdict(self)


def offers(con: DuckDBPyConnection) -> list[Offer]:
    """Every open offer of a ledger, the strongest reasons first.

    Args:
        con: any connection of the ledger.
    """
    return [*_teams(con), *_Search(con).offers()]


def _teams(con: DuckDBPyConnection) -> list[Offer]:
    """Pairs of teams that totals and games part."""
    return [
        Offer(
            reason="totals",
            why=pair.why(),
            one=_team(pair.game_team, pair.game_facts, pair.game_facts.attempts),
            other=_team(pair.total_team, pair.total_facts, pair.attempts, pair.seasons),
            kind="team",
        )
        for pair in doubled.pairs(con, doubled.rows(con))
    ]


def _team(name: str, facts: Facts, attempts: int, seasons: tuple[str, ...] = ()) -> Side:
    return Side(name, tuple(facts.leagues), (), seasons or tuple(facts.seasons), (), (), attempts)


class _Search:
    """Everything the offers are made of, read once."""

    def __init__(self, con: DuckDBPyConnection) -> None:
        self._con = con
        self._pieces = declared.Pieces(con, "player")
        live = {int(r[0]) for r in con.execute(sql("commit/same", "live_players")).fetchall()}
        self._live = {p for n, p in self._pieces.of.items() if n in live}
        named = con.execute(sql("commit/same", "called_player")).fetchall()
        self._name = {int(own): str(name) for own, _, _, name in named}
        self._ids: dict[int, list[str]] = defaultdict(list)
        self._by_id: dict[tuple[int, str], set[int]] = defaultdict(set)
        for own, league, file_id in con.execute(sql("commit/same", "ids")).fetchall():
            piece = self._pieces.of[int(own)]
            if file_id not in self._ids[piece]:
                self._ids[piece].append(str(file_id))
            self._by_id[int(league), str(file_id)].add(piece)
        self._worn: dict[tuple[int, str], set[int]] = defaultdict(set)
        self._numbers: dict[int, list[str]] = defaultdict(list)
        for own, team, number in con.execute(sql("commit/same", "numbers")).fetchall():
            piece = self._pieces.of[int(own)]
            self._worn[int(team), str(number)].add(piece)
            if number not in self._numbers[piece]:
                self._numbers[piece].append(str(number))

    def offers(self) -> list[Offer]:
        """The pairs, then names with several ids."""
        found: dict[tuple[int, int], str] = {}
        for reason, pairs in (
            ("id", self._one_id()),
            *self._written(),
            ("number", self._only_numbers()),
            ("league", self._two_leagues()),
        ):
            for a, b in pairs:
                pair = (min(a, b), max(a, b))
                if self._one(a) != self._one(b) and self._live.issuperset(pair):
                    found.setdefault(pair, reason)
        told = declared.said_apart(self._con, "player")
        found = {pair: why for pair, why in found.items() if frozenset(pair) not in told}
        for pair in self._met(found):
            if found[pair] != "id":
                del found[pair]
        alone = [p for p in self._several_ids() if p in self._live]
        return self._put(found, alone)

    def _one(self, piece: int) -> int:
        return self._pieces.rows[piece].one

    def _one_id(self) -> list[tuple[int, int]]:
        return [pair for own in self._by_id.values() for pair in combinations(sorted(own), 2)]

    def _written(self) -> list[tuple[str, list[tuple[int, int]]]]:
        leagues: dict[int, dict[str, list[int]]] = defaultdict(lambda: defaultdict(list))
        for piece in self._live:
            for form in self._pieces.forms[piece]:
                leagues[self._pieces.rows[piece].league][form].append(piece)
        found: dict[str, list[tuple[int, int]]] = defaultdict(list)
        for by_form in leagues.values():
            if len(by_form) > lookalikes.NAMES_MOST:
                continue
            for a, b, reason in lookalikes.pairs(by_form):
                found[reason] += [(x, y) for x in by_form[a] for y in by_form[b]]
        return sorted(found.items(), key=lambda item: _PLACE[item[0]])

    def _only_numbers(self) -> list[tuple[int, int]]:
        nameless = {p for p in self._live if _NUMBER.fullmatch(self._name[p])}
        if not nameless:
            return []
        rows = [n for n, p in self._pieces.of.items() if p in nameless]
        wanted = pl.DataFrame({"id": rows}, schema={"id": pl.Int32})
        found = []
        for own, team in frames.fetch(
            self._con, ("commit/same", "teams_of"), wanted=wanted
        ).iter_rows():
            piece = self._pieces.of[own]
            number = plain_number(self._name[piece])
            found += [(piece, p) for p in sorted(self._worn[team, number]) if p != piece]
        return found

    def _two_leagues(self) -> list[tuple[int, int]]:
        by_form: dict[str, set[int]] = defaultdict(set)
        for piece in self._live:
            for form in self._pieces.forms[piece]:
                if len(form.split()) > 1:
                    by_form[form].add(piece)
        league = {p: self._pieces.rows[p].league for p in self._live}
        return [
            (a, b)
            for own in by_form.values()
            for a, b in combinations(sorted(own), 2)
            if league[a] != league[b]
        ]

    def _several_ids(self) -> list[int]:
        held: dict[tuple[int, int], set[str]] = defaultdict(set)
        for (league, file_id), own in self._by_id.items():
            for piece in own:
                held[league, piece].add(file_id)
        return sorted({piece for (_, piece), ids in held.items() if len(ids) > 1})

    def _met(self, found: dict[tuple[int, int], str]) -> list[tuple[int, int]]:
        if not found:
            return []
        pairs = {"a": [a for a, _ in found], "b": [b for _, b in found]}
        pair = pl.DataFrame(pairs, schema={"a": pl.Int32, "b": pl.Int32})
        wanted = self._rows_of({p for both in found for p in both})
        met = frames.fetch(self._con, ("commit/same", "met"), pair=pair, wanted=wanted)
        return [(int(a), int(b)) for a, b in met.iter_rows()]

    def _rows_of(self, pieces: set[int]) -> pl.DataFrame:
        rows = [(n, p) for n, p in self._pieces.of.items() if p in pieces]
        return pl.DataFrame(rows, schema={"id": pl.Int32, "piece": pl.Int32}, orient="row")

    def _put(self, found: dict[tuple[int, int], str], alone: list[int]) -> list[Offer]:
        shown = {p for both in found for p in both} | set(alone)
        namesakes = self._namesakes(shown)
        known = shown.union(*namesakes.values())
        of = {n: p for n, p in self._pieces.of.items() if p in known}
        facts = facts_of(self._con, "player", of)
        side = {}
        for piece in shown:
            names = {p: self._name[p] for p in sorted(namesakes[piece])}
            typed = typed_names("player", names, facts, dict(zip(names, names, strict=True)))
            side[piece] = self._side(piece, typed[piece], facts.get(piece, Facts()))
        out = []
        for (a, b), reason in found.items():
            one, other = sorted((side[a], side[b]), key=lambda s: (-s.attempts, s.name))
            out.append(Offer(reason, REASONS[reason], one, other))
        out += [Offer("ids", REASONS["ids"], side[p], None) for p in alone]
        out.sort(key=lambda o: (_PLACE[o.reason], -o.one.attempts, o.one.name, str(o.other)))
        return out

    def _namesakes(self, shown: set[int]) -> dict[int, set[int]]:
        """Everybody whom the name of each could mean, itself among them."""
        called = Called(self._con, "player", lambda own, _: self._pieces.of[own])
        return {piece: called.units(self._name[piece]) | {piece} for piece in shown}

    def _side(self, piece: int, name: str, facts: Facts) -> Side:
        return Side(
            name=name,
            leagues=tuple(facts.leagues),
            teams=tuple(facts.teams),
            seasons=tuple(facts.seasons),
            numbers=tuple(self._numbers[piece]),
            ids=tuple(self._ids[piece]),
            attempts=facts.attempts,
        )
