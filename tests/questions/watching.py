"""Attempts with everything that a person may note of them, for tests of misses and agreement."""

from __future__ import annotations

from typing import Any

from tests.questions.ground import Ground

LAST_OF_TWO = {"trip_shot": 2, "trip_of": 2, "trip_kind": "personal"}
FIRST_OF_TWO = {"trip_shot": 1, "trip_of": 2, "trip_kind": "personal"}


def watched(
    ground: Ground,
    player: str,
    technique: str,
    number: int,
    *,
    made: bool = False,
    attempt: dict[str, Any] | None = None,
    picked_for: str | None = None,
    season: str = "2024-25",
    league: str = "Halma League",
    shot: str = "free_throw",
    stage: str = "regular",
    **noted: Any,
) -> list[int]:
    """So many attempts alike, the last of two unless said; their numbers.

    Args:
        attempt: fields of the attempt.
        noted: fields of the tag.
    """
    makes = number if made else 0
    ground.shots(
        player, makes, number, season=season, league=league, shot=shot, stage=stage,
        tags={technique: (makes, number - makes)}, picked_for=picked_for,
    )  # fmt: skip
    rows = ground.con.execute("SELECT id FROM attempt ORDER BY id DESC LIMIT ?", [number])
    ids = sorted(i for (i,) in rows.fetchall())
    change(ground, "attempt", "id", ids, {**LAST_OF_TWO, **(attempt or {})})
    change(ground, "tag", "attempt_id", ids, noted)
    return ids


def change(ground: Ground, table: str, key: str, ids: list[int], fields: dict[str, Any]) -> None:
    """Set some fields of some rows."""
    if not fields or not ids:
        return
    sets = ", ".join(f"{name} = ${name}" for name in fields)
    where = f"{key} IN (SELECT unnest($ids::BIGINT[]))"
    ground.con.execute(f"UPDATE {table} SET {sets} WHERE {where}", {**fields, "ids": ids})
