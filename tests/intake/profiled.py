"""Profiles and files for tests of what a profile makes of a file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from ledger.intake.options import typed
from ledger.intake.profile import Profile, parse
from ledger.intake.read import Reading, read

HEAD = 'profile = 1\nname = "Halma"\nas = "{kind}"\n'
GAME = """
[constants]
league = "Halma League"
season = "2023-24"
date = "2023-10-14"
game = "G1"
team = "Skerry"
"""


def profile(body: str, kind: str = "attempts") -> Profile:
    """A profile of these keys."""
    return parse(HEAD.format(kind=kind) + body, "halma.toml")


def read_by(
    folder: Path,
    body: str,
    lines: str,
    kind: str = "attempts",
    file: str = "week.csv",
    **options: Any,
) -> Reading:
    """What a file of these lines holds by a profile of these keys."""
    path = folder / file
    path.write_text(lines.strip("\n") + "\n", encoding="utf-8")
    return read(path, None, typed(profile=profile(body, kind), **options))


def records(reading: Reading, *columns: str) -> list[tuple[Any, ...]]:
    """The records' values of some columns, `line` first."""
    return reading.frame.select("line", *columns).rows()
