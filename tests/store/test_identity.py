"""Who a name is does not depend on the order in which files come, nor on what kind they are."""

from __future__ import annotations

from itertools import permutations
from pathlib import Path

import pytest

from tests.store.filing import HEAD, desk, rows


def text(kind: str, team: str, date: str, who: str = "Ilvo Tarn") -> tuple[str, str]:
    label = f"{team} {date}"
    if kind == "totals":
        head = "league,season,team,player,made,attempts"
        return rows(head, f"Halma League,2023-24,{team},{who},8,9"), kind
    head = HEAD + (",attempts" if kind == "box" else "")
    more = ",2" if kind == "box" else ""
    return rows(head, f"Halma League,2023-24,{date},{label},{team},{who},1{more}"), kind


def persons(d: object) -> int:
    found = d.rows(  # type: ignore[attr-defined]
        "SELECT count(DISTINCT coalesce(p.same_as, p.id)) FROM player p WHERE p.id IN "
        "(SELECT player_id FROM attempt WHERE NOT removed)"
    )
    return int(found[0][0])


@pytest.mark.parametrize("kind", ["attempts", "box"])
@pytest.mark.parametrize(
    ("days", "expected"),
    [
        ((("Skerry", "2023-10-14"), ("Fenholt", "2023-10-14")), 2),
        ((("Skerry", "2023-10-14"), ("Fenholt", "2023-10-21"), ("Skerry", "2023-10-28")), 2),
        ((("Skerry", "2023-10-14"), ("Skerry", "2023-10-21"), ("Fenholt", "2023-12-01")), 1),
    ],
)
def test_two_of_one_name_stay_two_and_a_move_stays_one_in_any_order(
    tmp_path: Path, kind: str, days: tuple[tuple[str, str], ...], expected: int
) -> None:
    for at, order in enumerate(permutations(days)):
        with desk(tmp_path, f"b{at}") as d:
            for team, date in order:
                d.bring(*text(kind, team, date))
            assert persons(d) == expected
            assert d.whole() == []


def test_totals_of_both_teams_are_one_until_games_tell_two(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(*text("totals", "Skerry", ""))
        d.bring(*text("totals", "Fenholt", ""))
        assert d.rows("SELECT count(*) FROM player") == [(1,)]
        d.bring(*text("attempts", "Skerry", "2023-10-14"))
        d.bring(*text("attempts", "Fenholt", "2023-10-14"))
        assert persons(d) == 2
        assert d.rows(
            "SELECT count(DISTINCT player_id), count(*) FROM season_total WHERE NOT removed"
        ) == [(2, 2)]
        assert d.whole() == []


def test_capitals_and_blanks_are_one_name_and_accents_are_not(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        for at, who in enumerate(("Ilvo Tarn", "ILVO  TARN", "Ilvo Tàrn")):
            d.bring(*text("attempts", "Skerry", f"2023-11-0{at + 1}", who))
        assert persons(d) == 2
