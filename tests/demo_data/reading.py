"""Reads the generated files with nothing but the csv module."""

from __future__ import annotations

import csv
import io
import unicodedata
from pathlib import Path

from demo_data import ImportStep


def text_of(step: ImportStep) -> str:
    encoding = step.options.get("encoding", "utf-8-sig")
    return step.path.read_bytes().decode(encoding)


def records(step: ImportStep, separator: str = ",") -> list[dict[str, str]]:
    """Rows under the first line; columns in small letters; the file must have no title lines."""
    reader = csv.reader(io.StringIO(text_of(step)), delimiter=separator, strict=True)
    header = [name.lower() for name in next(reader)]
    rows = list(reader)
    assert all(len(row) == len(header) for row in rows), step.path.name
    return [dict(zip(header, row, strict=True)) for row in rows]


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def normal(name: str) -> str:
    return " ".join(unicodedata.normalize("NFC", name).split())
