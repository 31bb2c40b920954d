"""Who changed, and did it help?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.questions import (
    guards,
    switch_effects,
    switch_pool,
    switch_shapes,
    switches_words,
)
from ledger.questions.options import read_options
from ledger.questions.player_seasons import by_person, gather
from ledger.questions.registry import find
from ledger.questions.switch_effects import LEAST_CONTROLS, Moved, Placebo, Sides, Start
from ledger.questions.switch_finding import declared_days, find_all, sequences
from ledger.stats.before_after import (
    CLAIM,
    Expected,
    Gain,
    attempts_needed,
    bad_start,
    expected,
    size,
)
from ledger.stats.change_points import LEAST_TAGS
from ledger.stats.intervals import newcombe

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from ledger.questions.answer import Answer, Part
    from ledger.questions.inquiry import Inquiry
    from ledger.questions.player_seasons import Table
    from ledger.questions.switch_finding import Judged, Switch
    from ledger.questions.switch_finding import Sequence as Games

FEW_CONTROLS = f"fewer than {LEAST_CONTROLS} comparable players"
NEVER = "no number of attempts would show it: too few attempts before"
NO_LEVEL = "fewer than 8 rows in a league-season: no level to allow for luck with"


@dataclass(frozen=True, slots=True)
class Earlier:
    """The same change with all seasons before it on its first side."""

    made: int
    attempts: int
    expected: Expected
    gain: Gain


@dataclass(frozen=True, slots=True, eq=False)
class Effect:
    """A change and what it did; the figures are None where it is not judged, `why` says why."""

    sides: Sides
    why: str | None
    start: Start | None = None
    expected: Expected | None = None
    gain: Gain | None = None
    moved: Moved | None = None
    placebo: Placebo | None = None
    earlier: Earlier | None = None

    @property
    def claim(self) -> bool:
        """Whether he may be said to have risen: both versions are sure, the change is one."""
        if self.gain is None or self.sides.switch.finding == "possible":
            return False
        drift = self.moved.gain if self.moved else None
        return self.gain.chance >= CLAIM and (drift is None or drift.chance >= CLAIM)


def answer(inquiry: Inquiry) -> Answer:
    """Find the changes of a cohort's players, and judge what each did."""
    refused = ""
    if inquiry.practice_only:
        refused = "A change is looked for in games: practice has its own question, the trial."
    elif inquiry.cohort.technique:
        refused = guards.ONE_TECHNIQUE
    if refused:
        return inquiry.answer(refused, *_nothing())
    games = inquiry.games_only()
    found = changes(games)
    table, refusals, judged, tried = found.table, found.refusals, found.judged, found.tried
    effects, pools, noticed = found.effects, found.pools, found.noticed
    parts = {
        "pooled": switch_shapes.pooled(pools.everybody),
        "without_noticed": switch_shapes.pooled(pools.unnoticed),
        "earlier": switch_shapes.earlier(effects),
        "drift": switch_shapes.drift(effects),
        "tried": switch_shapes.tried(tried),
        "judged": switch_shapes.judged(judged),
    }
    said = switches_words.Told(games, effects, judged, tried, pools, noticed)
    notes = [*table.notes(), *refusals.notes(), *said.notes()]
    headline = said.headline() if table.attempts else games.nothing_here()
    main = switch_shapes.main([_row(effect, games.options) for effect in effects])
    return inquiry.answer(headline, main, parts, notes)


@dataclass(frozen=True, slots=True, eq=False)
class Changes:
    """All changes of a cohort's players, and what they rest on.

    Attributes:
        effects: each change and what it did.
        pools: the effect over several players, with and without those the rumour named.
        noticed: players a rumour names.
        judged: in whose games a change was looked for.
        tried: who was seen doing it a few times.
        table: the cohort's player-seasons.
        refusals: player-seasons whose tags were picked by result.
    """

    effects: Sequence[Effect]
    pools: switch_pool.Pools
    noticed: frozenset[int]
    judged: Sequence[Judged]
    tried: Sequence[dict[str, Any]]
    table: Table
    refusals: guards.Refusals


def changes(games: Inquiry) -> Changes:
    """The changes of a cohort's players and the effect over several, for any question.

    Args:
        games: without practice; the options `min_tagged`, `declared` and `seed` are those of
            switches, its usual ones where the question has none of that name.
    """
    options = read_options("switches", find("switches").options, {}) | dict(games.options)
    played = games.reads.switching.games(games.scope, games.focus.ids)
    players = sequences(played)
    table = gather(games)
    refusals = guards.picked_by_result(by_person(table.whole))
    found, judged = find_all(
        players,
        _refused(refusals, played),
        declared_days(games, players),
        least=options["min_tagged"],
        seed=options["seed"],
    )
    effects = _effects(games, players, table.whole, found)
    noticed = frozenset(games.reads.rumours()["person_id"].drop_nulls().to_list())
    pools = switch_pool.both(effects, noticed)
    return Changes(effects, pools, noticed, judged, _tried(players, found), table, refusals)


def _nothing() -> tuple[Part, Mapping[str, Part]]:
    none = switch_pool.Pools(None, None)
    return switch_shapes.main([]), {
        "pooled": switch_shapes.pooled(none.everybody),
        "without_noticed": switch_shapes.pooled(none.unnoticed),
        "earlier": switch_shapes.earlier([]),
        "drift": switch_shapes.drift([]),
        "tried": switch_shapes.tried([]),
        "judged": switch_shapes.judged([]),
    }


def _refused(refusals: guards.Refusals, played: pl.DataFrame) -> dict[int, str]:
    """Players none of whose games may be judged: in one of the seasons their tags were picked."""
    tagged = played.filter(pl.col("tagged") > 0).select("league_id", "season_id", "person_id")
    found = tagged.unique().join(
        refusals.players, on=["league_id", "season_id", "person_id"], how="inner"
    )
    rows = found.sort("person_id", "season_id").select("person_id", "refused").iter_rows()
    return {int(person): str(why) for person, why in rows}


def _effects(
    inquiry: Inquiry, players: Sequence[Games], whole: pl.DataFrame, changes: Sequence[Switch]
) -> list[Effect]:
    of = switch_effects.by_person(players)
    found = [switch_effects.sides(change, of[change.person_id]) for change in changes]
    changed = [side for side in found if side is not None]
    if not changed:
        return []
    fitted = switch_effects.levels(whole, changed)
    days = inquiry.reads.switching.days(
        inquiry.scope.whole_rows(
            whole["league_id"].unique().sort().to_list(),
            whole["season_id"].unique().sort().to_list(),
        )
    )
    everybody = frozenset(change.person_id for change in changes)
    effects = [_effect(side, fitted, days, everybody) for side in changed]
    return sorted(effects, key=_place)


def _effect(
    side: Sides, fitted: pl.DataFrame, days: pl.DataFrame, changed: frozenset[int]
) -> Effect:
    if side.why is not None:
        return Effect(side, side.why)
    begun = switch_effects.start(side.before, fitted)
    controls = switch_effects.others(side, days, changed)
    compared = switch_effects.placebo(side, controls)
    if begun is None:
        return Effect(side, NO_LEVEL, placebo=compared)
    made, attempts = side.made_after, side.attempts_after
    return Effect(
        sides=side,
        why=None,
        start=begun,
        expected=expected(begun.before, made, attempts),
        gain=size(begun.before, made, attempts),
        moved=switch_effects.moved(side, controls, begun.before),
        placebo=compared,
        earlier=_earlier(side, fitted),
    )


def _earlier(side: Sides, fitted: pl.DataFrame) -> Earlier | None:
    begun = switch_effects.start(side.earlier, fitted)
    if begun is None:
        return None
    made, attempts = side.made_after, side.attempts_after
    return Earlier(
        int(side.earlier["made"].sum()),
        int(side.earlier["attempts"].sum()),
        expected(begun.before, made, attempts),
        size(begun.before, made, attempts),
    )


def _place(effect: Effect) -> tuple[Any, ...]:
    """Changes to the technique first, then by league, year, day and name."""
    side = effect.sides
    return (
        side.switch.direction != "to_focus",
        side.league,
        side.start_year,
        side.day_high,
        side.player,
        side.switch.number,
    )


def _tried(players: Sequence[Games], changes: Sequence[Switch]) -> list[dict[str, Any]]:
    """Those seen doing it fewer than ten times who never changed to it."""
    changed = {change.person_id for change in changes}
    rows = []
    for one in players:
        times = int(one.focus.sum())
        if not 0 < times < LEAST_TAGS or one.person_id in changed:
            continue
        did = one.frame.filter(pl.col("focus_tags") > 0)
        later = one.frame.filter(pl.col("date") > did["date"].max())
        rows.append(
            {
                "player": one.player,
                "league": did["league"][-1],
                "focus": times,
                "made": int(did["focus_made"].sum()),
                "first": did["date"].min(),
                "last": did["date"].max(),
                "went_back": int(later["tagged"].sum()) > 0,
                "tagged": int(one.tags.sum()),
            }
        )
    return rows


def _row(effect: Effect, options: Mapping[str, Any]) -> dict[str, Any]:
    side, switch = effect.sides, effect.sides.switch
    row: dict[str, Any] = {
        "player": side.player,
        "team": side.team,
        "league": side.league,
        "number": switch.number,
        "direction": switch.direction,
        "finding": switch.finding,
        "shape": switch.shape,
        "date": side.day,
        "date_why": None if side.day else "gradual: no date is given",
        "date_low": side.day_low,
        "date_high": side.day_high,
        "season": side.season,
        "over_summer": side.over_summer,
        "log_evidence": switch.log_evidence,
        "shuffle_p": switch.shuffle_p,
        "share_before": switch.share_before,
        "share_after": switch.share_after,
        "made_before": side.made_before,
        "attempts_before": side.attempts_before,
        "made_after": side.made_after,
        "attempts_after": side.attempts_after,
        "left_out": side.left_out,
        "claim": effect.claim,
        "gain_why": effect.why,
        "start_year": side.start_year,
    }
    if switch.finding == "declared":
        row["log_evidence_why"] = "declared, not found in the records"
    if side.attempts_before:
        row["rate_before"] = side.made_before / side.attempts_before
    if side.attempts_after:
        row["rate_after"] = side.made_after / side.attempts_after
    if side.why is None:
        row |= _compared(effect)
    if effect.start is not None and effect.expected is not None and effect.gain is not None:
        row |= _modelled(effect, effect.start, effect.expected, effect.gain, options)
    else:
        row["attempts_needed_why"] = row["placebo_why"] = effect.why
    return row


def _compared(effect: Effect) -> dict[str, Any]:
    side = effect.sides
    raw = newcombe(side.made_after, side.attempts_after, side.made_before, side.attempts_before)
    row: dict[str, Any] = {"raw_gain": side.raw, "raw_low": raw.low, "raw_high": raw.high}
    if effect.placebo is not None and effect.placebo.players >= LEAST_CONTROLS:
        row["placebo_players"] = effect.placebo.players
        row["placebo_as_much"] = effect.placebo.as_much
    else:
        row["placebo_why"] = FEW_CONTROLS
    return row


def _modelled(
    effect: Effect, begun: Start, made: Expected, gain: Gain, options: Mapping[str, Any]
) -> dict[str, Any]:
    side = effect.sides
    needed = attempts_needed(begun.before, options["show"] / 100)
    return {
        "expected_after": made.mean,
        "expected_low": made.low,
        "expected_high": made.high,
        "surprise": made.surprise,
        "bad_start_points": 100 * bad_start(begun.before, side.made_before, side.attempts_before),
        "gain": gain.mean,
        "gain_low": gain.low,
        "gain_high": gain.high,
        "chance_of_gain": gain.chance,
        "attempts_needed": needed,
        "attempts_needed_why": None if needed else NEVER,
    }
