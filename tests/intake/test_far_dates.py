"""Days that lie far outside the season of their row are told of, and kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.intake.trip import GameFacts
from tests.store.filing import HEAD, desk, rows

LEAGUE = "Halma League"


def row(season: str, day: str) -> str:
    return f"{LEAGUE},{season},{day},G{day},Skerry,Ilvo Tarn,1"


def far(warnings: tuple[str, ...]) -> list[str]:
    return [w for w in warnings if "outside the season" in w]


def test_the_first_lines_and_their_dates_are_named_and_the_rows_are_kept(tmp_path: Path) -> None:
    lines = [row("2024-25", day) for day in ("2024-11-01", "2035-01-01", "2019-01-05")]
    lines.append(lines[1].replace(",1", ",0"))
    with desk(tmp_path) as d:
        report = d.bring(rows(HEAD, *lines))

        (said,) = far(report.warnings)
        assert said.startswith("3 rows have dates more than 60 days outside the season: ")
        assert (
            "2035-01-01 in season 2024-25 (line 3), 2019-01-05 in season 2024-25 (line 4)" in said
        )
        assert (report.stored, report.rejected, report.exit_code) == (4, 0, 0)
        assert d.rows("SELECT count(*) FROM game WHERE year(date) = 2035") == [(1,)]


# Sixty days before 1 July is 2 May and after 30 September 29 November; before 1 January it is
# 2 November and after 31 December 1 March (29 February in a leap year).
@pytest.mark.parametrize(
    ("season", "day", "told"),
    [
        ("2024-25", "2024-05-02", False),
        ("2024-25", "2024-05-01", True),
        ("2024-25", "2025-11-29", False),
        ("2024-25", "2025-11-30", True),
        ("2024/2025", "2025-11-30", True),
        ("1999-00", "2000-05-01", False),
        ("2024", "2023-11-02", False),
        ("2024", "2023-11-01", True),
        ("2024", "2025-03-01", False),
        ("2024", "2025-03-02", True),
        ("Spring 2024", "2024-04-01", False),
        ("Spring 2024", "2026-04-01", True),
        # A label with more figures than one year may mean anything.
        ("Season 2023 to 2024", "2025-06-01", False),
    ],
)
def test_sixty_days_before_and_after_are_let_pass(
    tmp_path: Path, season: str, day: str, told: bool
) -> None:
    with desk(tmp_path) as d:
        report = d.bring(rows(HEAD, row(season, day)))

        said = far(report.warnings)
        assert [s.startswith("1 row has a date") for s in said] == [True] * told
        assert report.stored == 1


def test_many_dates_are_cut_short(tmp_path: Path) -> None:
    lines = [row("2024-25", f"2035-01-{n:02d}") for n in range(1, 9)]
    with desk(tmp_path) as d:
        (said,) = far(d.bring(rows(HEAD, *lines)).warnings)
        assert said.startswith("8 rows have dates")
        assert "2035-01-05 in season 2024-25 (line 6) and 3 more dates; " in said
        assert "2035-01-06" not in said


def test_a_game_that_is_typed_in_is_measured_by_the_same_days() -> None:
    told = [
        GameFacts(LEAGUE, "2024/25", day, "Skerry", "Fenholt").far_words
        for day in ("2024-05-01", "2024-05-02", "2025-11-29", "2025-11-30")
    ]
    assert [bool(words) for words in told] == [True, False, False, True]
    assert told[0] == "2024-05-01 is more than 60 days outside the season 2024/25"
    assert GameFacts(LEAGUE, "Season 2023 to 2024", "2025-06-01").far_words == ""
