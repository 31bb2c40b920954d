"""A refused row typed right: the file is copied with it, and itself stays as it was."""

from __future__ import annotations

import gzip
import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ledger.errors import UseError
from ledger.safe_text import safe

_OTHERWISE = "v saves the refused rows, to be mended with an editor"


@dataclass(frozen=True, slots=True)
class Mended:
    """One row of a file as it is to be.

    Attributes:
        line: the line it begins at, 1 the first.
        was: the row's own text.
        to_be: what was typed for it.
    """

    line: int
    was: str
    to_be: str


def fault_in(
    record: str, value: str | None, separator: str = "", place: int = 0
) -> tuple[int, int]:
    """Where the value at fault begins and ends in its row; its end where it cannot be told.

    Args:
        record: the row's own text.
        value: what is at fault.
        separator: what stands between cells; tells which one is meant where several are alike.
        place: the number of the cell, the first 0.
    """
    times = record.count(value) if value else 0
    begins = record.find(value) if value and times == 1 else -1
    cells = record.split(separator) if separator and times > 1 and '"' not in record else []
    if value and place < len(cells) and value in cells[place]:
        before = sum(len(cell) + len(separator) for cell in cells[:place])
        begins = before + cells[place].index(value)
    if not value or begins < 0:
        return len(record), len(record)
    return begins, begins + len(value)


def mended_path(path: Path, taken: Sequence[Path] = ()) -> Path:
    """Where the copy of a file goes: beside it, or where it went before."""
    if path in taken:
        return path
    stem = path.name.removesuffix(".gz").removesuffix(".csv")
    number = 1
    while True:
        ending = "-mended.csv" if number == 1 else f"-mended-{number}.csv"
        found = path.with_name(stem + ending)
        if not found.exists():
            return found
        number += 1


def may_be_typed(text: str) -> bool:
    """Whether a row can stand in one line of a form."""
    return "\n" not in text and safe(text) == text


def write_mended(path: Path, encoding: str, row: Mended, target: Path) -> Path:
    """Write the copy, in UTF-8 and whole or not at all.

    Raises:
        UseError: if the row is not found where it was, or the copy cannot be written.
    """
    data = path.read_bytes()
    if data.startswith(b"\x1f\x8b"):
        data = gzip.decompress(data)
    text = data.decode(encoding, errors="surrogateescape").removeprefix("\ufeff")
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if not 1 <= row.line <= len(lines) or lines[row.line - 1] != row.was:
        raise UseError(f"line {row.line} is not as it was read; {_OTHERWISE}")
    lines[row.line - 1] = row.to_be
    beside = target.with_name(f".{target.name}.{os.getpid()}")
    try:
        beside.write_text("\n".join(lines), encoding="utf-8", newline="")
        os.replace(beside, target)
    except (OSError, UnicodeError) as problem:
        beside.unlink(missing_ok=True)
        why = problem.strerror if isinstance(problem, OSError) else "it holds broken letters"
        raise UseError(f"{safe(target.name)} cannot be written: {why}; {_OTHERWISE}") from None
    return target
