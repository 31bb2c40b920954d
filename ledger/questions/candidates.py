"""Who should try it?"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.cohort import Cohort
from ledger.questions import (
    candidate_figures,
    candidates_words,
    columns,
    guards,
    level,
    states,
    switch_shapes,
    switches,
)
from ledger.questions.candidate_figures import Own, Typed
from ledger.questions.player_seasons import LEAGUE_SEASON, gather, joined

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from ledger.questions.answer import Answer, Part
    from ledger.questions.inquiry import Inquiry
    from ledger.questions.player_seasons import Table

PRACTICE = "Changes are looked for in games: leave out --stage practice."
_LAST_SEASONS = 3
ORDER = {
    "mean": "points_per_season",
    "low": "points_low",
    "rate": "shrunken_rate",
    "attempts-per-season": "attempts_per_season",
    "long": "long_share",
    "short": "short_share",
    "board-contact": "board_contact_share",
    "height": "height_cm",
    "mass": "mass_kg",
    "two-shot-trips": "two_shot_trips",
    "three-shot-trips": "three_shot_trips",
}


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """What an answer is told from.

    Attributes:
        inquiry: the question, without practice.
        typed: what was typed.
        changes: the cohort's changes, whose effect is carried over.
        rows: a row a listed player, in order.
        assumed: points for gains that were assumed.
        levels: the level of each league-season, those that were typed marked by `typed`.
        seasons_left: seasons of another technique that are in nobody's rate.
    """

    inquiry: Inquiry
    typed: Typed
    changes: switches.Changes
    rows: Sequence[Mapping[str, Any]]
    assumed: Sequence[Mapping[str, Any]]
    levels: pl.DataFrame
    seasons_left: int


def answer(inquiry: Inquiry) -> Answer:
    """What each player of a list may gain, if he gains as those who changed did."""
    typed = Typed.of(inquiry.options)
    refused = ""
    if inquiry.practice_only:
        refused = PRACTICE
    elif inquiry.cohort.technique:
        refused = guards.ONE_TECHNIQUE
    elif not inquiry.options["list"]:
        refused = candidates_words.no_list(inquiry.reads.choices("list"))
    if refused:
        return _answered(inquiry, refused)
    games = inquiry.games_only()
    people = games.reads.candidates.listed(*games.reads.names.lists(games.options["list"]))
    if people.is_empty():
        return _answered(inquiry, candidates_words.empty_list(games.options["list"]))
    changes = switches.changes(games)
    whole = _whole(games)
    table = gather(whole)
    own, levels, left = _own(table, typed, changes)
    facts = _facts(whole, people)
    figures = candidate_figures.Figures(typed, changes.pools.unnoticed, _leagues(changes))
    rows = [figures.row(one, own.get(one["person_id"])) for one in facts.iter_rows(named=True)]
    rows = _ordered(rows, inquiry.options["order"])
    assumed = [line for row in rows for line in figures.assumed(row)]
    told = Told(games, typed, changes, rows, assumed, levels, left)
    notes = [*table.notes(), *changes.refusals.notes(), *candidates_words.notes(told)]
    return _answered(inquiry, candidates_words.headline(told), told, notes)


def _answered(
    inquiry: Inquiry, headline: str, told: Told | None = None, notes: Sequence[str] = ()
) -> Answer:
    pool = told.changes.pools.unnoticed if told else None
    levels = told.levels if told else level.fit(_NO_ROWS)
    parts: dict[str, Part] = {
        "assumed": columns.part(candidate_figures.ASSUMED, told.assumed if told else []),
        "pooled": switch_shapes.pooled(pool),
        "prior": level.part(levels),
    }
    main = columns.part(candidate_figures.COLUMNS, told.rows if told else [])
    words = candidates_words.cohort(inquiry) if inquiry.options["list"] else ""
    return inquiry.answer(headline, main, parts, notes, words=words)


_NO_ROWS = pl.DataFrame(
    schema={
        **dict.fromkeys(("league_id", "season_id", "person_id"), pl.Int32),
        **dict.fromkeys(("league", "season"), pl.String),
        **dict.fromkeys(("made", "attempts"), pl.Int64),
    }
)


def _whole(games: Inquiry) -> Inquiry:
    """The listed players' own attempts: of all games in the ledger, whatever the cohort is."""
    own = Cohort.of(shot=games.cohort.shot, list=games.options["list"])
    return replace(games, cohort=own)


def _leagues(changes: switches.Changes) -> frozenset[int]:
    """The leagues in which those changed whose effect is carried over."""
    pool = changes.pools.unnoticed
    return frozenset(effect.sides.league_id for effect in pool.effects) if pool else frozenset()


def _own(
    table: Table, typed: Typed, changes: switches.Changes
) -> tuple[dict[int, Own], pl.DataFrame, int]:
    """Each player's own rate and how often he shoots; the levels; how many seasons are left out."""
    refusals = guards.picked_by_result(table.everybody)
    people = states.judged(table.people, refusals)
    now = {row["person_id"]: row for row in states.latest(people).iter_rows(named=True)}
    levels = typed.filled(level.fit(table.whole))
    changed = _changed(changes)
    does = pl.col("person_id").is_in([who for who, row in now.items() if row["state"] == "adopter"])
    # Attempts of a season shot with the technique tell nothing of how he shoots now.
    kept = people.filter((pl.col("state") != "adopter").fill_null(True) | does)
    rates = _rates(kept, levels)
    missing = _missing(kept, levels)
    found = {}
    for group in people.partition_by("person_id", maintain_order=True):
        who = int(group["person_id"][0])
        last = group.filter(pl.col("start_year") == pl.col("start_year").max())
        named = last.select(joined("team"), joined("league")).row(0, named=True)
        mine = kept.filter(pl.col("person_id") == who)
        found[who] = Own(
            team=named["team"],
            league=named["league"],
            leagues=frozenset(last["league_id"].to_list()),
            made=int(mine["made"].sum()),
            attempts=int(mine["attempts"].sum()),
            tagged=int(mine["tagged"].sum()),
            state=now[who]["state"],
            state_why=now[who]["refused"],
            shape=rates.get(who),
            no_level=missing.get(who),
            changed=changed.get(who),
            per_season=_per_season(group),
            picked=group["refused"].null_count() < group.height,
        )
    return found, levels, people.height - kept.height


def _changed(changes: switches.Changes) -> dict[int, str]:
    """Those whose last change was to the technique, and since when."""
    last: dict[int, switches.Effect] = {}
    for effect in sorted(changes.effects, key=lambda e: e.sides.switch.number):
        if effect.sides.switch.finding != "possible":
            last[effect.sides.switch.person_id] = effect
    found = {}
    for who, effect in last.items():
        if effect.sides.switch.direction == "to_focus":
            day = effect.sides.day or effect.sides.day_high
            found[who] = f"already shoots so: changed {'on' if effect.sides.day else 'by'} {day}"
    return found


def _rates(kept: pl.DataFrame, levels: pl.DataFrame) -> dict[int, tuple[float, float]]:
    """Beta(a, b) of each player's rate, one talent over his seasons; none where a level lacks."""
    row = kept.select("person_id").unique(maintain_order=True).with_row_index("row")
    entries = kept.join(
        row.with_columns(pl.col("row").cast(pl.Int64)),
        on="person_id",
        how="left",
        maintain_order="left",
    )
    talent = level.shrink(entries, row.height, levels)
    return {
        int(who): (float(a), float(b))
        for who, a, b in zip(row["person_id"].to_list(), talent.a, talent.b, strict=True)
        if a == a  # nan: one of his league-seasons has no level
    }


def _missing(kept: pl.DataFrame, levels: pl.DataFrame) -> dict[int, str]:
    """Why a player has no rate allowing for luck: the first of his league-seasons without level."""
    without = levels.filter(pl.col("mean").is_null()).select(LEAGUE_SEASON)
    rows = kept.join(without, on=LEAGUE_SEASON, how="semi", maintain_order="left")
    first = rows.group_by("person_id", maintain_order=True).first()
    return {
        row["person_id"]: f"{row['league']} {row['season']} has fewer than 8 players: type "
        "--level and --level-weight"
        for row in first.iter_rows(named=True)
    }


def _per_season(group: pl.DataFrame) -> float:
    """Attempts a season, the mean of the last up to three in which he shot."""
    seasons = group.group_by("start_year").agg(pl.col("attempts").sum())
    mean = seasons.sort("start_year").tail(_LAST_SEASONS)["attempts"].to_numpy().mean()
    return float(mean)


def _facts(whole: Inquiry, people: pl.DataFrame) -> pl.DataFrame:
    """Listed players with what is known of them, of their trips and of their misses."""
    reads = whole.reads.candidates
    found = people.join(reads.shooting(whole.scope), on="person_id", how="left")
    return found.join(reads.seen(whole.scope), on="person_id", how="left").sort(
        "player", "person_id"
    )


def _ordered(rows: list[dict[str, Any]], order: str) -> list[dict[str, Any]]:
    """Largest first; those without the figure come last, who shoots most first."""
    key = ORDER[order]

    def place(row: dict[str, Any]) -> tuple[bool, float, bool, float, str]:
        value = row.get(key)
        refused = str(row.get("why") or "").startswith("already")
        often = row.get("attempts_per_season") or 0.0
        return value is None, -(value or 0.0), refused, -often, str(row["player"])

    return sorted(rows, key=place)
