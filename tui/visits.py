"""What a ledger held and where this user was when he last left it."""

from __future__ import annotations

import json
import os
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tui.places import Place, read_place

_KEPT = 100


@dataclass(frozen=True, slots=True)
class Visit:
    """The last look at a ledger.

    Attributes:
        changes: how often it had been changed.
        source: the number of its newest source, 0 for none.
        day: when, `2025-03-02`.
        place: where the user was.
    """

    changes: int
    source: int
    day: str
    place: Place = field(default_factory=Place)


def visits_path() -> Path:
    """Where visits are kept on this machine."""
    from platformdirs import user_state_path

    return user_state_path("offglass", appauthor=False) / "visits.json"


def last_visit(kept: Path, ledger: Path) -> Visit | None:
    """The last visit to a ledger; None where there was none or it cannot be read."""
    said = _read(kept).get(str(ledger.resolve()))
    try:
        if not said:
            return None
        place = read_place(said.get("place"))
        return Visit(int(said["changes"]), int(said["source"]), str(said["day"]), place)
    except (AttributeError, KeyError, TypeError, ValueError):
        return None


def keep_visit(kept: Path, ledger: Path, visit: Visit) -> None:
    """Remember a visit; a folder that cannot be written to is no trouble worth a word."""
    visits = _read(kept)
    visits.pop(str(ledger.resolve()), None)
    visits[str(ledger.resolve())] = {
        "changes": visit.changes,
        "source": visit.source,
        "day": visit.day,
        "place": visit.place.written(),
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
