"""Where a user is in the program, so that the next start begins there: written, and read back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from ledger.cohort import Cohort
from ledger.errors import UseError
from ledger.questions.registry import QUESTIONS
from tui.cohorts import Meant, Whom

_KEPT = 20
CONTENTS = "contents"


@dataclass(frozen=True, slots=True)
class Place:
    """A screen with what is asked on it.

    Attributes:
        room: its name.
        now: which attempts are meant.
        before: those meant before, the newest last.
        options: what questions are told that is not the usual, by question.
        player: whom the screen of one player is about.
        row: what the chosen row is about.
        lost: what of it could not be read back, in words; empty where all could.
    """

    room: str = CONTENTS
    now: Meant = field(default_factory=Meant)
    before: tuple[Meant, ...] = ()
    options: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    player: Whom | None = None
    row: tuple[Any, ...] = ()
    lost: str = ""

    def written(self) -> dict[str, Any]:
        """The place in plain JSON types."""
        return {
            "room": self.room,
            "now": _written(self.now),
            "before": [_written(meant) for meant in self.before[-_KEPT:]],
            "options": {name: dict(told) for name, told in self.options.items() if told},
            "player": asdict(self.player) if self.player else None,
            "row": [value if isinstance(value, str | int) else None for value in self.row],
        }


def read_place(said: Any) -> Place:
    """A place as it was written; what no longer makes sense is left out, with a word."""
    if not isinstance(said, dict):
        return Place()
    lost: list[str] = []
    before = said.get("before")
    past = [_meant(one, []) for one in before] if isinstance(before, list) else []
    row = said.get("row")
    return Place(
        room=str(said.get("room", CONTENTS)),
        now=_meant(said.get("now"), lost) or Meant(),
        before=tuple(meant for meant in past if meant is not None),
        options=_options(said.get("options")),
        player=_player(said.get("player")),
        row=tuple(row) if isinstance(row, list) else (),
        lost="; ".join(lost),
    )


def _written(meant: Meant) -> dict[str, Any]:
    return {"cohort": meant.cohort.asked(), "focus": list(meant.focus)}


def _meant(said: Any, lost: list[str]) -> Meant | None:
    if not isinstance(said, dict):
        return None
    try:
        cohort = Cohort.of(**said.get("cohort", {}))
        focus = tuple(str(name) for name in said.get("focus", ()))
    except UseError as error:
        lost.append(f"the attempts meant last time are left out ({error.message})")
        return None
    except TypeError:
        lost.append("the attempts meant last time cannot be read and are left out")
        return None
    return Meant(cohort, focus) if focus else Meant(cohort)


def _options(said: Any) -> dict[str, dict[str, Any]]:
    """Options of each question that it still takes."""
    out: dict[str, dict[str, Any]] = {}
    for name, told in said.items() if isinstance(said, dict) else ():
        known = {o.name: o for o in QUESTIONS[name].options} if name in QUESTIONS else {}
        for option, value in told.items() if isinstance(told, dict) else ():
            try:
                if option in known and value is not None:
                    out.setdefault(name, {})[option] = known[option].read(value)
            except (UseError, TypeError):
                continue
    return out


def _player(said: Any) -> Whom | None:
    if not isinstance(said, dict) or not said.get("name"):
        return None
    return Whom(*(str(said.get(name, "")) for name in ("name", "league", "team")))
