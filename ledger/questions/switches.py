"""Who changed, and did it help?"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.questions import guards, switch_effects, switch_pool, switch_rows, switch_shapes
from ledger.questions.options import read_options
from ledger.questions.player_seasons import gather
from ledger.questions.registry import find
from ledger.questions.switch_controls import Days, Moved, Placebo, moved, placebo
from ledger.questions.switch_effects import Sides, Start
from ledger.questions.switch_finding import (
    Rules,
    declared_days,
    find_all,
    found_in,
    sequences,
)
from ledger.questions.switches_words import Told
from ledger.questions.together import once
from ledger.stats.before_after import CLAIM, Expected, Gain, expected, size
from ledger.stats.beta_binomial import MIN_ROWS
from ledger.stats.change_points import LEAST_TAGS

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from ledger.questions.answer import Answer, Part
    from ledger.questions.inquiry import Inquiry
    from ledger.questions.player_seasons import Table
    from ledger.questions.switch_finding import Judged, Switch
    from ledger.questions.switch_finding import Sequence as Games

NO_LEVEL = f"fewer than {MIN_ROWS} players in a league-season: no level to allow for luck with"
NOTICED = "the rumour named him: not a test"
NO_DRIFT = "fewer than 10 players to tell the league's drift by: not claimed"
POSSIBLE = "possible only: he may mix from game to game"
_FINDING = 0.8


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
    noticed: bool = False

    @property
    def claim(self) -> bool:
        """Whether he may be said to have risen: both versions are sure, and he is a test."""
        if self.claim_why is not None or self.gain is None or self.moved is None:
            return False
        drift = self.moved.gain
        return drift is not None and min(self.gain.chance, drift.chance) >= CLAIM

    @property
    def claim_why(self) -> str | None:
        """Why nothing is claimed of him whatever the figures are."""
        if self.why is not None:
            return self.why
        if self.sides.switch.finding == "possible":
            return POSSIBLE
        if self.noticed:
            return NOTICED
        return NO_DRIFT if self.moved is None or self.moved.gain is None else None


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
    said = Told(games, effects, judged, tried, pools, noticed)
    notes = [*table.notes(), *refusals.among(table.rows).notes(), *said.notes()]
    headline = said.headline() if table.attempts else games.nothing_here()
    main = switch_shapes.main([switch_rows.row(e, games.options["show"]) for e in effects])
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
    declared = declared_days(games, options["declared"])
    rules = Rules(options["min_tagged"], options["seed"], declared)
    # Nothing else of the question enters, so two questions may have the same changes.
    key = ("changes", games.facts, games.cohort, games.focus, rules.least, rules.seed)
    found = once((*key, *sorted(declared.items())), lambda: _changes(games, rules))
    games.progress(1.0)
    return found


def _changes(games: Inquiry, rules: Rules) -> Changes:
    played = games.reads.switching.games(games.scope, games.focus.ids, list(rules.declared))
    table = gather(games)
    refusals = guards.picked_by_result(table.everybody)
    players = sequences(played, refusals.players)
    found, judged = find_all(players, rules, lambda part: games.progress(_FINDING * part))
    noticed = frozenset(games.reads.rumours()["person_id"].drop_nulls().to_list())
    effects = _effects(games, players, Around(table, refusals.players, noticed), found)
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


@dataclass(frozen=True, slots=True, eq=False)
class Around:
    """What the changes of a cohort are judged against.

    Attributes:
        table: the cohort's player-seasons, and those of everybody around them.
        refused: player-seasons whose tags were picked by result.
        noticed: players a rumour names.
    """

    table: Table
    refused: pl.DataFrame
    noticed: frozenset[int]


def _effects(
    inquiry: Inquiry, players: Sequence[Games], around: Around, changes: Sequence[Switch]
) -> list[Effect]:
    if not changes:
        return []
    of = {one.person_id: one for one in players}
    found = [switch_effects.sides(change, of[change.person_id]) for change in changes]
    everybody = [*found, *_elsewhere(inquiry, found, around)]
    fitted = switch_effects.levels(around.table.whole, everybody)
    sides = pl.concat([frame for side in found for frame in (side.before, side.after)])
    scope = inquiry.scope.whole_rows(
        inquiry.reads.names.written_as(sides["league_id"].unique()),
        sides["season_id"].unique().sort().to_list(),
    )
    days = Days(inquiry.reads.switching.days(scope), {s.switch.person_id for s in everybody})
    effects = []
    for number, side in enumerate(found):
        noticed = side.switch.person_id in around.noticed
        effects.append(replace(_effect(side, fitted, days), noticed=noticed))
        inquiry.progress(_FINDING + (1 - _FINDING) * number / len(found))
    return sorted(effects, key=_place)


def _elsewhere(inquiry: Inquiry, found: Sequence[Sides], around: Around) -> list[Sides]:
    """Changes of players the cohort leaves out, who are no controls and whose after sides no level.

    Without them a player asked for alone would be judged otherwise than among all.
    """
    scope = inquiry.scope
    if not scope.narrowed:
        return []
    leagues = {league for side in found for league in side.before["league_id"]}
    leagues |= {league for side in found for league in side.after["league_id"]}
    everybody = scope.everybody(inquiry.reads.names.written_as(leagues))
    known = {side.switch.person_id for side in found}
    played = inquiry.reads.switching.games(everybody, inquiry.focus.ids)
    others = sequences(played.filter(~pl.col("person_id").is_in(list(known))), around.refused)
    return [
        switch_effects.sides(change, one)
        for one in others
        if one.tagged >= 2 * LEAST_TAGS
        for change in found_in(one, None)
    ]


def _effect(side: Sides, fitted: pl.DataFrame, days: Days) -> Effect:
    if side.why is not None:
        return Effect(side, side.why)
    begun = switch_effects.start(side.before, fitted)
    controls = days.others(side)
    compared = placebo(side, controls)
    if begun is None:
        return Effect(side, NO_LEVEL, placebo=compared)
    made, attempts = side.made_after, side.attempts_after
    return Effect(
        sides=side,
        why=None,
        start=begun,
        expected=expected(begun.before, made, attempts),
        gain=size(begun.before, made, attempts),
        moved=moved(side, controls, begun.before),
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
        side.day_high or date.max,
        side.player,
        side.switch.number,
    )


def _tried(players: Sequence[Games], changes: Sequence[Switch]) -> list[dict[str, Any]]:
    """Those seen doing it fewer than ten times who did not change to it."""
    changed = {change.person_id for change in changes if change.finding != "possible"}
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
                "focus_tags": times,
                "made": int(did["focus_made"].sum()),
                "first": did["date"].min(),
                "last": did["date"].max(),
                "went_back": int(later["tagged"].sum()) > 0,
                "tagged": one.tagged,
            }
        )
    return rows
