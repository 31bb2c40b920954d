"""Whatever a ledger went through: its export makes the same ledger, with the same answers."""

from __future__ import annotations

import json
import tempfile
from pathlib import Path
from typing import Any

import frictionless
from hypothesis import HealthCheck, given, settings

from ledger.cohort import Cohort
from ledger.questions import registry
from ledger.store.allowlist import tables
from ledger.store.check import check
from ledger.store.ledger_file import LedgerFile
from ledger.store.package import export, load
from tests.store.filing import desk
from tests.store.ledgers import Step, live, steps


def _everything(ledger: LedgerFile) -> dict[str, list[str]]:
    with ledger.reading() as con:
        return {
            # repr tells -0.0 from 0.0 and 1 from 1.0, which == does not.
            t: list(map(repr, con.execute(f'SELECT * FROM "{t}" ORDER BY rowid').fetchall()))
            for t in tables()
        }


def _answers(ledger: LedgerFile) -> dict[str, Any]:
    found = {}
    for question in registry.QUESTIONS:
        with ledger.reading() as con:
            answer = registry.answer(question, con, Cohort(), focus=None, options={}, ledger="book")
        found[question] = json.loads(answer.json())
    return found


@settings(
    max_examples=8,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(steps())
def test_an_export_makes_the_same_ledger_with_the_same_answers(happened: list[Step]) -> None:
    with tempfile.TemporaryDirectory() as name, desk(Path(name)) as book:
        live(book, happened)

        package = export(book.file, Path(name) / "package")
        load(package, Path(name) / "again.duckdb")

        with LedgerFile(Path(name) / "again.duckdb") as again:
            assert _everything(again) == _everything(book.file)
            assert _answers(again) == _answers(book.file)
            assert check(again) == []
        report = frictionless.Package(str(package / "datapackage.json")).validate()
        assert report.flatten(["title", "message"]) == []
