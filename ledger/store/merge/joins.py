"""What the other ledger says is one player, team or league, said here too.

Each is a statement of the merge's own in the journal, as those of `offglass same` are: taking the
merge back takes it back, and games that both names tell of are laid over one another anew.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ledger.store import frames, journal
from ledger.store.merge.brought import Brought
from ledger.store.merge.spelling import Spelling, Tables
from ledger.store.names import written_form
from ledger.store.statements import for_table, sql

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from ledger.store.journal import Hand


def join(
    con: DuckDBPyConnection,
    hand: Hand,
    other: Tables,
    spelling: Spelling,
    players: dict[int, int],
    source_id: int,
    brought: Brought,
) -> bool:
    """Let be one here what is one there; whether anything was not so before.

    Args:
        con: a connection inside `LedgerFile.changing`; the merge has its row already.
        hand: who merges, and when.
        other: the other ledger's tables.
        spelling: what its things are called here.
        players: its players, number to id here.
        source_id: the merge.
        brought: counts the joins.
    """
    leagues, teams = _ids(con, other, spelling)
    said = 0
    for kind, here in (("league", leagues), ("team", teams), ("player", players)):
        now = dict(con.execute(for_table(sql("merge/registers", "ones"), kind)).fetchall())
        for number, one in other[kind].select("id", "same_as").drop_nulls().iter_rows():
            own, first = here.get(number), here.get(one)
            if own is None or first is None or now[own] == now[first]:
                continue
            journal.record(
                con, hand.clock, hand.who, "same", table=kind, row_id=own, field="same_as",
                old=own, new=first, why="the other ledger says so", source_id=source_id,
            )  # fmt: skip
            said += 1
            brought.count(f"joined {kind}s")
    if said:
        from ledger.store import same

        same.laid(con, hand, source_id)
    return bool(said)


def _ids(
    con: DuckDBPyConnection, other: Tables, spelling: Spelling
) -> tuple[dict[int, int], dict[int, int]]:
    """Leagues and teams there to their own rows here, not to those that stand for them."""
    rows = frames.fetch(con, ("merge/registers", "league_forms"))
    by_form = dict(zip(rows["normal_form"], rows["id"], strict=True))
    leagues = {
        number: by_form[written_form(name)]
        for number, name in spelling.leagues.items()
        if written_form(name) in by_form
    }
    rows = frames.fetch(con, ("merge/registers", "team_forms"))
    of_league = {(r[0], r[1]): r[2] for r in rows.iter_rows()}
    teams = {}
    for number, league in other["team"].select("id", "league_id").iter_rows():
        key = (leagues.get(league, 0), written_form(spelling.teams[number]))
        if key in of_league:
            teams[number] = of_league[key]
    return leagues, teams
