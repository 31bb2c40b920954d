"""A file of any shape, with its profile, gives exactly the records a person reads in it."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from ledger import resources
from ledger.errors import RefusedInput
from ledger.intake.bring import bring
from ledger.intake.options import ReadOptions
from ledger.intake.profile import parse
from ledger.intake.report import Report
from tests.intake.leagues import SHAPES, League, Week, all_leagues
from tests.intake.leagues.case import packed, table
from tests.store.filing import Desk, desk

LEAGUES = all_leagues()
NAMES = [league.name for league in LEAGUES]

# One row an attempt, all as text; `line` is where the source saw it.
_ATTEMPTS = """
    SELECT s.line, l.name AS league, n.label AS season, g.date, g.stage, g.label AS game,
        h.name AS home, w.name AS away, t.name AS team, o.name AS opponent, p.name AS player,
        a.period, a.clock_s AS clock, a.order_in_game AS place, a.shot, a.made, a.trip_shot,
        a.trip_of, a.trip_kind, a.trip_derived AS derived, a.trip_incomplete AS incomplete,
        a.x_m, a.y_m, a.spot, a.file_id, a.game_id
    FROM sighting s JOIN attempt a ON a.id = s.attempt_id JOIN game g ON g.id = a.game_id
    JOIN league l ON l.id = g.league_id JOIN season n ON n.id = g.season_id
    JOIN team t ON t.id = a.team_id JOIN player p ON p.id = a.player_id
    LEFT JOIN team o ON o.id = a.opponent_id LEFT JOIN team h ON h.id = g.home_team_id
    LEFT JOIN team w ON w.id = g.away_team_id
    WHERE s.source_id = {source} AND NOT a.removed
    ORDER BY s.line, a.id
"""
_TOTALS = """
    SELECT x.line, l.name AS league, n.label AS season, t.name AS team, p.name AS player, x.shot,
        x.made, x.attempts
    FROM season_total x JOIN league l ON l.id = x.league_id JOIN season n ON n.id = x.season_id
    JOIN player p ON p.id = x.player_id LEFT JOIN team t ON t.id = x.team_id
    WHERE x.source_id = {source} AND NOT x.removed
"""
_PEOPLE = """
    SELECT DISTINCT p.name AS player, t.name AS team, r.number,
        (SELECT max(a.file_id) FROM player_alias a WHERE a.player_id = p.id) AS file_id
    FROM attempt x JOIN player p ON p.id = x.player_id JOIN team t ON t.id = x.team_id
    LEFT JOIN roster r ON r.player_id = p.id AND r.team_id = t.id
"""


def lay_out(folder: Path, week: Week) -> Path:
    """The week's file and what lies beside it."""
    for name, data in week.beside.items():
        (folder / name).write_bytes(data)
    path = folder / week.file
    path.write_bytes(week.data)
    return path


def import_week(d: Desk, league: League, week: Week, **options: Any) -> Report:
    folder = d.folder / "files"
    folder.mkdir(exist_ok=True)
    profile = parse(league.profile, "the profile")
    return bring(
        d.file, lay_out(folder, week), league.kind, ReadOptions(profile=profile), **options
    )


def said(value: object) -> str:
    """A stored value as the expected records write it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)


def fetched(d: Desk, query: str) -> list[dict[str, Any]]:
    with d.file.reading() as con:
        found = con.execute(query)
        names = [column[0] for column in found.description or ()]
        return [dict(zip(names, row, strict=True)) for row in found.fetchall()]


def stored(d: Desk, league: League, source: int | None) -> list[dict[str, str]]:
    """What the ledger holds of a source, in the columns of the expected records."""
    if league.kind == "totals":
        rows = fetched(d, _TOTALS.format(source=source))
        return [{name: said(value) for name, value in row.items()} for row in rows]
    rows = fetched(d, _ATTEMPTS.format(source=source))
    if league.kind == "box":
        return [{n: said(v) for n, v in row.items()} for row in boxes(rows)]
    for row in rows:
        places = sorted(r["place"] for r in rows if r["game_id"] == row["game_id"] and r["place"])
        row["order"] = places.index(row["place"]) + 1 if row["place"] else None
    return [{name: said(value) for name, value in row.items()} for row in rows]


def boxes(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Attempts of a box file counted together again by line, team and player."""
    counted: dict[tuple[object, ...], dict[str, Any]] = {}
    for row in rows:
        key = (row["line"], row["team"], row["player"])
        box = counted.setdefault(key, row | {"made": 0, "attempts": 0})
        box["made"] += int(row["made"])
        box["attempts"] += 1
        assert row["place"] is None
    return list(counted.values())


def expected(league: League, week: Week) -> list[dict[str, str]]:
    return [dict(league.everywhere) | row for row in table(week.records)]


def multiset(rows: list[dict[str, str]], columns: list[str]) -> Counter[tuple[str, ...]]:
    return Counter(tuple(row[column] for column in columns) for row in rows)


def check_week(d: Desk, league: League, week: Week) -> Report:
    """Bring a week in and compare what is stored and what is said with what was written by hand."""
    report = import_week(d, league, week)

    wanted = expected(league, week)
    columns = list(wanted[0])
    assert multiset(stored(d, league, report.source), columns) == multiset(wanted, columns)
    assert (report.stored, report.rejected, report.skipped) == (
        week.stored,
        sum(week.rejected.values()),
        sum(week.skipped.values()),
    )
    assert report.reasons == week.rejected
    assert report.skipped_reasons == week.skipped
    assert (report.rows, report.already_there, report.contradicting) == (week.rows, 0, 0)
    if league.kind != "totals":
        attempts = sum(int(row.get("attempts", 1)) for row in wanted)
        assert report.attempts_stored == attempts
    return report


@pytest.mark.parametrize("league", LEAGUES, ids=NAMES)
def test_two_weeks_of_a_league_are_stored_as_a_person_reads_them(
    league: League, tmp_path: Path
) -> None:
    with desk(tmp_path) as d:
        check_week(d, league, league.first)
        if league.first.people:
            wanted = table(league.first.people)
            assert multiset(
                [{n: said(v) for n, v in row.items()} for row in fetched(d, _PEOPLE)],
                list(wanted[0]),
            ) == multiset(wanted, list(wanted[0]))
        check_week(d, league, league.second)
        assert d.whole() == []


@pytest.mark.parametrize("league", LEAGUES, ids=NAMES)
def test_a_check_stores_nothing_and_the_same_file_again_adds_nothing(
    league: League, tmp_path: Path
) -> None:
    with desk(tmp_path) as d:
        checked = import_week(d, league, league.first, check=True)
        assert (checked.rows, checked.stored) == (league.first.rows, league.first.stored)
        assert d.rows("SELECT (SELECT count(*) FROM attempt), (SELECT count(*) FROM source)") == [
            (0, 0)
        ]
        import_week(d, league, league.first)
        before = d.dump()

        again = import_week(d, league, league.first)

        refused = league.first.rejected
        assert (again.stored, again.attempts_stored, again.source) == (0, 0, None)
        assert again.duplicate_of is not None
        assert d.dump() == before
        assert (again.exit_code, again.reasons) == (1 if refused else 0, refused)
        words = again.words()
        assert "nothing added" in words
        assert "\n" not in words
        told = re.search(r"rejected again \(lines? ([^;]+); ", words)
        assert bool(told) == bool(refused)
        for code, number in refused.items():
            assert f"{code} {number}" in words


@pytest.mark.parametrize(
    "league", [one for one in LEAGUES if one.names], ids=[one.name for one in LEAGUES if one.names]
)
def test_a_file_whose_shape_changed_is_refused_with_what_changed(
    league: League, tmp_path: Path
) -> None:
    changed = replace(league.second, data=league.changed)
    with desk(tmp_path) as d:
        with pytest.raises(RefusedInput) as refused:
            import_week(d, league, changed)

        assert "\n" not in refused.value.message
        for name in league.names:
            assert name in refused.value.message
        assert d.rows("SELECT count(*) FROM source") == [(0,)]


@pytest.mark.parametrize("shape", ["pairs", "fixed_positions", "counts_in_text", "newest_first"])
def test_a_packed_file_holds_the_same(shape: str, tmp_path: Path) -> None:
    league = LEAGUES[SHAPES.index(shape)]
    week = league.first
    zipped = replace(week, file=week.file + ".gz", data=packed(week.data))
    with desk(tmp_path) as d:
        check_week(d, league, zipped)


@pytest.mark.parametrize("league", LEAGUES, ids=NAMES)
def test_profiles_are_written_as_their_schema_says(league: League) -> None:
    import jsonschema

    body = tomllib.loads(league.profile)

    jsonschema.Draft202012Validator(resources.schema("profile")).validate(body)
    assert body["as"] == league.kind


def test_there_is_a_file_for_every_shape() -> None:
    assert len(SHAPES) >= 24
    assert len(set(NAMES)) == len(NAMES)
    for league in LEAGUES:
        for week in (league.first, league.second):
            assert week.stored == len({row["line"] for row in table(week.records)})
