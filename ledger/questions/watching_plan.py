"""Who watches: the people a list is dealt to, and who gives which second opinion."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.errors import UseError

if TYPE_CHECKING:
    from ledger.store.reads import Reads

_MOST = 50


@dataclass(frozen=True, slots=True)
class Taggers:
    """People who watch.

    Attributes:
        names: as they are told to each other.
        known: whether they were named; without names nobody can be told from the first watcher.
    """

    names: tuple[str, ...]
    known: bool

    @classmethod
    def of(cls, asked: str) -> Taggers:
        """How many, or their names parted by commas.

        Raises:
            UseError: for nobody, too many, or a name given twice.
        """
        names = tuple(" ".join(name.split()) for name in asked.split(",") if name.strip())
        if len(names) == 1 and names[0].lstrip("+-").isdecimal():
            number = int(names[0])
            if not 1 <= number <= _MOST:
                raise UseError(f"--taggers takes 1 to {_MOST} people or their names, not {number}")
            return cls(tuple(f"tagger {i + 1}" for i in range(number)), known=False)
        if not names or len(names) > _MOST:
            raise UseError(
                f"--taggers takes 1 to {_MOST} people, or their names parted by commas: Ana,Bo"
            )
        if len({name.casefold() for name in names}) < len(names):
            raise UseError(f"--taggers names somebody twice: {', '.join(names)}")
        return cls(names, known=True)

    def other_than(self, first: str, load: list[int]) -> str:
        """Who watches what `first` has watched: the one of the others with least so far."""
        others = [
            i for i, name in enumerate(self.names) if name.casefold() != first.strip().casefold()
        ]
        if not self.known or not others:
            return f"somebody other than {first}"
        chosen = min(others, key=lambda i: load[i])
        load[chosen] += 1
        return self.names[chosen]


def second_opinions(reads: Reads, owed: pl.DataFrame, taggers: Taggers) -> list[dict[str, Any]]:
    """The attempts that wait for a second opinion, each with who is to give it.

    What one person has watched of a game goes to one other person.
    """
    if owed.is_empty():
        return []
    load = [0] * len(taggers.names)
    given: dict[tuple[int, str], str] = {}
    games = reads.watching.games(owed["game_id"].unique().sort().to_list())
    facts = {row["game_id"]: row for row in games.iter_rows(named=True)}
    rows = []
    for row in owed.iter_rows(named=True):
        key = (row["game_id"], row["tagger"])
        if key not in given:
            given[key] = taggers.other_than(row["tagger"], load)
        game = facts[row["game_id"]]
        named = game["game"] or f"game {row['game_id']}"
        rows.append({**row, **game, "game": named, "for_tagger": given[key]})
    return rows
