"""A cohort as bound SQL: names of conditions, and the values they are bound to."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from ledger.store.statements import sql

if TYPE_CHECKING:
    from ledger.cohort import Cohort
    from ledger.store.reads.directory import Directory

# Conditions that hold for whole rows of a league-season, and those a season total can meet.
_WHOLE_ROWS = ("league", "season", "date_from", "date_to", "stage", "shot")
_OF_TOTALS = ("league", "season", "shot", "team", "position", "player", "list_name")
_OF_COUNTS = ("shot", "stage")
_BOUND = re.compile(r"\$([a-z_]+)")


@dataclass(frozen=True, slots=True)
class Scope:
    """Which attempts are meant, in the ledger's own numbers.

    Attributes:
        conditions: names of the fragments of `sql/reads/cohort.sql` that are joined with AND.
        values: what they are bound to.
        fill: whether season totals may fill in.
    """

    conditions: tuple[str, ...]
    values: Mapping[str, Any]
    fill: bool

    @property
    def narrowed(self) -> bool:
        """Whether some players, or part of their attempts, of a league-season are left out."""
        return any(name not in _WHOLE_ROWS for name in self.conditions)

    def whole_rows(self, leagues: Sequence[int], seasons: Sequence[int]) -> Scope:
        """All players of some league-seasons with the same shot, stage and days.

        Args:
            leagues: numbers of the league rows.
            seasons: numbers of the seasons.
        """
        kept = [c for c in self.conditions if c in _WHOLE_ROWS and c not in ("league", "season")]
        values = {**self.values, "league": list(leagues), "season": list(seasons)}
        inside = {"date_from", "date_to"} & set(kept) or self.values.get("stage_given")
        return Scope(("league", "season", *kept), values, not inside)

    def everybody(self, leagues: Sequence[int]) -> Scope:
        """All players of some leagues, with the same seasons, shot, stage and days.

        Args:
            leagues: numbers of the league rows.
        """
        kept = [c for c in self.conditions if c in _WHOLE_ROWS and c != "league"]
        return Scope(("league", *kept), {**self.values, "league": list(leagues)}, self.fill)

    def counting_tags(self) -> Scope:
        """The same without attempts whose tag was picked by their result."""
        if "technique" not in self.conditions:
            return self
        return replace(self, conditions=(*self.conditions, "not_picked"))

    def only(self, attempts: Sequence[int]) -> Scope:
        """Of the same attempts those with these numbers."""
        values = {**self.values, "ids": list(attempts)}
        return Scope((*self.conditions, "ids"), values, fill=False)

    def practice(self) -> Scope:
        """The same attempts, of practice instead of games."""
        return replace(self, values={**self.values, "stage": ["practice"]}, fill=False)

    def statement(self, text: str) -> str:
        """A statement with this scope's conditions in the places it marks.

        `attempts` takes all of them; a statement that groups by shot and stage may part them into
        `rows` and `counts`; `totals` takes those that a season total knows.
        """
        marks = {
            "attempts": self.conditions,
            "rows": [c for c in self.conditions if c not in _OF_COUNTS],
            "counts": [c for c in self.conditions if c in _OF_COUNTS],
            "totals": [c for c in self.conditions if c in _OF_TOTALS],
        }
        for mark, conditions in marks.items():
            text = text.replace(f"/* {mark} */", self._joined(conditions))
        return text

    def bound(self, text: str, **more: Any) -> dict[str, Any]:
        """The values a statement asks for, and no others."""
        known = {**self.values, "fill": self.fill, **more}
        return {name: known[name] for name in sorted(set(_BOUND.findall(text)))}

    def _joined(self, names: Sequence[str]) -> str:
        return "".join(f" AND {sql('reads/cohort', name)}" for name in names)


def scope(cohort: Cohort, names: Directory) -> Scope:
    """What a cohort means in one ledger.

    Args:
        cohort: filters as a person typed them.
        names: the ledger's names.

    Raises:
        UseError: for a name the ledger does not know, with near ones.
    """
    values: dict[str, Any] = {
        "stage": list(cohort.stages),
        "shot": list(cohort.shots),
        "stage_given": bool(cohort.stage),
    }
    # A list of names is read only where a filter asks for it: there may be thousands.
    leagues = names.leagues(cohort.league) if cohort.league else []
    meaning: dict[str, Callable[[], Any]] = {
        "league": lambda: leagues,
        "season": lambda: names.seasons(cohort.season),
        "date_from": lambda: cohort.date_from,
        "date_to": lambda: cohort.date_to,
        "team": lambda: names.teams(cohort.team, leagues),
        "opponent": lambda: names.teams(cohort.opponent, leagues),
        "position": lambda: names.words("positions", "position", cohort.position),
        "player": lambda: names.players(cohort.player, leagues),
        "period": lambda: list(cohort.period),
        "technique": lambda: [row["id"] for row in names.techniques(cohort.technique)],
        "spot": lambda: names.words("spots", "spot", cohort.spot),
        "source": lambda: names.sources(cohort.source),
    }
    if cohort.list_name:
        values["shortlists"], values["lots"] = names.lists(cohort.list_name)
    asked = [f for f in (*meaning, "list_name") if getattr(cohort, f)]
    values |= {name: meaning[name]() for name in asked if name in meaning}
    return Scope(("stage", "shot", *asked), values, cohort.whole_seasons)
