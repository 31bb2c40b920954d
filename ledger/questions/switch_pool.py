"""The effect over several players who changed, with and without the one who was noticed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ledger.stats.before_after import Gain, likelihood_of_change
from ledger.stats.pooled_change import LEAST_PLAYERS, Pooled, pooled
from ledger.stats.random_effects import Naive, log_odds_ratios, paule_mandel

if TYPE_CHECKING:
    from ledger.questions.switches import Effect


@dataclass(frozen=True, slots=True, eq=False)
class Pool:
    """Several players' changes taken together.

    Attributes:
        effects: one change a player, each judged.
        found: the effect; None below three players.
        gain: as a difference of rates at the mean level of their leagues.
        naive: the usual pooling, biased after bad starts; None below three.
        level: that mean level.
    """

    effects: tuple[Effect, ...]
    found: Pooled | None
    gain: Gain | None
    naive: Naive | None
    level: float | None

    @property
    def players(self) -> int:
        """How many players."""
        return len(self.effects)


@dataclass(frozen=True, slots=True, eq=False)
class Pools:
    """The pool of everybody, and the one without the players the rumour named."""

    everybody: Pool | None
    unnoticed: Pool | None


def both(effects: Sequence[Effect], noticed: frozenset[int]) -> Pools:
    """Pool each player's first judged change to the technique.

    Args:
        effects: all changes.
        noticed: players a rumour names.
    """
    first: dict[int, Effect] = {}
    for effect in sorted(effects, key=lambda e: e.sides.switch.number):
        switch = effect.sides.switch
        usable = effect.start is not None and switch.finding != "possible"
        if usable and switch.direction == "to_focus":
            first.setdefault(switch.person_id, effect)
    players = [first[person] for person in sorted(first)]
    rest = [e for e in players if e.sides.switch.person_id not in noticed]
    everybody = _pool(players)
    return Pools(everybody, everybody if len(rest) == len(players) else _pool(rest))


def _pool(effects: Sequence[Effect]) -> Pool:
    begun = [(effect, effect.start) for effect in effects if effect.start is not None]
    if len(begun) < LEAST_PLAYERS:
        return Pool(tuple(effects), None, None, None, None)
    sides = [effect.sides for effect, _ in begun]
    found = pooled(
        [
            likelihood_of_change(start.before, side.made_after, side.attempts_after)
            for side, (_, start) in zip(sides, begun, strict=True)
        ]
    )
    level = sum(start.level for _, start in begun) / len(begun)
    naive = paule_mandel(
        *log_odds_ratios(
            [(s.made_after, s.attempts_after, s.made_before, s.attempts_before) for s in sides]
        )
    )
    return Pool(tuple(effects), found, found.gain_at(level), naive, level)
