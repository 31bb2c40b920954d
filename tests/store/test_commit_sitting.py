"""Records typed by hand: each kept at once, a tag typed again stands for the earlier one."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import polars as pl
import pytest

from ledger.errors import UseError
from ledger.store import sitting
from tests.store.filing import HEAD, Desk, desk, rows

GAME = "Halma League,2023-24,2023-10-14,G1,Skerry"


def typed(d: Desk, source: int, kind: str, **values: Any) -> tuple[str, int]:
    frame = pl.DataFrame({name: [value] for name, value in values.items()})
    if "nth" in values:
        frame = frame.with_columns(pl.col("nth").cast(pl.Int32))
    with d.file.changing("type") as con:
        _, outcome, attempt = sitting.type_in(con, d.file, source, kind, frame).row(0)
    return outcome, attempt


def begun(d: Desk) -> int:
    with d.file.changing("begin") as con:
        return sitting.begin(con, d.file, "an evening")


def attempt(made: bool, **more: Any) -> dict[str, Any]:
    return {
        "league": "Halma League",
        "season": "2023-24",
        "season_key": "2023-24",
        "start_year": 2023,
        "date": date(2023, 10, 14),
        "game": "G1",
        "team": "Skerry",
        "player": "Ilvo Tarn",
        "made": made,
        **more,
    }


def test_typed_attempts_stand_in_one_source_and_go_with_it(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        source = begun(d)
        for n in range(1, 4):
            outcome, _ = typed(d, source, "attempts", **attempt(n % 2 == 0, order=n))
            assert outcome == "stored"
        assert d.rows("SELECT kind, rows, stored, attempts_stored FROM source") == [
            ("entry", 3, 3, 3)
        ]
        before = d.dump()
        d.undo(source)
        assert not any(d.dump().values())
        d.again(source)
        assert d.dump() == before
        assert d.whole() == []


def test_equal_records_of_one_sitting_are_several_attempts(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, f"{GAME},Ilvo Tarn,1"))
        source = begun(d)
        outcomes = [typed(d, source, "attempts", **attempt(True))[0] for _ in range(3)]
        assert outcomes == ["already_there", "stored", "stored"]
        again = typed(d, source, "attempts", **attempt(True, attempt_id="A1"))
        assert typed(d, source, "attempts", **attempt(True, attempt_id="A1"))[1] == again[1]
        before = d.dump()
        d.undo(source)
        d.again(source)
        assert d.dump() == before
        assert d.whole() == []


def test_a_tag_typed_again_replaces_and_an_undo_of_the_sitting_brings_the_file_back(
    tmp_path: Path,
) -> None:
    technique = "SELECT k.name, a.tags FROM agreed a JOIN technique k ON k.id = a.technique_id"
    with desk(tmp_path) as d:
        d.bring(rows(HEAD + ",attempt_id,technique", f"{GAME},Ilvo Tarn,0,A7,straight"))
        before = d.dump()
        source = begun(d)
        for name in ("board", "underhand"):
            typed(d, source, "tags", attempt_id="A7", technique=name, technique_as_written=name)
        assert d.rows(technique) == [("underhand", 1)]
        again = d.rows("SELECT old_value FROM journal WHERE action = 'tag again' ORDER BY id")
        assert again == [("straight",), ("board",)]
        assert d.whole() == []
        d.undo(source)
        assert d.dump() == before
        d.again(source)
        assert d.rows(technique) == [("underhand", 1)]
        assert d.whole() == []


def test_what_cannot_be_is_said_and_not_counted(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        source = begun(d)
        with pytest.raises(UseError, match="no such attempt"):
            typed(d, source, "tags", attempt_id="A9", technique="board")
        with pytest.raises(UseError, match="trip_shot cannot be above"):
            typed(d, source, "attempts", **attempt(True, trip_shot=3, trip_of=2))
        d.undo(source)
        with pytest.raises(UseError, match="no sitting that can go on"):
            typed(d, source, "attempts", **attempt(True))
        assert d.rows("SELECT rows FROM source") == [(0,)]
