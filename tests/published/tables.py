"""Small tables kept beside the tests that use them."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np

from ledger.stats.counts import FloatArray

DATA = Path(__file__).parent / "data"


def columns(name: str) -> dict[str, FloatArray]:
    """Columns of one CSV of numbers."""
    with (DATA / name).open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    return {key: np.array([float(row[key]) for row in rows]) for key in rows[0]}
