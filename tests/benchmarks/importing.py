"""Import of a large file against DuckDB's own unchecked reading and inserting of the same file."""

from __future__ import annotations

import statistics
from pathlib import Path

import duckdb

import ledger
from tests.benchmarks.million import Million
from tests.benchmarks.timing import Ratio, seconds

LEDGER = "million.duckdb"
BASELINE_IS = (
    "read_csv + insert into one table, checkpoint; it guesses types, checks no row, knows no "
    "players, games, identity, techniques, sightings or undo"
)


def ledger_of(home: Path, million: Million) -> Path:
    """The ledger with the large file in it, imported when first asked for."""
    path = home / LEDGER
    if not path.exists():
        _import(path, million)
    return path


def measure(home: Path, million: Million) -> list[Ratio]:
    """The ratio of three imports in turn with three of the baseline."""
    ours, baseline = [], []
    for turn in range(3):
        path = home / (LEDGER if turn == 0 else f"again{turn}.duckdb")
        path.unlink(missing_ok=True)
        ours.append(seconds(lambda path=path: _import(path, million)))  # type: ignore[misc]
        plain = home / f"plain{turn}.duckdb"
        baseline.append(seconds(lambda plain=plain: _unchecked(plain, million)))  # type: ignore[misc]
        plain.unlink()
    return [
        Ratio(
            "import of the file",
            statistics.median(ours),
            statistics.median(baseline),
            "8 times or less",
            BASELINE_IS,
        )
    ]


def _import(path: Path, million: Million) -> None:
    with ledger.open(path, create=True) as book:
        report = book.import_file(million.path)
    assert report.stored == million.attempts


def _unchecked(path: Path, million: Million) -> None:
    with duckdb.connect(str(path)) as con:
        con.execute("CREATE TABLE attempt AS SELECT * FROM read_csv(?)", [str(million.path)])
        con.execute("CHECKPOINT")
