"""Several names that are one player, team or league, by a person's word, and the way back.

What is said becomes a source. Attempts that came under two names for the same game are then laid
over one another anew, exactly as if both files had written one name, so that none counts twice;
where the two differ, the first that came in holds and the other is said to contradict.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from ledger.errors import UseError
from ledger.store import changes, declared, frames, joined, journal, totals
from ledger.store.chosen import Called
from ledger.store.rederive import rederive_games

if TYPE_CHECKING:
    from collections.abc import Sequence

    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand

SOURCE = "same"
# Sources that may hold statements: a merge brings those of the other ledger.
_SAYING = (SOURCE, "merge")
_GAME = {"game_id": pl.Int32}
_ID = {"id": pl.Int32}


@dataclass(frozen=True, slots=True)
class Joined:
    """What joining names, or telling them apart, came to.

    Attributes:
        source_id: the source that holds it.
        text: what was done, in words.
        notes: what the person should look at.
    """

    source_id: int
    text: str
    notes: tuple[str, ...] = ()

    def words(self) -> str:
        """One paragraph for the person who asked."""
        back = f"to take it back: offglass undo {self.source_id}"
        return "; ".join([self.text, *self.notes, back])


def same(
    con: DuckDBPyConnection,
    hand: Hand,
    names: Sequence[str],
    *,
    kind: str = "player",
    within: str | None = None,
) -> Joined:
    """Say that several names are one; the first is the one shown.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who says it, and when.
        names: two or more, as they are written somewhere in the ledger.
        kind: player, team or league.
        within: the league in which the names are looked for; everywhere unless given.

    Raises:
        UseError: for a name that is none or several, fewer than two, or names that are one already.
    """
    pieces, meant = _meant(con, names, kind, within)
    rows = pieces.rows
    if len({rows[own].one for own, _ in meant}) == 1:
        raise UseError(f"{_listed(meant)} are one {kind} already")
    _refuse_two_leagues(pieces, kind, meant)
    first, others = meant[0], meant[1:]
    what = " = ".join(name for _, name in meant)
    source_id = changes.begin(con, hand, SOURCE, what)
    for own, name in others:
        _say(con, hand, source_id, "same", kind, first, (own, name))
    if kind == "team":
        for one, other in _namesakes(con, pieces, {own for own, _ in meant}):
            _say(con, hand, source_id, "same", "player", one, other)
    before = _counts(con)
    notes = _side_by_side(con, pieces, kind, meant)
    against = laid(con, hand, source_id)
    gone = before - _counts(con)
    shown = f"{_listed(meant)} are one {kind}, shown as {first[1]}"
    if gone:
        came = "attempt that came under both names counts"
        if gone != 1:
            came = "attempts that came under both names count"
        shown += f"; {gone} {came} once"
    if against:
        notes.append(
            f"{against} of their records differ from one another: the first that came in holds, "
            "offglass sources counts the others as contradicting"
        )
    return Joined(source_id, shown, tuple(notes))


def apart(
    con: DuckDBPyConnection,
    hand: Hand,
    names: Sequence[str],
    *,
    kind: str = "player",
    within: str | None = None,
) -> Joined:
    """Say that several names are not one: joined ones are parted, and none is offered again.

    The first name keeps whatever else it was joined with, each other name stands alone.

    Args:
        con: a connection inside `LedgerFile.changing`.
        hand: who says it, and when.
        names: two or more.
        kind: player, team or league.
        within: the league in which the names are looked for; everywhere unless given.

    Raises:
        UseError: for a name that is none or several, or spellings that are one name by themselves.
    """
    pieces, meant = _meant(con, names, kind, within, alone=True)
    if len({pieces.of[own] for own, _ in meant}) < len(meant):
        raise UseError(
            f"{_listed(meant)} are one name, only written differently: nobody joined them, so they "
            "cannot be told apart"
        )
    were = len({pieces.rows[own].one for own, _ in meant}) < len(meant)
    source_id = changes.begin(con, hand, SOURCE, " ≠ ".join(name for _, name in meant))
    for at, first in enumerate(meant):
        for other in meant[at + 1 :]:
            _say(con, hand, source_id, "apart", kind, first, other)
    laid(con, hand, source_id)
    many = f"{len(meant)} {kind}s" + (" again" if were else "")
    return Joined(source_id, f"{_listed(meant)} are {many} and will not be offered as one")


def follow(con: DuckDBPyConnection, hand: Hand, source_id: int) -> None:
    """Work out anew who stands for whom, once a source of this kind came or went."""
    if frames.one(con, ("changes", "kind"), {"source_id": source_id}) in _SAYING:
        laid(con, hand, source_id)


def _meant(
    con: DuckDBPyConnection,
    names: Sequence[str],
    kind: str,
    within: str | None,
    *,
    alone: bool = False,
) -> tuple[declared.Pieces, list[tuple[int, str]]]:
    """The pieces the names mean, each once, with the name it is shown by."""
    if len(names) < 2:
        raise UseError(f"give two {kind}s or more: offglass same NAME NAME; alone it lists offers")
    pieces = declared.Pieces(con, kind)
    called = Called(con, kind, lambda own, one: pieces.of[own] if alone else one, within)
    meant: dict[int, str] = {}
    for text in names:
        own, name = called.one(text)
        meant.setdefault(pieces.of[own], name)
    if len(meant) < 2:
        raise UseError(f"{' and '.join(map(repr, names))} are one {kind} already")
    return pieces, list(meant.items())


def _refuse_two_leagues(pieces: declared.Pieces, kind: str, meant: list[tuple[int, str]]) -> None:
    if kind == "team" and len({pieces.rows[own].league for own, _ in meant}) > 1:
        raise UseError(
            f"{_listed(meant)} play in different leagues: a team is one within a league; if the "
            "leagues are one, type offglass same --league first"
        )


def _namesakes(
    con: DuckDBPyConnection, teams: declared.Pieces, meant: set[int]
) -> list[tuple[tuple[int, str], tuple[int, str]]]:
    """Pairs of players of one name that only the two names of a team told apart."""
    ones = {teams.rows[own].one for own in meant}
    rows = [r.id for r in teams.rows.values() if r.one in ones]
    wanted = pl.DataFrame({"id": rows}, schema=_ID)
    people = declared.Pieces(con, "player")
    met: dict[str, dict[int, str]] = defaultdict(dict)
    for own, name in frames.fetch(
        con, ("commit/same", "players_of_team"), wanted=wanted
    ).iter_rows():
        piece = people.of[own]
        for form in people.forms[piece]:
            met[form].setdefault(piece, name)
    found = {}
    for alike in met.values():
        (first, name), *others = sorted(alike.items())
        for other, called in others:
            if people.rows[first].one != people.rows[other].one:
                found[first, other] = ((first, name), (other, called))
    return list(found.values())


def _say(
    con: DuckDBPyConnection,
    hand: Hand,
    source_id: int,
    what: str,
    kind: str,
    first: tuple[int, str],
    other: tuple[int, str],
) -> None:
    journal.record(
        con, hand.clock, hand.who, what, table=kind, row_id=other[0], field="same_as",
        old=other[0], new=first[0], why=f"{first[1]} / {other[1]}", source_id=source_id,
    )  # fmt: skip


def laid(con: DuckDBPyConnection, hand: Hand, source_id: int) -> int:
    """Settle who stands for whom, and lay the games anew that this changes.

    Returns:
        How many records of those games contradict now that did not before.
    """
    was = joined.ones(con)
    touched: dict[str, list[int]] = {k: declared.settle(con, k) for k in declared.KINDS}
    now = joined.ones(con)
    games = _games(con, touched, was, now)
    if len(games):
        before = frames.fetch(con, ("commit/same", "sighted"), wanted=games)
        stood = _against(con, games)
        rederive_games(con, games)
        went = frames.fetch(con, ("commit/same", "went"), before=before)
        if len(went):
            values = {"source_id": source_id, "who": hand.who, "at_time": hand.clock()}
            frames.run(con, ("commit/same", "tell_moved"), values, incoming=went)
            named = frames.fetch(con, ("commit/same", "still_named"), went=went)
            if len(named):
                rederive_games(con, named)
    _totals(con, touched)
    return max(_against(con, games) - stood, 0) if len(games) else 0


def _games(
    con: DuckDBPyConnection,
    touched: dict[str, list[int]],
    was: joined.Ones,
    now: joined.Ones,
) -> pl.DataFrame:
    """Games of the rows touched that several sources tell of, by what was one or is one now."""
    found = [pl.DataFrame(schema=_GAME)]
    for kind, rows in touched.items():
        if rows:
            wanted = pl.DataFrame({"id": rows}, schema=_ID)
            games = frames.fetch(con, ("commit/same", f"games_of_{kind}"), wanted=wanted)
            found.append(games.cast(pl.Int32))
    games = now.with_others(was.with_others(pl.concat(found)))
    told = []
    for one in (was, now):
        first = one.over(games).select(pl.col("game_id").alias("first"))
        wanted = pl.concat([games, first], how="horizontal")
        told.append(frames.fetch(con, ("commit/same", "told_twice"), wanted=wanted))
    return pl.concat(told).cast(pl.Schema(_GAME)).unique().sort("game_id")


def _totals(con: DuckDBPyConnection, touched: dict[str, list[int]]) -> None:
    """Let season totals count anew: of several of one player, team and season the first does."""
    people = [pl.DataFrame({"player_id": touched["player"]}, schema={"player_id": pl.Int32})]
    for kind in ("team", "league"):
        if touched[kind]:
            wanted = pl.DataFrame({"id": touched[kind]}, schema=_ID)
            found = frames.fetch(con, ("commit/same", f"totals_of_{kind}"), wanted=wanted)
            people.append(found.cast(pl.Int32))
    totals.recount(con, pl.concat(people).unique())


def _counts(con: DuckDBPyConnection) -> int:
    return int(frames.one(con, ("commit/undo", "counts")))


def _against(con: DuckDBPyConnection, games: pl.DataFrame) -> int:
    return int(frames.fetch(con, ("commit/same", "against"), wanted=games)["found"][0])


def _side_by_side(
    con: DuckDBPyConnection, pieces: declared.Pieces, kind: str, meant: list[tuple[int, str]]
) -> list[str]:
    """A word where one file has several of the names in one game: people are rarely written so."""
    if kind != "player":
        return []
    chosen = {own for own, _ in meant}
    rows = [(number, piece) for number, piece in pieces.of.items() if piece in chosen]
    wanted = pl.DataFrame(rows, schema={"id": pl.Int32, "piece": pl.Int32}, orient="row")
    games, against = frames.fetch(con, ("commit/same", "side_by_side"), wanted=wanted).row(0)
    if not games:
        return []
    teams = f", in {against} of them for two teams" if against else ""
    return [
        f"one file has attempts under several of these names in {games} games{teams}: "
        "that speaks for several players, look again"
    ]


def _listed(meant: Sequence[tuple[int, str]]) -> str:
    names = [name for _, name in meant]
    return f"{', '.join(names[:-1])} and {names[-1]}"
