"""The tenth that is watched twice: drawn with the first clear tag, by a number that stays."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

import polars as pl
import pytest
from scipy import stats

from ledger.store import undo
from ledger.store.double_tags import draw
from ledger.store.ledger_file import LedgerFile
from tests.store.filing import HEAD, desk, rows

COUNT = 400


def season(players: int = 8, technique: str = "board", first: int = 0) -> str:
    """A file of tagged attempts, 50 a player, one game each."""
    lines = [
        f"Halma League,2023-24,2023-10-{day + 1:02},G{day},Skerry,P{first + p},1,{i + 1},"
        f"{technique}"
        for p in range(players)
        for day in range(5)
        for i in range(10)
    ]
    return rows(f"{HEAD},order,technique", *lines)


def drawn(file: LedgerFile) -> dict[int, tuple[Any, ...]]:
    with file.reading() as con:
        found = con.execute("FROM double_tag ORDER BY attempt_id").fetchall()
    assert len({row[0] for row in found}) == len(found)
    return {row[0]: row[1:] for row in found}


def test_a_tenth_of_the_tagged_attempts_is_drawn_as_they_come_in(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(season())

        found = drawn(d.file)

        # 400 with a chance of one in ten each: fewer than 18 or more than 62 in one case of 1,000.
        assert 18 <= len(found) <= 62
        assert {seed for seed, _ in found.values()} == {1}
        assert all(isinstance(at, datetime) for _, at in found.values())


def test_draws_stay_as_they_are_when_more_tags_come(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(season(4))
        before = drawn(d.file)
        d.bring(season(4, first=4))
        both = drawn(d.file)
        d.bring(season(4), tagger="Bo")

        assert {k: both[k] for k in before} == before
        assert len(both) > len(before)
        assert drawn(d.file) == both


def test_a_source_taken_back_and_brought_in_again_has_the_same_draws(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        report = d.bring(season())
        before = drawn(d.file)
        assert report.source is not None
        with d.file.changing("undo") as con:
            undo.take_back(con, d.file, report.source, yes=True)
        with d.file.changing("undo") as con:
            undo.bring_back(con, d.file, report.source)

        assert drawn(d.file) == before


@pytest.mark.parametrize("technique", ["", "cannot tell"])
def test_what_nobody_could_tell_is_not_watched_twice(tmp_path: Path, technique: str) -> None:
    with desk(tmp_path) as d:
        d.bring(season(technique=technique))

        assert drawn(d.file) == {}


def test_a_seed_draws_the_same_attempts_again_and_another_others(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(season())
        with d.file.changing("draw") as con:
            draws = []
            for seed in (1, 1, 5):
                con.execute("DELETE FROM double_tag")
                draw(con, "agreed", seed)
                draws.append(con.execute("SELECT attempt_id FROM double_tag").fetchall())
            # A ledger keeps to the seed of its first draws.
            draw(con, pl.DataFrame({"attempt_id": [1]}), 9)
            seeds = con.execute("SELECT DISTINCT seed FROM double_tag").fetchall()

        assert draws[0] == draws[1] != draws[2]
        assert seeds == [(5,)]
        with d.file.changing("draw") as con, pytest.raises(ValueError, match="not -1"):
            draw(con, "agreed", -1)


def test_every_attempt_has_the_same_chance_and_neighbours_are_independent(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(season())
        with d.file.changing("draw") as con:
            hits, pairs, seeds = [0] * 20, 0, 120
            for seed in range(seeds):
                con.execute("DELETE FROM double_tag")
                draw(con, "agreed", seed)
                found = {r[0] for r in con.execute("SELECT attempt_id FROM double_tag").fetchall()}
                pairs += sum(1 for i in found if i + 1 in found)
                for i in found:
                    hits[i % 20] += 1

        assert sum(hits) / (seeds * COUNT) == pytest.approx(0.1, abs=0.006)
        assert stats.chisquare(hits).pvalue > 0.001
        assert pairs / (seeds * (COUNT - 1)) == pytest.approx(0.01, abs=0.003)
