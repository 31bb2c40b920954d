"""The headline and the notes of switches."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ledger.questions.wording import by_luck, capital, count, counted, in_words, listed
from ledger.stats.before_after import LEAST_ATTEMPTS, bad_start
from ledger.stats.change_points import LEAST_TAGS
from ledger.stats.intervals import newcombe
from ledger.stats.mixing import LEAST_GAMES
from ledger.stats.pooled_change import LEAST_PLAYERS

if TYPE_CHECKING:
    from ledger.questions.inquiry import Inquiry
    from ledger.questions.switch_effects import Sides
    from ledger.questions.switch_finding import Judged
    from ledger.questions.switch_pool import Pool, Pools
    from ledger.questions.switches import Effect
    from ledger.stats.before_after import Gain

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
            return _one(shown[0], self._words, self._back(shown[0]))
        if shown:
            return self._several(shown)
        if to_focus:
            return self._not_judged(to_focus)
        return self._none()

    @property
    def _words(self) -> str:
        return self.inquiry.focus.words

    def _back(self, changed: Effect) -> Effect | None:
        """The change with which he stopped doing it, if he did."""
        person, number = changed.sides.switch.person_id, changed.sides.switch.number
        for other in self.effects:
            switch = other.sides.switch
            if (switch.person_id, switch.number) == (person, number + 1):
                return other if switch.direction == "from_focus" else None
        return None

    def _pooled(self, pool: Pool, to_focus: Sequence[Effect]) -> str:
        assert pool.gain is not None
        gain = pool.gain
        everybody = self.pools.everybody
        without = ""
        if everybody is not None and everybody.players > pool.players:
            names = _names(self._noticed_in(everybody))
            without = f", without {names}, whom the rumour named"
        about = _points(gain.mean, gain.low, gain.high)
        sure = len({e.sides.switch.person_id for e in to_focus if _sure(e)})
        of = "all" if sure == pool.players else in_words(pool.players)
        return (
            f"{capital(in_words(sure))} players changed to shooting {self._words}; over "
            f"{of} of them{without}, bad starts taken out: {about}."
            f"{_open(gain)}{self._went_back(' they are', ' he is')}"
        )

    def _went_back(self, they: str, he: str) -> str:
        """Who tried it and went back, for the sentence on several players."""
        went = sum(1 for row in self.tried if row["went_back"])
        if not went:
            return ""
        others = "1 other" if went == 1 else f"{count(went)} others"
        return (
            f" {others} tried it fewer than {LEAST_TAGS} times and went back;"
            f"{he if went == 1 else they} not in this figure."
        )

    def _noticed_in(self, pool: Pool) -> list[str]:
        effects = [e.sides for e in pool.effects]
        return [s.player for s in effects if s.switch.person_id in self.noticed]

    def _several(self, shown: Sequence[Effect]) -> str:
        rose = [e.sides.player for e in shown if e.claim]
        what = f"{_names(rose)} rose beyond luck" if rose else "a rise is shown for nobody"
        few = f"fewer than {LEAST_PLAYERS}"
        if any(e.noticed for e in shown):
            few += " without whom the rumour named"
        return (
            f"{capital(in_words(len({e.sides.player for e in shown})))} players changed to "
            f"shooting {self._words}; {what}, bad starts taken out; {few}: no pooled figure."
        )

    def _not_judged(self, to_focus: Sequence[Effect]) -> str:
        firm = [e for e in to_focus if _sure(e)]
        if not firm:
            names = _names([e.sides.player for e in to_focus])
            return (
                f"{names}: a change is possible only, games that mix look much the same or fewer "
                f"than {LEAST_GAMES} were watched; nothing is claimed."
            )
        if len(firm) == 1:
            return _unjudged(firm[0], self._words, self._back(firm[0]))
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
            if best.tagged == 0:
                return f"Nobody's change can be looked for: {_plain(best.why)}."
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
        said = [self._tried(), self._once(), *self._luck(), *self._kinds(), *self._compared()]
        said += self._assumed()
        return [capital(note) for note in said if note]

    def _tried(self) -> str:
        went = sum(1 for row in self.tried if row["went_back"])
        pool = self.pools.unnoticed
        if not went or (pool is not None and pool.found is not None):
            return ""
        who = "1 player" if went == 1 else f"{count(went)} players"
        return f"{who} tried it fewer than {LEAST_TAGS} times and went back."

    def _once(self) -> str:
        once = sum(1 for row in self.tried if row["went_back"] and row["focus_tags"] == 1)
        if not once:
            return ""
        return (
            f"Of those who went back {count(once)} {'was' if once == 1 else 'were'} seen doing it "
            "once: a tag that was misread looks the same."
        )

    def _luck(self) -> list[str]:
        looked = [e for e in self.effects if e.gain is not None and _sure(e)]
        rose = [e.gain.chance for e in looked if e.claim and e.gain is not None]
        if len(looked) < 2 or not rose:
            return []
        wrong = sum(1 - chance for chance in rose)
        about = f"about {wrong:.1f}" if wrong >= 0.05 else "less than 0.1"
        return [f"Of {counted(len(rose), 'player')} named as risen, {about} by luck."]

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
            said.append(
                "A declared change was not looked for: its day is the first game from what "
                "somebody said."
            )
        gradual = [e for e in self.effects if e.sides.switch.shape == "gradual"]
        if gradual:
            names = _names([e.sides.player for e in gradual])
            said.append(
                f"Gradual, {names}: no date is given; the sides are cut where a sharp change would "
                "lie."
            )
        unwatched = [e.sides for e in self.effects if e.sides.day_why and e not in gradual]
        if unwatched:
            names = _names([side.player for side in unwatched])
            said.append(f"{names}: {unwatched[0].day_why}, only the range.")
        named = [e.sides.player for e in self.effects if e.noticed]
        if named:
            said.append(f"The rumour named {_names(named)}: not a test, nothing is claimed.")
        moved = [e.sides.player for e in self.effects if e.why is None and e.sides.moved_league]
        if moved:
            said.append(f"{_names(moved)}: the two sides are of different leagues.")
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
                "drift by; nothing is claimed there."
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


def _one(effect: Effect, words: str, back: Effect | None) -> str:
    """What one player's change did, against what nothing would have done."""
    side, made, gain, begun = effect.sides, effect.expected, effect.gain, effect.start
    assert made is not None
    assert gain is not None
    assert begun is not None
    raw = 100 * side.raw
    bad = 100 * bad_start(begun.before, side.made_before, side.attempts_before)
    start = ""
    if bad >= 0.5 < raw:
        whole = round(bad) > round(raw)
        verb = "is" if round(bad) == 1 else "are"
        start = f"; {bad:.0f} of the raw {raw:.0f} {verb} his bad start"
        start = f"; his bad start explains more than the raw {raw:.0f}" if whole else start
    return (
        f"{side.player} {_since(effect, words, back)} and made {side.made_after} of "
        f"{side.attempts_after}{_while(effect)}; unchanged we would expect {made.mean:.0f} "
        f"({made.low} to {made.high}). {capital(_points(gain.mean, gain.low, gain.high))}{start}; "
        f"{_shown(effect)}."
    )


def _unjudged(effect: Effect, words: str, back: Effect | None) -> str:
    """A change without a figure, the plain counts where both sides have enough of them."""
    side = effect.sides
    if side.why is not None:
        return f"{side.player}: {side.why}."
    raw = newcombe(side.made_after, side.attempts_after, side.made_before, side.attempts_before)
    return (
        f"{side.player} {_since(effect, words, back)} and made {side.made_after} of "
        f"{side.attempts_after}{_while(effect)}, before it {side.made_before} of "
        f"{side.attempts_before}, luck and bad start included "
        f"{_points(side.raw, raw.low, raw.high)}; {effect.why}."
    )


def _while(effect: Effect) -> str:
    """When he made so many, where he went on to shoot in another season or another way."""
    return " that season" if effect.sides.later else ""


def _since(effect: Effect, words: str, back: Effect | None) -> str:
    """Since when he shoots so, or from when to when, as far as it can be told."""
    side = effect.sides
    if back is not None:
        ends = (_about_day(side), _about_day(back.sides))
        return f"shot {words} from {ends[0]} until {ends[1]}"
    since = f"shoots {words} since"
    if side.switch.finding == "declared":
        return f"is said to have changed to shooting {words} by {side.day:%Y-%m-%d}"
    if side.switch.shape == "gradual":
        return f"changed to shooting {words} little by little"
    if side.day is None:
        return f"{since} some day between {side.day_low:%Y-%m-%d} and {side.day_high:%Y-%m-%d}"
    return f"{since} {side.day:%Y-%m-%d}"


def _about_day(side: Sides) -> str:
    """The day of a change, or the last day by which it had come."""
    if side.day is not None:
        return f"{side.day:%Y-%m-%d}"
    return f"{side.day_high:%Y-%m-%d} at the latest"


def _shown(effect: Effect) -> str:
    """Whether a rise is shown, and how often luck alone does as much."""
    made, gain = effect.expected, effect.gain
    assert made is not None
    assert gain is not None
    if effect.noticed:
        return "the rumour named him, so this is not a test"
    rose = gain.mean >= 0
    luck = by_luck(made.surprise if rose else 1 - made.surprise)
    does = "does this" if rose else "makes as few"
    rise = "a rise is shown" if effect.claim else "a rise is not shown"
    return f"{rise}: a shooter who changed nothing {does} {luck}"


def _open(gain: Gain) -> str:
    """What limits on both sides of 0 leave open."""
    if not gain.low < 0 < gain.high:
        return ""
    return f" A {'loss' if gain.mean > 0 else 'gain'} is not ruled out."


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
    return (why or "not judged").replace("tagged attempts", "watched attempts")
