"""Who changed, and when: the changes of technique in each player's games.

A change is found in a player's games, tested against mixing from game to game, said to be sharp or
gradual, and given a range of days. Somebody may also declare one. What it did is for
`switch_effects`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from math import log
from typing import TYPE_CHECKING, Any

import numpy as np
import polars as pl

from ledger.errors import UseError
from ledger.stats import change_points
from ledger.stats.mixing import LEAST_GAMES, shuffled

if TYPE_CHECKING:
    from ledger.questions.inquiry import Inquiry

_SHARP = log(3.0)
_LIMIT = 0.05
MIXES = "he may mix from game to game"


@dataclass(frozen=True, slots=True)
class Switch:
    """One change of one player.

    Attributes:
        person_id: who.
        number: 1 for his first change.
        direction: `to_focus` or `from_focus`.
        finding: `switch`, `possible` or `declared`.
        shape: `sharp`, `gradual` or `unclear`.
        first: games before the earliest place it may lie at.
        place: games before its likeliest place.
        last: games before the latest place; all three count among the player's games.
        begin: games before the change before it, 0 if none.
        end: games before the change after it, all of them if none.
        log_evidence: best evidence of changes over none, in logs; None where declared.
        shuffle_p: how often shuffled games look as much like a change; None where declared.
        share_before: of the watched attempts before it, with the technique.
        share_after: after it.
    """

    person_id: int
    number: int
    direction: str
    finding: str
    shape: str
    first: int
    place: int
    last: int
    begin: int
    end: int
    log_evidence: float | None
    shuffle_p: float | None
    share_before: float | None
    share_after: float | None


@dataclass(frozen=True, slots=True)
class Judged:
    """Whether a player's games could be judged, and why not."""

    person_id: int
    player: str
    tagged: int
    judged: bool
    why: str | None


@dataclass(frozen=True, slots=True, eq=False)
class Sequence:
    """One player's games in order, as arrays of one length."""

    person_id: int
    player: str
    frame: pl.DataFrame

    @property
    def focus(self) -> change_points.Counts:
        """Watched attempts with the technique by game."""
        return self.frame["focus_tags"].to_numpy().astype(np.int64)

    @property
    def tags(self) -> change_points.Counts:
        """Watched attempts by game."""
        return self.frame["tagged"].to_numpy().astype(np.int64)


def sequences(games: pl.DataFrame) -> list[Sequence]:
    """The games of each player, as `Switching.games` gives them."""
    parts = games.partition_by("person_id", maintain_order=True)
    return [Sequence(int(p["person_id"][0]), str(p["player"][0]), p) for p in parts]


def declared_days(inquiry: Inquiry, players: Iterable[Sequence]) -> dict[int, date]:
    """What was typed as PLAYER:DATE, several parted by a semicolon.

    Raises:
        UseError: if a part has another form, or nobody of that name has a watched attempt here.
    """
    text = inquiry.options.get("declared")
    if not text:
        return {}
    known = {one.person_id for one in players}
    found: dict[int, date] = {}
    for part in filter(None, (p.strip() for p in str(text).split(";"))):
        name, colon, day = part.rpartition(":")
        try:
            when = date.fromisoformat(day.strip())
        except ValueError:
            colon = ""
        if not colon or not name.strip():
            raise UseError(f"--declared {part!r}: write PLAYER:DATE, the date as 2024-01-31")
        here = [n for n in inquiry.reads.names.players((name.strip(),)) if n in known]
        if len(here) != 1:
            which = "has no watched attempt" if not here else "is more than one player"
            raise UseError(
                f"--declared: {name.strip()} {which} here: change the filters, or watch some of "
                "his games first"
            )
        found[here[0]] = when
    return found


def find_all(
    players: Iterable[Sequence],
    refused: Mapping[int, str],
    declared: Mapping[int, date],
    *,
    least: int,
    seed: int,
) -> tuple[list[Switch], list[Judged]]:
    """The changes of all players, and who could be judged.

    Args:
        players: their games.
        refused: why a player is not judged: his tags were picked by result.
        declared: days on which somebody says that a player changed.
        least: watched attempts below which nobody is judged.
        seed: of the shuffles.
    """
    switches: list[Switch] = []
    judged: list[Judged] = []
    for one in players:
        tagged = int(one.tags.sum())
        why = refused.get(one.person_id)
        if why is None and one.person_id not in declared:
            why = _too_few(one, tagged, least)
        judged.append(Judged(one.person_id, one.player, tagged, why is None, why))
        if why is not None:
            continue
        if one.person_id in declared:
            switches += _declared(one, declared[one.person_id])
        else:
            switches += _found(one, seed)
    return switches, judged


def _too_few(one: Sequence, tagged: int, least: int) -> str | None:
    if tagged < least:
        return f"fewer than {least} watched attempts: not judged"
    before, after = np.cumsum(one.tags)[:-1], tagged - np.cumsum(one.tags)[:-1]
    least_tags = change_points.LEAST_TAGS
    if not ((before >= least_tags) & (after >= least_tags)).any():
        return f"fewer than {least_tags} tags on a side: not judged"
    return None


def _found(one: Sequence, seed: int) -> list[Switch]:
    f, t = one.focus, one.tags
    found = change_points.find(f, t)
    if not found.places:
        return []
    p = shuffled(f, t, seed=seed).p
    few = int((t > 0).sum()) < LEAST_GAMES
    finding = "switch" if p <= _LIMIT and not few else "possible"
    shape = _shape(found, change_points.drift_evidence(f, t))
    ends = [0, *found.places, len(t)]
    ranges = change_points.ranges(f, t, found.places)
    shares = [_share(f, t, a, b) for a, b in pairwise(ends)]
    return [
        Switch(
            person_id=one.person_id,
            number=at + 1,
            direction=_direction(shares[at], shares[at + 1]),
            finding=finding,
            shape=shape,
            first=place.first,
            place=place.place,
            last=place.last,
            begin=ranges[at - 1].last if at else 0,
            end=ranges[at + 1].first if at + 1 < len(ranges) else len(t),
            log_evidence=found.log_ratio,
            shuffle_p=p,
            share_before=shares[at],
            share_after=shares[at + 1],
        )
        for at, place in enumerate(ranges)
    ]


def _shape(found: change_points.Found, drift: float) -> str:
    ahead = max(found.log_evidence) - drift
    return "sharp" if ahead >= _SHARP else "gradual" if ahead <= -_SHARP else "unclear"


def _declared(one: Sequence, day: date) -> list[Switch]:
    """The change somebody declared: his games before that day and from it on."""
    f, t = one.focus, one.tags
    place = int((one.frame["date"] < day).sum())
    before, after = _share(f, t, 0, place), _share(f, t, place, len(t))
    return [
        Switch(
            person_id=one.person_id,
            number=1,
            direction=_direction(before, after),
            finding="declared",
            shape="unclear",
            first=place,
            place=place,
            last=place,
            begin=0,
            end=len(t),
            log_evidence=None,
            shuffle_p=None,
            share_before=before,
            share_after=after,
        )
    ]


def _share(f: Any, t: Any, start: int, stop: int) -> float | None:
    tags = int(t[start:stop].sum())
    return float(f[start:stop].sum() / tags) if tags else None


def _direction(before: float | None, after: float | None) -> str:
    # A change that was declared is one to the technique unless the tags say otherwise.
    if before is not None and after is not None and after < before:
        return "from_focus"
    return "to_focus"
