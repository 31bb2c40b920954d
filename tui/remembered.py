"""What was typed last on a scoresheet: the game, and the line that was not finished."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

_KEPT = 100


@dataclass(frozen=True, slots=True)
class LastSheet:
    """Where typing stopped.

    Attributes:
        asked: what was asked for: the facts of a game, or trial and date.
        line: the line that was not finished.
        waiting: lines that could not be stored.
        period: of the game.
        game: the facts of the last game, whatever was open after it.
        trial: the last trial of which a session was open.
    """

    asked: Mapping[str, str] = field(default_factory=dict)
    line: str = ""
    waiting: tuple[str, ...] = ()
    period: int | None = None
    game: Mapping[str, str] = field(default_factory=dict)
    trial: str = ""


class Memory:
    """What is remembered of one ledger, in a file of this machine; nothing without one.

    Args:
        kept: the file.
        ledger: the ledger.
    """

    def __init__(self, kept: Path | None = None, ledger: Path | None = None) -> None:
        # What is typed now, for whoever has something to be remembered.
        self.now: Callable[[], LastSheet] | None = None
        self._kept = kept
        self._name = str(ledger.resolve()) if ledger is not None else ""

    def last(self) -> LastSheet:
        """Where typing stopped the last time; nothing where that cannot be known."""
        said = self._read().get(self._name)
        if not isinstance(said, dict):
            return LastSheet()
        waiting, period = said.get("waiting"), said.get("period")
        return LastSheet(
            _facts(said.get("asked")),
            str(said.get("line", "")),
            tuple(map(str, waiting)) if isinstance(waiting, list) else (),
            period if isinstance(period, int) else None,
            _facts(said.get("game")),
            str(said.get("trial", "")),
        )

    def end(self) -> None:
        """The program ends: remember what is typed now."""
        if self.now is not None:
            self.keep(self.now())

    def keep(self, last: LastSheet) -> None:
        """Remember it; a folder that cannot be written to is no trouble worth a word."""
        if self._kept is None:
            return
        sheets = self._read()
        sheets.pop(self._name, None)
        sheets[self._name] = {
            "asked": dict(last.asked),
            "line": last.line,
            "waiting": list(last.waiting),
            "period": last.period,
            "game": dict(last.game),
            "trial": last.trial,
        }
        newest = dict(list(sheets.items())[-_KEPT:])
        beside = self._kept.with_name(f".{self._kept.name}.{os.getpid()}")
        try:
            self._kept.parent.mkdir(parents=True, exist_ok=True)
            beside.write_text(json.dumps(newest, indent=1), encoding="utf-8")
            os.replace(beside, self._kept)
        except OSError:
            return

    def _read(self) -> dict[str, Any]:
        if self._kept is None:
            return {}
        try:
            said = json.loads(self._kept.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return {}
        return said if isinstance(said, dict) else {}


def _facts(said: Any) -> dict[str, str]:
    return {str(k): str(v) for k, v in said.items()} if isinstance(said, dict) else {}


def memory_path() -> Path:
    """Where it is kept on this machine."""
    from platformdirs import user_state_path

    return user_state_path("offglass", appauthor=False) / "scoresheets.json"
