"""Invented files of every shape that leagues publish, each with what must come of it."""

from __future__ import annotations

import importlib
from pathlib import Path

from tests.intake.leagues.case import League, Week

SHAPES = tuple(
    sorted(p.stem for p in Path(__file__).parent.glob("*.py") if p.stem not in ("__init__", "case"))
)


def all_leagues() -> list[League]:
    """Every league of this folder, by the name of its module."""
    found = []
    for shape in SHAPES:
        league = importlib.import_module(f"{__name__}.{shape}").LEAGUE
        assert isinstance(league, League)
        found.append(league)
    return found


__all__ = ["SHAPES", "League", "Week", "all_leagues"]
