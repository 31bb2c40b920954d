"""What the generator hands over: the files in the order in which they are to be read, and more."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from .tags import Watched, tag_file
from .world import World


@dataclass(frozen=True, slots=True)
class Expects:
    """What the report of an import must show.

    Attributes:
        rows: rows that hold a record: stored + already there + rejected.
        stored: rows that add something.
        already_there: rows that add nothing, where the files come in the order of the steps.
        rejected: reason code to number of rows.
        not_data: at most so many further rows (repeated headers, totals, footnotes, rows of bare
            separators) that may be reported as skipped or rejected, never stored.
        attempts: attempts that are stored; for box rows more than rows.
        warned_words: words the report must warn of.
    """

    rows: int
    stored: int
    already_there: int = 0
    rejected: Mapping[str, int] = field(default_factory=dict)
    not_data: int = 0
    attempts: int = 0
    warned_words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ImportStep:
    """One file to be imported.

    Attributes:
        path: the file.
        kind: attempts, box, totals, tags, players or shortlist.
        options: those of the import that the file needs: `dates`, `encoding`, `tagger` (text),
            `map` (list of COLUMN=FIELD), `set` (FIELD=VALUE), `word` (FIELD:TEXT=VALUE),
            `drawn` (bool). A missing key means the default.
        expects: what the report must show.
        why: what the file is, in a few words.
    """

    path: Path
    kind: str
    options: dict[str, Any]
    expects: Expects
    why: str


@dataclass(frozen=True, slots=True)
class Lot:
    """A random list of players the program is to draw, at its place among the steps."""

    name: str
    league: str
    season: str
    players: int
    seed: int


@dataclass(frozen=True, slots=True)
class TagsForLot:
    """The tags of everybody a lot has named; written once the lot is drawn.

    Attributes:
        lot: name of the lot.
        name: name of the tag file, without its ending.
        tagger: who watched.
        per_player: whole games are watched until this many attempts of a player are reached.
        every: 1 for all of them, 10 for a random tenth (a second opinion).
    """

    lot: str
    name: str
    tagger: str
    per_player: int
    every: int = 1


Step = ImportStep | Lot | TagsForLot


@dataclass(frozen=True, slots=True)
class Rumour:
    """What raised the question."""

    text: str
    season: str
    player: str
    league: str
    seen: str
    where: str


@dataclass(frozen=True, slots=True)
class ListEntry:
    """One player of the shortlist."""

    list: str
    player: str
    league: str
    note: str


@dataclass(frozen=True, slots=True)
class Manifest:
    """A written scenario.

    Attributes:
        folder: where the files lie.
        seed: what it was made from.
        attempts: attempts in the files of attempts and box rows together.
        steps: imports, lots and the tags of lots, in the order in which they happen.
        rumour: what raised the question.
        shortlist: the list "autumn", as in its file.
        truth: the planted facts, as in `truth.json`.
        world: the scenario itself, with every attempt in arrays.
    """

    folder: Path
    seed: int
    attempts: int
    steps: tuple[Step, ...]
    rumour: Rumour
    shortlist: tuple[ListEntry, ...]
    truth: dict[str, Any]
    world: World = field(repr=False)

    @property
    def lots(self) -> tuple[Lot, ...]:
        """The lots among the steps."""
        return tuple(step for step in self.steps if isinstance(step, Lot))

    @property
    def imports(self) -> tuple[ImportStep, ...]:
        """The files that are written already."""
        return tuple(step for step in self.steps if isinstance(step, ImportStep))

    def tags_for(
        self,
        players: Sequence[Watched],
        name: str,
        *,
        tagger: str,
        per_player: int = 60,
        every: int = 1,
    ) -> ImportStep:
        """Write the tags of some players as `name`.csv and say how to import them.

        Args:
            players: (league, season, player) or (league, season, player, team); the team tells
                two players of one name apart, without it both are watched.
            name: of the file.
            tagger: who watched.
            per_player: whole games in random order until this many attempts are reached.
            every: a random part of them, one in so many.

        Raises:
            ValueError: if nobody of that name shot in that season, or its attempts have no order.
        """
        path, rows = tag_file(
            self.world,
            self.folder,
            players,
            name,
            tagger=tagger,
            per_player=per_player,
            every=every,
        )
        return ImportStep(path, "tags", {}, Expects(rows, rows), f"tags by {tagger}")

    def write(self, step: TagsForLot, players: Sequence[Watched]) -> ImportStep:
        """Write the tags a step asks for, given the players its lot has named."""
        return self.tags_for(
            players, step.name, tagger=step.tagger, per_player=step.per_player, every=step.every
        )
