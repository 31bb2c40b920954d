"""What a ledger held when this user last left it, so that the contents can say what is new."""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from pathlib import Path
from typing import Any

_KEPT = 100


@dataclass(frozen=True, slots=True)
class Visit:
    """The last look at a ledger.

    Attributes:
        changes: how often it had been changed.
        source: the number of its newest source, 0 for none.
        day: when, `2025-03-02`.
    """

    changes: int
    source: int
    day: str


def visits_path() -> Path:
    """Where visits are kept on this machine."""
    from platformdirs import user_state_path

    return user_state_path("offglass", appauthor=False) / "visits.json"


def last_visit(kept: Path, ledger: Path) -> Visit | None:
    """The last visit to a ledger; None where there was none or it cannot be read."""
    said = _read(kept).get(str(ledger.resolve()))
    try:
        return Visit(int(said["changes"]), int(said["source"]), str(said["day"])) if said else None
    except (KeyError, TypeError, ValueError):
        return None


def keep_visit(kept: Path, ledger: Path, visit: Visit) -> None:
    """Remember a visit; a folder that cannot be written to is no trouble worth a word."""
    visits = _read(kept)
    visits.pop(str(ledger.resolve()), None)
    visits[str(ledger.resolve())] = {
        "changes": visit.changes,
        "source": visit.source,
        "day": visit.day,
    }
    newest = dict(list(visits.items())[-_KEPT:])
    beside = kept.with_name(f".{kept.name}.{os.getpid()}")
    try:
        kept.parent.mkdir(parents=True, exist_ok=True)
        beside.write_text(json.dumps(newest, indent=1), encoding="utf-8")
        os.replace(beside, kept)
    except OSError:
        return


def _read(kept: Path) -> dict[str, Any]:
    try:
        said = json.loads(kept.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return said if isinstance(said, dict) else {}
