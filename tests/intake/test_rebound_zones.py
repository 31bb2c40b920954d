"""The zone of a rebound, derived from its place in one step of the intake."""

from __future__ import annotations

from pathlib import Path

import polars as pl
import pytest

from ledger.intake.entry import enter
from ledger.intake.read import read_rows
from ledger.intake.rebound_zones import filled
from tests.store.filing import HEAD, desk, rows

GAME = "Halma League,2023-24,2023-10-14,G1,Skerry"


@pytest.mark.parametrize(
    ("x", "y", "zone"),
    [
        (0.0, 1.0, "front"),
        (2.45, 4.225, "front"),
        (-2.45, -0.375, "front"),
        (0.0, 4.23, "high"),
        (-9.0, 4.23, "high"),
        (0.0, -0.38, "behind"),
        (-2.46, 2.0, "left_side"),
        (2.46, -0.9, "right_side"),
        (-4.5, 0.0, "left_side"),
        (4.5, 0.0, "right_side"),
        (-4.51, 0.0, "left_corner"),
        (4.51, -1.0, "right_corner"),
        (None, 1.0, None),
        (1.0, None, None),
    ],
)
def test_every_place_on_the_floor_is_in_one_zone(
    x: float | None, y: float | None, zone: str | None
) -> None:
    kinds = {"rebound_x_m": pl.Float64, "rebound_y_m": pl.Float64}
    frame = pl.DataFrame({"rebound_x_m": [x], "rebound_y_m": [y]}, schema=kinds)

    assert filled(frame)["rebound_zone"].to_list() == [zone]


def test_a_zone_that_was_written_stays_and_one_coordinate_gives_none() -> None:
    where = dict(zip(HEAD.split(","), [*GAME.split(","), "Ilvo Tarn", "no"], strict=True))
    place = {"rebound_x_m": "-3", "rebound_y_m": "0.5"}
    told = [{**place, "rebound_zone": "high"}, place, {"rebound_x_m": "-3"}, {}]
    given = [{"rebound_zone": "", **where, "technique": "board", **one} for one in told]

    frame = read_rows(given, "attempts").frame

    assert frame["rebound_zone"].to_list() == ["high", "left_side", None, None]


def test_files_and_typed_rows_are_told_the_same_zone(tmp_path: Path) -> None:
    place = {"rebound_x_m": "5.2", "rebound_y_m": "-0.5"}
    with desk(tmp_path) as d:
        d.bring(
            rows(
                HEAD + ",technique,rebound_x_m,rebound_y_m",
                f"{GAME},Ilvo Tarn,no,board,0.4,1.1",
                f"{GAME},Ilvo Tarn,no,board,,",
            )
        )
        enter(d.file, "tags", [{"technique": "board", **place}], attempt=2)
        found = d.rows("SELECT rebound_zone FROM tag ORDER BY attempt_id, id")

    assert [zone for (zone,) in found if zone] == ["front", "right_corner"]
