"""From what people said of names to `same_as`: which row stands for which.

Nothing is written down but the statements themselves (journal lines `same` and `apart` of live
sources). What each row stands for is worked out from all of them anew, so that any of them can be
taken back in any order. A player, team or league is told by *pieces*: a row and its spellings that
are the same name by themselves; statements join pieces. Where two leagues were joined, their teams
and players of one name are joined with them.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

import polars as pl

from ledger.store import frames
from ledger.store.statements import for_table, sql

if TYPE_CHECKING:
    from collections.abc import Iterable

    from duckdb import DuckDBPyConnection

KINDS = ("league", "team", "player")
Days = dict[int, tuple[date, date]]


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a player, team or league: what it stands for, and the leagues it is of."""

    id: int
    same_as: int | None
    own_league: int
    league: int

    @property
    def one(self) -> int:
        """The row that stands for all."""
        return self.id if self.same_as is None else self.same_as


class Pieces:
    """The rows of one kind in their pieces.

    Attributes:
        rows: every row by its id.
        of: the piece of each row, named by its first row.
        forms: the forms each piece is written in.
    """

    def __init__(self, con: DuckDBPyConnection, kind: str) -> None:
        found = con.execute(sql("commit/same", f"rows_{kind}")).fetchall()
        self.rows = {int(r[0]): Row(*r) for r in found}
        self.forms: dict[int, set[str]] = defaultdict(set)
        written: dict[int, set[str]] = defaultdict(set)
        for number, form in con.execute(sql("commit/same", f"forms_{kind}")).fetchall():
            written[int(number)].add(str(form))
        subjects = {
            int(r[0])
            for r in con.execute(sql("commit/same", "subjects"), {"kind": kind}).fetchall()
        }
        self.of = self._parted(written, subjects)
        for number, piece in self.of.items():
            self.forms[piece] |= written[number]

    def _parted(self, written: dict[int, set[str]], subjects: set[int]) -> dict[int, int]:
        first: dict[tuple[int, int, str], int] = {}
        ranked = sorted(self.rows.values(), key=lambda r: (r.id not in subjects, r.id))
        for row in ranked:
            for form in written[row.id]:
                first.setdefault((row.one, row.own_league, form), row.id)
        of = {}
        for row in self.rows.values():
            if row.same_as is None or row.id in subjects:
                of[row.id] = row.id
                continue
            keys = [(row.one, row.own_league, form) for form in written[row.id]]
            anchor = min(first[key] for key in keys) if keys else row.id
            at_home = row.own_league == self.rows[row.one].own_league
            of[row.id] = row.one if anchor == row.id and at_home else anchor
        # An anchor may itself be anchored: two steps reach its end.
        return {number: of[of[piece]] for number, piece in of.items()}


def settle(con: DuckDBPyConnection, kind: str) -> list[int]:
    """Set `same_as` of all rows of a kind to what live statements say.

    Returns:
        Every row that was or is one with a row that changed.
    """
    pieces = Pieces(con, kind)
    edges, firsts, apart = _said(con, kind)
    known = set(pieces.rows)
    edges = [e for e in edges if known.issuperset(e)]
    edges += [e for e in _implied(con, kind, pieces) if frozenset(e) not in apart]
    group = _groups(set(pieces.of.values()), edges)
    chosen = _chosen(pieces, group, firsts)
    changed, touched = [], set()
    ones = {number: chosen[group[piece]] for number, piece in pieces.of.items()}
    for row in pieces.rows.values():
        new = None if ones[row.id] == row.id else ones[row.id]
        if new != row.same_as:
            changed.append((row.id, new))
            touched |= {row.one, ones[row.id]}
    if changed:
        shape = {"id": pl.Int32, "same_as": pl.Int32}
        rows = pl.DataFrame(changed, schema=shape, orient="row")
        frames.run_text(con, for_table(sql("commit/same", "put_same_as"), kind), incoming=rows)
    return [r.id for r in pieces.rows.values() if r.one in touched or ones[r.id] in touched]


def said_apart(con: DuckDBPyConnection, kind: str) -> set[frozenset[int]]:
    """The pairs of rows that live statements say are two."""
    return _said(con, kind)[2]


def _said(
    con: DuckDBPyConnection, kind: str
) -> tuple[list[tuple[int, int]], dict[int, int], set[frozenset[int]]]:
    """Pairs said to be one, when each row was last named first, and pairs said to be two."""
    edges: list[tuple[int, int]] = []
    firsts: dict[int, int] = {}
    apart: set[frozenset[int]] = set()
    lines = con.execute(sql("commit/same", "statements"), {"kind": kind}).fetchall()
    for place, (_, action, first, other) in enumerate(lines):
        if action == "same":
            edges.append((int(first), int(other)))
            firsts[int(first)] = place
            apart.discard(frozenset((int(first), int(other))))
        elif first != other:
            edges = _without(edges, int(first), int(other))
            apart.add(frozenset((int(first), int(other))))
    return edges, firsts, apart


def _without(edges: list[tuple[int, int]], first: int, other: int) -> list[tuple[int, int]]:
    """The pairs without a row that is joined with `first`; its neighbours stay one."""
    nodes = {n for e in edges for n in e} | {first, other}
    group = _groups(nodes, edges)
    if group[first] != group[other]:
        return edges
    near = [a if b == other else b for a, b in edges if other in (a, b)]
    rest = [e for e in edges if other not in e]
    return rest + [(a, b) for a, b in pairwise(dict.fromkeys(near)) if a != b]


def _groups(nodes: Iterable[int], edges: Iterable[tuple[int, int]]) -> dict[int, int]:
    """Each node with the least node of its group."""
    parent = {n: n for n in nodes}

    def top(n: int) -> int:
        while parent[n] != n:
            parent[n] = parent[parent[n]]
            n = parent[n]
        return n

    for a, b in edges:
        if a in parent and b in parent:
            low, high = sorted((top(a), top(b)))
            parent[high] = low
    return {n: top(n) for n in parent}


def _chosen(pieces: Pieces, group: dict[int, int], firsts: dict[int, int]) -> dict[int, int]:
    """The row that stands for each group: the first named last, else the one that stood there."""
    members: dict[int, list[int]] = defaultdict(list)
    for piece, number in group.items():
        members[number].append(piece)
    chosen = {}
    for number, own in members.items():
        said = [p for p in own if p in firsts] if len(own) > 1 else []
        if said:
            chosen[number] = max(said, key=lambda p: firsts[p])
            continue
        rows = [pieces.rows[p] for p in own]
        at_home = [r for r in rows if r.own_league == r.league] or rows
        chosen[number] = min((r.same_as is not None, r.id) for r in at_home)[1]
    return chosen


def _implied(con: DuckDBPyConnection, kind: str, pieces: Pieces) -> list[tuple[int, int]]:
    """Teams and players of one name in leagues that are one."""
    if kind == "league":
        return []
    by_form: dict[tuple[int, str], set[int]] = defaultdict(set)
    for number, piece in pieces.of.items():
        row = pieces.rows[number]
        if number == piece:
            for form in pieces.forms[piece]:
                by_form[row.league, form].add(piece)
    pairs = {
        pair
        for own in by_form.values()
        if len(own) > 1
        for pair in combinations(sorted(own), 2)
        if pieces.rows[pair[0]].own_league != pieces.rows[pair[1]].own_league
    }
    if kind == "team" or not pairs:
        return sorted(pairs)
    return _one_player(con, pieces, sorted(pairs))


def _one_player(
    con: DuckDBPyConnection, pieces: Pieces, pairs: list[tuple[int, int]]
) -> list[tuple[int, int]]:
    """Of players of one name in leagues that are one, those whose days do not speak against it."""
    wanted = {p for pair in pairs for p in pair}
    ids = [number for number, piece in pieces.of.items() if piece in wanted]
    frame = pl.DataFrame({"id": ids}, schema={"id": pl.Int32})
    days: dict[int, Days] = defaultdict(dict)
    for player, team, first, last in frames.fetch(
        con, ("commit/same", "days"), wanted=frame
    ).iter_rows():
        own = days[pieces.of[player]]
        have = own.get(team, (first, last))
        own[team] = (min(first, have[0]), max(last, have[1]))
    found = []
    for a, b in pairs:
        teams = {t: v for t, v in days[b].items() if t not in days[a]} | days[a]
        spans = sorted(teams.values())
        apart = any(y[0] <= x[1] for x, y in pairwise(spans))
        if not apart or set(days[a]) & set(days[b]):
            found.append((a, b))
    return found
