"""Season totals fill what games do not hold; they are never added to them."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable
from itertools import permutations
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.cohort import Cohort
from ledger.questions import registry
from tests.store.filing import HEAD, Desk, alone, desk, rows

File = tuple[str, str]
Pair = tuple[int, int]
TOTALS = "league,season,team,player,made,attempts"
LEAGUE = "Halma League,2023-24"
GAME = f"{LEAGUE},2023-10-14,G1,Skerry"


def totals(*lines: str) -> File:
    return rows(TOTALS, *[f"{LEAGUE},{line}" for line in lines]), "totals"


def shown(d: Desk, **filters: Any) -> dict[str, Pair]:
    """Makes and attempts of each player in the ranking."""
    with d.file.reading() as con:
        options = {"min_attempts": 1, "by": "player"}
        answer = registry.answer("ranking", con, Cohort(**filters), options=options)
    frame = answer.frame.sort("player")
    return {who: (m, n) for who, m, n in frame.select("player", "made", "attempts").iter_rows()}


def notes(d: Desk) -> str:
    with d.file.reading() as con:
        return " ".join(registry.answer("ranking", con, Cohort()).notes)


def events(made: int, attempts: int, place: str = GAME, who: str = "Ilvo Tarn") -> File:
    lines = [f"{place},{who},{int(k < made)},{k}" for k in range(attempts)]
    return rows(HEAD + ",order", *lines), "attempts"


def box(made: int, attempts: int, place: str = GAME, who: str = "Ilvo Tarn") -> File:
    return rows(HEAD + ",attempts", f"{place},{who},{made},{attempts}"), "box"


SEASON = totals("Skerry,Ilvo Tarn,9,12", "Skerry,Bram Oselo,3,4")
THREE = [SEASON, events(2, 3), box(3, 4)]


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 0, 1), (1, 2, 0)])
def test_totals_events_and_box_in_any_order_are_the_season_once(
    tmp_path: Path, order: tuple[int, ...]
) -> None:
    with desk(tmp_path) as d:
        sources = {number: d.bring(*THREE[number]).source for number in order}
        season = {"Ilvo Tarn": (9, 12), "Bram Oselo": (3, 4)}
        assert shown(d) == season
        assert d.rows("SELECT count(*) FROM attempt WHERE NOT removed") == [(4,)]
        whole = d.dump()
        for number, left in ((1, season), (2, season), (0, {"Ilvo Tarn": (3, 4)})):
            d.undo(sources[number])
            assert shown(d) == left
            d.again(sources[number])
            assert d.dump() == whole
        for number, left in ((2, season), (0, {"Ilvo Tarn": (2, 3)}), (1, {})):
            d.undo(sources[number])
            assert shown(d) == left
        for number in (1, 2, 0):
            d.again(sources[number])
        assert shown(d) == season
        assert d.whole() == []


def test_a_total_below_the_games_fills_nothing_and_is_said(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(*totals("Skerry,Ilvo Tarn,1,2"))
        d.bring(*events(2, 3))
        assert shown(d) == {"Ilvo Tarn": (2, 3)}
        assert "1 season total does not fit the game records" in notes(d)


def test_a_traded_player_has_a_total_for_each_team_and_the_sum_row_is_warned_of(
    tmp_path: Path,
) -> None:
    lines = ("Skerry,Ilvo Tarn,9,12", "Olm Town,Ilvo Tarn,4,8", "TOT,Ilvo Tarn,13,20")
    with desk(tmp_path) as d:
        report = d.bring(*totals(*lines))
        said = "rows of TOT are the sum of the same player's other rows and count him twice"
        assert any(w.startswith(said) and "line 4" in w for w in report.warnings)
        d.undo(report.source)
        report = d.bring(*totals(*lines[:2]))
        assert report.warnings == ()
        d.bring(*events(2, 3))
        other = f"{LEAGUE},2024-02-01,G9,Olm Town"
        d.bring(*events(1, 1, other))
        assert shown(d) == {"Ilvo Tarn": (13, 20)}
        assert shown(d, team=("Skerry",)) == {"Ilvo Tarn": (9, 12)}


def test_a_total_without_a_team_is_set_against_the_games_of_all_his_teams(tmp_path: Path) -> None:
    whole = rows("league,season,player,made,attempts", f"{LEAGUE},Ilvo Tarn,13,20"), "totals"
    other = f"{LEAGUE},2024-02-01,G9,Olm Town"
    files = [events(2, 3), events(1, 1, other), whole]
    with desk(tmp_path) as d:
        for file in files:
            d.bring(*file)
        assert shown(d) == {"Ilvo Tarn": (13, 20)}
        d.bring(*totals("Skerry,Ilvo Tarn,9,12"))
        assert shown(d) == {"Ilvo Tarn": (13, 20)}


def test_leagues_and_seasons_are_filled_each_for_itself(tmp_path: Path) -> None:
    head = TOTALS
    lines = [
        "Halma League,2023-24,Skerry,Ilvo Tarn,9,12",
        "Halma League,2022-23,Skerry,Ilvo Tarn,5,6",
        "Ormeda Liga,2023-24,Skerry,Ilvo Tarn,1,2",
    ]
    with desk(tmp_path) as d:
        d.bring(rows(head, *lines), "totals")
        d.bring(*events(2, 3))
        assert shown(d, league=("Halma League",)) == {"Ilvo Tarn": (14, 18)}
        assert shown(d, league=("Ormeda Liga",)) == {"Ilvo Tarn": (1, 2)}
        assert shown(d, league=("Halma League",), season=("2023-24",)) == {"Ilvo Tarn": (9, 12)}


def test_a_stage_that_is_asked_for_and_practice_are_no_part_of_a_total(tmp_path: Path) -> None:
    practice = rows(
        HEAD + ",stage,order",
        *[f"{LEAGUE},2023-11-01,P1,Skerry,Ilvo Tarn,1,practice,{n}" for n in range(5)],
    )
    with desk(tmp_path) as d:
        d.bring(*SEASON)
        d.bring(*events(2, 3))
        d.consent("Ilvo Tarn")
        assert d.bring(practice).attempts_stored == 5
        assert shown(d) == {"Ilvo Tarn": (9, 12), "Bram Oselo": (3, 4)}
        assert shown(d, stage=("regular",)) == {"Ilvo Tarn": (2, 3)}


@pytest.mark.parametrize(
    ("line", "counts", "reason"),
    [
        ("Skerry,Ilvo Tarn,5,0", (0, 1, 0), "made_above_attempts"),
        ("Skerry,Ilvo Tarn,13,12", (0, 1, 0), "made_above_attempts"),
        ("Skerry,Ilvo Tarn,7,", (0, 1, 0), "missing"),
        ("Skerry,Ilvo Tarn,,", (0, 0, 1), None),
        ("Skerry,Ilvo Tarn,-,-", (0, 0, 1), None),
        ("Skerry,Ilvo Tarn,0,0", (1, 0, 0), None),
    ],
)
def test_what_a_pair_of_a_total_may_be(
    tmp_path: Path, line: str, counts: tuple[int, int, int], reason: str | None
) -> None:
    with desk(tmp_path) as d:
        report = d.bring(*totals("Skerry,Bram Oselo,3,4", line))
        assert (report.stored - 1, report.rejected, report.skipped) == counts
        assert report.reasons == ({reason: 1} if reason else {})
        assert report.rows == 2
        # Neither a blank pair nor 0 of 0 makes a player of no attempts.
        assert shown(d) == {"Bram Oselo": (3, 4)}


PEOPLE = ("Ilvo Tarn", "Bram Oselo")
TEAMS = ("Skerry", "Olm Town")


def pair(most: int = 9) -> st.SearchStrategy[Pair]:
    return st.integers(0, most).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


Games = dict[tuple[str, int], Pair]
Totals = list[tuple[str, int | None, Pair]]


@st.composite
def seasons(draw: st.DrawFn) -> tuple[Games, Games, Totals]:
    """Box and events of a game for each player and team, and totals with and without a team."""
    places = st.tuples(st.sampled_from(PEOPLE), st.integers(0, 1))
    small = pair(4).filter(lambda p: p[1] > 0)
    lines = st.tuples(st.sampled_from(PEOPLE), st.sampled_from([0, 1, None]), pair())
    return (
        draw(st.dictionaries(places, small, max_size=3)),
        draw(st.dictionaries(places, small, max_size=3)),
        draw(st.lists(lines, min_size=1, max_size=4)),
    )


def place(team: int) -> str:
    return f"{LEAGUE},2023-1{team}-14,G{team},{TEAMS[team]}"


def files_of(boxed: Games, told: Games, lines: Totals) -> list[File]:
    files: list[File] = []
    if boxed:
        text = [f"{place(t)},{who},{m},{n}" for (who, t), (m, n) in boxed.items()]
        files.append((rows(HEAD + ",attempts", *text), "box"))
    if told:
        shots = [(who, t, k < m) for (who, t), (m, n) in told.items() for k in range(n)]
        text = [f"{place(t)},{who},{int(made)},{n}" for n, (who, t, made) in enumerate(shots)]
        files.append((rows(HEAD + ",order", *text), "attempts"))
    text = [f"{'' if t is None else TEAMS[t]},{who},{m},{n}" for who, t, (m, n) in lines]
    files.append(totals(*text))
    return files


def richer(sides: Iterable[Pair | None]) -> Pair:
    """What is kept of a player in one game, box score first."""
    there = [side for side in sides if side is not None]
    if len(there) < 2:
        return there[0] if there else (0, 0)
    (m, n), (k, o) = there
    if (m <= k and n - m <= o - k) or (k <= m and o - k <= n - m):
        return (max(m, k), max(n, o))
    return there[0] if n > o else there[1]


def by_hand(boxed: Games, told: Games, lines: Totals) -> dict[str, Pair]:
    """Games plus what totals add to them, player by player."""
    found = {}
    for who in PEOPLE:
        games = {t: richer((boxed.get((who, t)), told.get((who, t)))) for t in (0, 1)}
        first: dict[int | None, Pair] = {}
        for name, team, both in lines:
            if name == who:
                first.setdefault(team, both)
        made, attempts = (sum(both[i] for both in games.values()) for i in (0, 1))
        for team in (0, 1):
            if team in first:
                more = [first[team][i] - games[team][i] for i in (0, 1)]
                if 0 <= more[0] <= more[1]:
                    made, attempts = made + more[0], attempts + more[1]
        if None in first and 0 <= first[None][0] - made <= first[None][1] - attempts:
            made, attempts = first[None]
        if attempts:
            found[who] = (made, attempts)
    return found


@settings(
    max_examples=4,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(seasons(), st.integers(0, 5), st.booleans())
def test_every_figure_is_games_plus_the_remainder(
    season: tuple[Games, Games, Totals], turn: int, backwards: bool
) -> None:
    boxed, told, lines = season
    files = files_of(boxed, told, lines)
    order = list(permutations(range(len(files))))[turn % len(files)]
    with tempfile.TemporaryDirectory() as name, desk(Path(name)) as d:
        sources = {number: d.bring(*files[number]).source for number in order}
        assert shown(d) == by_hand(boxed, told, lines)
        for number in reversed(order) if backwards else order:
            kind = files[number][1]
            d.undo(sources[number])
            assert shown(d) == by_hand(
                {} if kind == "box" else boxed,
                {} if kind == "attempts" else told,
                [] if kind == "totals" else lines,
            )
            d.again(sources[number])
        assert shown(d) == by_hand(boxed, told, lines)
        assert d.dump() == alone(*(files[number] for number in order))
        assert d.whole() == []
