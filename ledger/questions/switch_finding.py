"""Who changed, and when: the changes of technique in each player's games.

A change is found in a player's games, tested against mixing from game to game, said to be sharp or
gradual, and given a range of days. Somebody may also declare one. What it did is for
`switch_effects`.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from datetime import date
from itertools import pairwise
from math import log
from typing import TYPE_CHECKING, Any

import numpy as np
import polars as pl

from ledger.errors import UseError
from ledger.questions.player_seasons import PERSON_SEASON
from ledger.questions.together import once
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
    attempts: int
    tagged: int
    judged: bool
    why: str | None

    @property
    def coverage(self) -> float:
        """Watched attempts of all attempts."""
        return self.tagged / self.attempts


@dataclass(frozen=True, slots=True, eq=False)
class Sequence:
    """One player's games in order, as arrays of one length.

    Attributes:
        person_id: who.
        player: his name.
        frame: his games, as `Switching.games` gives them.
        focus: watched attempts with the technique by game.
        tags: watched attempts by game.
        refused: why tags of his are not used, in some season or all: they were picked by result.
    """

    person_id: int
    player: str
    frame: pl.DataFrame
    focus: change_points.Counts
    tags: change_points.Counts
    refused: str | None = None

    @property
    def tagged(self) -> int:
        """Watched attempts that may be used."""
        return int(self.tags.sum())


def sequences(games: pl.DataFrame, refused: pl.DataFrame) -> list[Sequence]:
    """The games of each player, without the tags of seasons in which they were picked by result.

    Args:
        games: as `Switching.games` gives them.
        refused: `league_id, season_id, person_id, refused`, as `guards.picked_by_result` says.
    """
    games = games.join(refused, on=PERSON_SEASON, how="left", maintain_order="left")
    kept = pl.col("refused").is_null()
    games = games.with_columns(
        pl.when(kept).then(pl.col(name)).otherwise(0).alias(name)
        for name in ("tagged", "focus_tags", "focus_made")
    )
    found = []
    for part in games.partition_by("person_id", maintain_order=True):
        why = part["refused"].drop_nulls()
        found.append(
            Sequence(
                person_id=int(part["person_id"][0]),
                player=str(part["player"][0]),
                frame=part,
                focus=part["focus_tags"].to_numpy().astype(np.int64),
                tags=part["tagged"].to_numpy().astype(np.int64),
                refused=str(why[0]) if len(why) else None,
            )
        )
    return found


def declared_days(inquiry: Inquiry, text: str | None) -> dict[int, date]:
    """What was typed as PLAYER:DATE, several parted by a semicolon: the day of each person.

    Raises:
        UseError: if a part has another form, its name is nobody or several, or stands twice.
    """
    found: dict[int, date] = {}
    names, leagues = inquiry.reads.names, inquiry.cohort.league
    within = names.leagues(leagues) if leagues else []
    for part in filter(None, (p.strip() for p in (text or "").split(";"))):
        name, colon, day = (piece.strip() for piece in part.rpartition(":"))
        try:
            when = date.fromisoformat(day)
        except ValueError:
            colon = ""
        if not colon or not name:
            raise UseError(f"--declared {part!r}: write PLAYER:DATE, the date as 2024-01-31")
        numbers = names.players((name,), within)
        here = inquiry.reads.switching.persons(inquiry.scope, numbers)
        if len(here) != 1:
            if here:
                raise UseError(
                    f"--declared: {name} is more than one player here: say which with --league or "
                    "--team"
                )
            raise UseError(f"--declared: {name} has no attempt here: change the filters")
        if here[0] in found:
            raise UseError(f"--declared: {name} stands there twice: one day a player")
        found[here[0]] = when
    return found


@dataclass(frozen=True, slots=True)
class Rules:
    """How changes are looked for.

    Attributes:
        least: watched attempts below which nobody is judged.
        seed: of the shuffles.
        declared: days on which somebody says that a player changed.
    """

    least: int = 2 * change_points.LEAST_TAGS
    seed: int = 1
    declared: Mapping[int, date] = field(default_factory=dict)


def find_all(
    players: Collection[Sequence], rules: Rules, progress: Callable[[float], None]
) -> tuple[list[Switch], list[Judged]]:
    """The changes of all players, and who could be judged.

    Args:
        players: their games.
        rules: how changes are looked for.
        progress: is told how far it is, 0..1.
    """
    switches: list[Switch] = []
    judged: list[Judged] = []
    step = max(1, len(players) // 100)
    for number, one in enumerate(players):
        day = rules.declared.get(one.person_id)
        why = _too_few(one, rules.least) if day is None else None
        attempts = int(one.frame["attempts"].sum())
        judged.append(Judged(one.person_id, one.player, attempts, one.tagged, why is None, why))
        if day is not None:
            switches += _declared(one, day)
        elif why is None:
            switches += found_in(one, rules.seed)
        if number % step == 0:
            progress(number / len(players))
    return switches, judged


def _too_few(one: Sequence, least: int) -> str | None:
    least_tags = change_points.LEAST_TAGS
    why = None
    if one.tagged < max(least, 2 * least_tags):
        why = (
            f"fewer than {least} watched attempts: not judged"
            if one.tagged >= 2 * least_tags
            else f"fewer than {least_tags} watched attempts on a side: not judged"
        )
    else:
        before = np.cumsum(one.tags)[:-1]
        if not ((before >= least_tags) & (one.tagged - before >= least_tags)).any():
            why = f"fewer than {least_tags} watched attempts on a side: not judged"
    return why and (one.refused or why)


def found_in(one: Sequence, seed: int | None) -> list[Switch]:
    """The changes in a player's games.

    Args:
        one: his games.
        seed: of the shuffles; without one he is not shuffled, and his changes are possible only.
    """
    f, t = one.focus, one.tags
    # Asked of all players and of one, the same games are looked at twice.
    games = f.tobytes(), t.tobytes()
    found = once(("change points", *games), lambda: change_points.find(f, t))
    if not found.places:
        return []
    p = (
        None
        if seed is None
        else once(("mixing", seed, *games), lambda: shuffled(f, t, seed=seed)).p
    )
    few = int((t > 0).sum()) < LEAST_GAMES
    finding = "switch" if p is not None and p <= _LIMIT and not few else "possible"
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
