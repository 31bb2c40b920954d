"""The column rules stand once: files, tables and docs agree on them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from frictionless import Schema

from ledger import resources

ROOT = Path(__file__).resolve().parents[2]
KINDS = ("attempts", "box", "totals", "tags", "players", "shortlist")
# Where a file's column goes by another name in the ledger, or is a reference there.
ELSEWHERE = {
    "attempt_id": "file_id",
    "attempt": "attempt_id",
    "clock": "clock_s",
    "order": "order_in_game",
    "game": "label",
    "home": "home_team_id",
    "away": "away_team_id",
    "league": "league_id",
    "season": "season_id",
    "team": "team_id",
    "opponent": "opponent_id",
    "player": "player_id",
    "technique": "technique_id",
    "list": "name",
}
NO_COLUMN = {"guarded", "beyond_header", "refused_by", "nth"}


def _ledger_columns() -> set[str]:
    first = (ROOT / "ledger/store/sql/migrations/0001_first.sql").read_text(encoding="utf-8")
    without_comments = re.sub(r"--.*", "", first)
    return set(
        re.findall(
            r"[a-z_]+(?= (?:VARCHAR|INTEGER|BIGINT|DOUBLE|BOOLEAN|DATE|SMALLINT|TINYINT))",
            without_comments,
        )
    )


@pytest.mark.parametrize("kind", KINDS)
def test_every_file_schema_is_a_valid_table_schema(kind: str) -> None:
    descriptor = resources.schema(kind)

    problems = list(Schema.metadata_validate(descriptor))

    assert problems == []


@pytest.mark.parametrize("kind", KINDS)
def test_every_column_of_a_file_has_a_place_in_the_ledger(kind: str) -> None:
    names = {f["name"] for f in resources.schema(kind)["fields"]} - NO_COLUMN

    homeless = {n for n in names if ELSEWHERE.get(n, n) not in _ledger_columns()}

    assert homeless == set()


@pytest.mark.parametrize("kind", KINDS)
def test_every_column_says_what_it_holds(kind: str) -> None:
    fields = resources.schema(kind)["fields"]

    assert all(f["description"] for f in fields)
    assert len({f["name"] for f in fields}) == len(fields)
