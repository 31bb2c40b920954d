"""Hostile names through the command line: imported, asked for, drawn, exported and loaded."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

from tests.cli.conftest import Offglass
from tests.intake import test_hostile_names as collection
from tests.intake.hostile_names import harmful, hostile_names, visible

_ACTS = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
_NAMED = ("player", "team", "league")


def expected() -> list[collection.Row]:
    return [row for row in collection.rows() if collection.wanted(row) == "stored"]


def test_hostile_names_go_through_every_command(offglass: Offglass, desk: Path) -> None:
    (desk / "hostile.csv").write_text(collection.text(), encoding="utf-8", newline="")

    done = offglass("import", "hostile.csv", "--rejects", "refused.csv")
    assert done.code == 1
    assert not harmful(done.err)
    assert "\x1b" not in done.out + done.err

    _table(offglass)
    _plain(offglass)
    first = _json(offglass)
    _csv(offglass)
    for question in ("ranking", "adopters", "uptake", "sources"):
        told = offglass("ask", question, "--limit", "2000")
        assert told.code == 0
        assert not harmful(told.out + told.err)
    _out_and_in(offglass, first)


def _table(offglass: Offglass) -> None:
    told = offglass("ask", "attempts", "--limit", "5000")

    assert told.code == 0
    assert not harmful(told.out + told.err)
    assert "[/red]" in told.out


def _plain(offglass: Offglass) -> None:
    told = offglass("ask", "attempts", "--limit", "5000", "--plain")

    assert told.code == 0
    assert not harmful(told.out + told.err)
    lines = told.out.splitlines()
    assert len(lines) >= len(expected())


def _json(offglass: Offglass) -> list[dict[str, object]]:
    told = offglass("ask", "attempts", "--json")

    assert told.code == 0
    assert "\x1b" not in told.out
    rows: list[dict[str, object]] = json.loads(told.out)["rows"]
    by_line = {row["source_line"]: row for row in rows}
    assert set(by_line) == {row.line for row in expected()}
    for row in expected():
        assert visible(str(by_line[row.line][row.column])).casefold() in (
            visible(row.name).casefold(),
        )
    return rows


def _csv(offglass: Offglass) -> None:
    told = offglass("ask", "attempts", "--csv")

    assert told.code == 0
    assert "\x1b" not in told.out
    rows = list(csv.DictReader(io.StringIO(told.out, newline=""), strict=True))
    assert len(rows) == len(expected())
    by_line = {int(row["source_line"]): row for row in rows}
    for row in expected():
        cell = by_line[row.line][row.column]
        assert not cell.startswith(_ACTS)
        assert visible(cell.removeprefix("'")).casefold() in {
            visible(row.name).casefold(),
            visible(row.name).removeprefix("'").casefold(),
        }


def _out_and_in(offglass: Offglass, before: list[dict[str, object]]) -> None:
    assert offglass("export", "package").code == 0
    assert offglass("load", "package", "--ledger", "again.duckdb").code == 0
    again = offglass("ask", "attempts", "--json", "--ledger", "again.duckdb")
    assert json.loads(again.out)["rows"] == before
    assert offglass("check", "--ledger", "again.duckdb").code == 0
    drawn = offglass("chart", "ranking", "-o", "ranking.svg", "--min-attempts", "1")
    assert drawn.code == 0
    drawing = Path("ranking.svg").read_text(encoding="utf-8")
    assert not harmful(drawing)
    assert "<script" not in drawing


def test_hostile_words_of_a_question_are_answered_in_clean_lines(filled: Offglass) -> None:
    for name in hostile_names()[::23]:
        if "\x00" in name or name.startswith("-"):
            continue
        told = filled("ask", "attempts", "--player", name)
        assert told.code in (0, 2)
        assert not harmful(told.out + told.err)
        assert "Traceback" not in told.err
