"""The headline and the notes of switches."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ledger.questions.wording import by_luck, capital, count, counted, in_words, listed
from ledger.stats.before_after import LEAST_ATTEMPTS
from ledger.stats.change_points import LEAST_TAGS
from ledger.stats.mixing import LEAST_GAMES
from ledger.stats.pooled_change import LEAST_PLAYERS

if TYPE_CHECKING:
    from ledger.questions.inquiry import Inquiry
    from ledger.questions.switch_finding import Judged
    from ledger.questions.switch_pool import Pool, Pools
    from ledger.questions.switches import Effect

_MANY = 4


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """What an answer is told from.

    Attributes:
        inquiry: the question.
        effects: all changes.
        judged: in whose games one was looked for.
        tried: who was seen doing it a few times.
        pools: the effect over several players.
        noticed: players a rumour names.
    """

    inquiry: Inquiry
    effects: Sequence[Effect]
    judged: Sequence[Judged]
    tried: Sequence[Mapping[str, Any]]
    pools: Pools
    noticed: frozenset[int]

    def headline(self) -> str:
        """One sentence: what the change did, or why nothing can be said of it."""
        to_focus = [e for e in self.effects if e.sides.switch.direction == "to_focus"]
        pool = self.pools.unnoticed
        if pool is not None and pool.found is not None:
            return self._pooled(pool, to_focus)
        shown = [e for e in to_focus if e.gain is not None and _sure(e)]
        if len(shown) == 1 or (shown and len(self.judged) == 1):
            return _one(shown[0], self._words)
        if shown:
            return self._several(shown)
        if to_focus:
            return self._not_judged(to_focus)
        return self._none()

    @property
    def _words(self) -> str:
        return self.inquiry.focus.words

    def _pooled(self, pool: Pool, to_focus: Sequence[Effect]) -> str:
        assert pool.gain is not None
        gain = pool.gain
        everybody = self.pools.everybody
        without = ""
        if everybody is not None and everybody.players > pool.players:
            names = _names(self._noticed_in(everybody))
            without = f", without {names}, whom the rumour named"
        shown = " A loss is not ruled out." if gain.low < 0 < gain.mean else ""
        about = _points(gain.mean, gain.low, gain.high)
        sure = sum(1 for e in to_focus if _sure(e))
        return (
            f"{capital(in_words(sure))} players changed to shooting {self._words}; over "
            f"{in_words(pool.players)} of them{without}, bad starts taken out: {about}."
            f"{shown}".rstrip()
        )

    def _noticed_in(self, pool: Pool) -> list[str]:
        effects = [e.sides for e in pool.effects]
        return [s.player for s in effects if s.switch.person_id in self.noticed]

    def _several(self, shown: Sequence[Effect]) -> str:
        rose = [e.sides.player for e in shown if e.claim]
        what = f"{listed(rose[:_MANY])} rose beyond luck" if rose else "a rise is shown for nobody"
        return (
            f"{capital(in_words(len(shown)))} players changed to shooting {self._words}; {what}, "
            f"bad starts taken out; fewer than {LEAST_PLAYERS} without those the rumour named: "
            "no pooled figure."
        )

    def _not_judged(self, to_focus: Sequence[Effect]) -> str:
        firm = [e for e in to_focus if _sure(e)]
        if not firm:
            names = _names([e.sides.player for e in to_focus])
            return f"{names}: possible, but games that mix look much the same; nothing is judged."
        if len(firm) == 1:
            effect = firm[0]
            return f"{effect.sides.player}: {effect.why}."
        return (
            f"{count(len(firm))} players changed to shooting {self._words}, none with attempts "
            f"enough on both sides: not judged below {LEAST_ATTEMPTS}."
        )

    def _none(self) -> str:
        looked = [one for one in self.judged if one.judged]
        if not self.judged:
            return "No attempt here is watched: nobody's change can be looked for."
        if not looked:
            best = max(self.judged, key=lambda one: one.tagged)
            if len(self.judged) == 1:
                return f"{best.player}: {_plain(best.why)}."
            return (
                f"No player is watched enough to look for a change: {best.player} has the most, "
                f"{counted(best.tagged, 'attempt')}; {LEAST_TAGS} on each side are needed."
            )
        back = [e for e in self.effects if _sure(e)]
        if back:
            names = _names([e.sides.player for e in back])
            return f"Nobody changed to shooting {self._words} here; {names} stopped doing it."
        return (
            f"No change to shooting {self._words} shows in the games of the "
            f"{counted(len(looked), 'player')} watched enough."
        )

    def notes(self) -> list[str]:
        """What a reader must know."""
        said = [self._tried(), *self._luck(), *self._kinds(), *self._compared()]
        said += self._assumed()
        return [capital(note) for note in said if note]

    def _tried(self) -> str:
        went = [row for row in self.tried if row["went_back"]]
        if not went:
            return ""
        others = "1 other" if len(went) == 1 else f"{count(len(went))} others"
        verb, figure = ("is", "he") if len(went) == 1 else ("are", "they")
        return (
            f"{others} tried it fewer than {LEAST_TAGS} times and went back; {figure} {verb} not "
            "in this figure."
        )

    def _luck(self) -> list[str]:
        rose = [e for e in self.effects if e.claim and e.gain is not None]
        if len(rose) < 2:
            return []
        wrong = sum(1 - e.gain.chance for e in rose if e.gain is not None)
        return [f"Of {len(rose)} named as risen, about {wrong:.1f} by luck."]

    def _kinds(self) -> list[str]:
        said = []
        possible = [e for e in self.effects if e.sides.switch.finding == "possible"]
        if possible:
            said.append(
                f"Possible only, {_names([e.sides.player for e in possible])}: games that mix "
                f"look much the same, or fewer than {LEAST_GAMES} games are watched; in no pooled "
                "figure."
            )
        if any(e.sides.switch.finding == "declared" for e in self.effects):
            said.append("A declared change was not looked for: its day is what somebody said.")
        gradual = [e for e in self.effects if e.sides.switch.shape == "gradual"]
        if gradual:
            names = _names([e.sides.player for e in gradual])
            said.append(f"Gradual, {names}: no date is given.")
        if any(e.sides.over_summer for e in self.effects):
            said.append(
                "A change before a season's tenth attempt has last season as its before side; "
                "other things changed over the summer too."
            )
        out = sum(e.sides.left_out for e in self.effects)
        if out:
            verb = "is" if out == 1 else "are"
            said.append(
                f"{counted(out, 'attempt')} inside the ranges of dates {verb} on neither side."
            )
        return said

    def _compared(self) -> list[str]:
        said = []
        for effect in [e for e in self.effects if e.claim][:_MANY]:
            compared = effect.placebo
            if compared is None or compared.players < 10:
                continue
            said.append(
                f"{effect.sides.player}: of {compared.players} who started as badly and changed "
                f"nothing, {in_words(compared.as_much)} rose as much (raw)."
            )
        short = [e for e in self.effects if e.moved is not None and e.moved.gain is None]
        if short:
            said.append(
                f"{counted(len(short), 'change')}: fewer than 10 players to tell the league's "
                "drift by; it is not taken out there."
            )
        return said

    def _assumed(self) -> list[str]:
        if not any(e.gain is not None for e in self.effects):
            return []
        said = [
            "Gains are makes per 100 with the bad start taken out, drawn towards no change (prior "
            "on the logit scale: mean 0, standard deviation 0.7); rates before are drawn to the "
            "league's level, fitted without the after sides.",
        ]
        pool = self.pools.unnoticed
        if pool is not None and pool.found is not None:
            said.append(
                "They chose themselves, and technique and time are the same thing in those who "
                "changed."
            )
        elif pool is not None:
            said.append(f"Fewer than {LEAST_PLAYERS} switchers: no pooled effect.")
        return said


def _sure(effect: Effect) -> bool:
    return effect.sides.switch.finding != "possible"


def _one(effect: Effect, words: str) -> str:
    """What one player's change did, against what nothing would have done."""
    side, made, gain = effect.sides, effect.expected, effect.gain
    assert made is not None
    assert gain is not None
    since = f"since {side.day:%Y-%m-%d}" if side.day else "since his gradual change"
    start = 100 * side.raw
    bad = 100 * (effect.start.before.rate - side.made_before / side.attempts_before)  # type: ignore[union-attr]
    luck = f"; {bad:.0f} of the raw {start:.0f} are his bad start" if bad >= 0.5 < start else ""
    rise = "a rise is shown" if effect.claim else "a rise is not shown"
    return (
        f"{side.player} shoots {words} {since} and made {side.made_after} of "
        f"{side.attempts_after}; unchanged we would expect {made.mean:.0f} ({made.low} to "
        f"{made.high}). {_points(gain.mean, gain.low, gain.high)}{luck}; {rise}, luck alone does "
        f"this {by_luck(made.surprise)}."
    )


def _points(mean: float, low: float, high: float) -> str:
    """A gain in makes per 100 with its limits."""
    about = abs(round(100 * mean))
    if about == 0:
        return f"about as many per 100 ({_signed(low)} to {_signed(high)})"
    more = "more" if mean > 0 else "fewer"
    return f"about {about} {more} per 100 ({_signed(low)} to {_signed(high)})"


def _signed(share: float) -> str:
    points = round(100 * share)
    return f"−{-points}" if points < 0 else str(points)


def _names(names: Sequence[str]) -> str:
    different = list(dict.fromkeys(names))
    if len(different) <= _MANY:
        return listed(different)
    return f"{', '.join(different[:_MANY])} and {len(different) - _MANY} more"


def _plain(why: str | None) -> str:
    return (
        (why or "not judged")
        .replace("tags on a side", "watched attempts on a side")
        .replace("tagged attempts", "watched attempts")
    )
