"""Is it growing?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.questions import adopting, columns, growing, guards, states, uptake_words
from ledger.questions.answer import Column
from ledger.questions.drawn import Lots
from ledger.questions.player_seasons import LEAGUE_SEASON, PERSON_SEASON, by_person, gather
from ledger.stats.league_share import MIN_ATTEMPTS, LeagueShare, league_share

if TYPE_CHECKING:
    from ledger.questions.answer import Answer
    from ledger.questions.inquiry import Inquiry

WHY_PART = "not every player with 10 attempts is watched: a part of a league has only its bounds"
WHY_SOURCE = "attempts of one source are no league: leave out --source"

_COUNTED = f"players with {MIN_ATTEMPTS} attempts or more"
COLUMNS = (
    columns.LEAGUE,
    columns.text("team", "Team", "Team, where rows are teams"),
    columns.text(
        "position", "Position", "Position in the league's own word, where rows are positions"
    ),
    columns.SEASON,
    columns.START_YEAR,
    columns.ATTEMPTS,
    columns.TAGGED,
    columns.COVERAGE,
    columns.number_of("players", "Players", "players", f"{_COUNTED.capitalize()}"),
    columns.number_of("tagged_players", "Watched", "players", "Of them with a watched attempt"),
    columns.number_of("adopters", "Adopters", "players", "Of them judged adopter"),
    columns.number_of(
        "undecided", "Undecided", "players", "Of them watched, but not enough to judge"
    ),
    columns.number_of("drawn_players", "Drawn", "players", "Watched ones who were drawn by lot"),
    columns.number_of("picked_players", "Picked", "players", "Watched ones who were not"),
    columns.share("share", "Share", f"Of the attempts of {_COUNTED}, with the technique"),
    columns.share("low", "Low", "Lower limit of the share (95 %)"),
    columns.share("high", "High", "Upper limit of the share (95 %)"),
    columns.text("share_why", "Why not", "Why there is no share, or no interval"),
    columns.share("least_share", "At least", "If nobody who was never watched does it"),
    columns.share("most_share", "At most", "If everybody who was never watched does it"),
    columns.text("method", "How", "census, near_census, drawn or bounds"),
    columns.number_of(
        "unwatched_drawn",
        "Drawn, unwatched",
        "players",
        "Drawn by lot and without a watched attempt that counts",
    ),
    columns.number_of(
        "left_out_players",
        "Left out",
        "players",
        f"Players with fewer than {MIN_ATTEMPTS} attempts",
    ),
    columns.number_of("left_out_attempts", "Left out", "attempts", "Their attempts"),
    columns.figure(
        "effective_size", "Effective size", "attempts", "Weight of the season in the curve"
    ),
    Column(
        "raised", "Raised it", "boolean", "", "Whether it is the season that raised the question"
    ),
)
Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Season:
    """One row, and the share it came from (None where tags were picked by result)."""

    row: Row
    share: LeagueShare | None


def answer(inquiry: Inquiry) -> Answer:
    """The share of the technique by league (or team, or position) and season."""
    refused = ""
    if inquiry.practice_only:
        refused = "Attempts of practice make no share: practice is no game."
    elif inquiry.cohort.technique:
        refused = guards.ONE_TECHNIQUE
    if refused:
        parts = growing.parts(inquiry, []) | adopting.nothing().parts
        return inquiry.answer(refused, columns.part(COLUMNS, []), parts)
    games = inquiry.games_only()
    table = gather(games)
    refusals = guards.picked_by_result(table.everybody)
    lots = Lots.of(inquiry.reads)

    def seasons_by(by: str) -> list[Season]:
        people = _people(table.rows, refusals, lots, by)
        return _seasons(games, people, refusals, lots, by)

    leagues = seasons_by("league")
    by = games.options["by"]
    seasons = leagues if by == "league" else seasons_by(by)
    rows = [s.row for s in seasons]
    headline = uptake_words.headline(games, rows) if rows else games.nothing_here()
    curve = growing.of(leagues)
    taken_up = adopting.of(table.rows, refusals, lots)
    notes = [
        *uptake_words.raised(rows),
        *table.notes(),
        *refusals.among(table.rows).notes(),
        *uptake_words.notes(games, rows),
        *growing.notes(curve),
        *taken_up.notes,
    ]
    parts = growing.parts(inquiry, curve) | taken_up.parts
    return inquiry.answer(headline, columns.part(COLUMNS, rows), parts, notes)


def _people(rows: pl.DataFrame, refusals: guards.Refusals, lots: Lots, by: str) -> pl.DataFrame:
    """Players with their state, how they were chosen, and the row they belong to."""
    if by == "team":
        people = by_person(rows, "team_id", "team")
    else:
        people = by_person(rows).with_columns(team=pl.lit(None, dtype=pl.String))
    # A class is judged on the whole player-season, whatever team he played for.
    state = states.judged(by_person(rows), refusals).select(*PERSON_SEASON, "state", "refused")
    people = people.join(state, on=PERSON_SEASON, how="left", maintain_order="left")
    people = people.join(lots.players, on=PERSON_SEASON, how="left", maintain_order="left")
    if by != "position":
        people = people.with_columns(position=pl.lit(None, dtype=pl.String))
    # Tags that were picked by result say nothing: the player counts as not watched.
    usable = pl.col("refused").is_null()
    return people.with_columns(
        pl.col("by_lot", "framed").fill_null(False),
        told=pl.when(usable).then(pl.col("tagged")).otherwise(0),
        told_focus=pl.when(usable).then(pl.col("focus_tags")).otherwise(0),
    )


def _seasons(
    inquiry: Inquiry, people: pl.DataFrame, refusals: guards.Refusals, lots: Lots, by: str
) -> list[Season]:
    refused = {
        (row["league_id"], row["season_id"]): row["refused"]
        for row in refusals.leagues.iter_rows(named=True)
    }
    part_of_league = by != "league" or any(
        getattr(inquiry.cohort, name) for name in uptake_words.PARTS_OF_A_LEAGUE
    )
    suspicion = guards.Suspicion.of(inquiry)
    ordered = people.sort(
        ["league", "league_id", "start_year", "season", "season_id", "team", "position"],
        nulls_last=True,
        maintain_order=True,
    )
    keys = [*LEAGUE_SEASON, *([] if by == "league" else ["team_id"] if by == "team" else [by])]
    found = []
    for group in ordered.partition_by(keys, maintain_order=True):
        first = group.row(0, named=True)
        pair = (first["league_id"], first["season_id"])
        why = refused.get(pair) or (WHY_SOURCE if inquiry.cohort.source else None)
        share = None if why else _share(group, listed=pair in lots.listed)
        season = _row(group, share, why, part_of_league=part_of_league)
        season.row["declared"] = pair in lots.declared
        season.row["raised"] = suspicion.raised(*pair)
        found.append(season)
    return found


def _share(group: pl.DataFrame, *, listed: bool) -> LeagueShare:
    """The share of one row; whom a lot could have drawn decides for whom the drawn ones speak.

    Of a lot that was declared, not saved, the frame is not known: everybody without a tag before
    it counts as in it.
    """
    framed = None
    if listed or group["framed"].any():
        unseen = pl.lit(not listed) & (pl.col("told") == 0)
        framed = group.select(framed=pl.col("framed") | unseen)["framed"].to_numpy()
    return league_share(
        group["attempts"].to_numpy(),
        group["told"].to_numpy(),
        group["told_focus"].to_numpy(),
        group["by_lot"].to_numpy(),
        in_frame=framed,
    )


def _row(
    group: pl.DataFrame, share: LeagueShare | None, why: str | None, *, part_of_league: bool
) -> Season:
    first = group.row(0, named=True)
    enough = group.filter(pl.col("attempts") >= MIN_ATTEMPTS)
    attempts, tagged = int(group["attempts"].sum()), int(group["tagged"].sum())
    watched = enough.filter(pl.col("told") > 0)
    few = group.filter(pl.col("attempts") < MIN_ATTEMPTS)
    row: Row = {
        name: first[name] for name in ("league", "team", "position", "season", "start_year")
    }
    row |= {
        "attempts": attempts,
        "tagged": tagged,
        "coverage": tagged / attempts,
        "players": enough.height,
        "tagged_players": watched.height,
        "adopters": _watched_as(watched, "adopter"),
        "undecided": _watched_as(watched, "undecided"),
        "drawn_players": watched.filter(pl.col("by_lot")).height,
        "picked_players": watched.filter(~pl.col("by_lot")).height,
        "unwatched_drawn": enough.filter(pl.col("by_lot") & (pl.col("told") == 0)).height,
        "refused_drawn": enough.filter("by_lot", pl.col("refused").is_not_null()).height,
        "left_out_players": few.height,
        "left_out_attempts": int(few["attempts"].sum()),
        "share": None,
        "low": None,
        "high": None,
        "share_why": why,
    }
    if share is None:
        if why != WHY_SOURCE:
            row |= {"adopters": None, "undecided": None}
        return Season(row, None)
    row |= {"least_share": share.least, "most_share": share.most, "method": share.method}
    if part_of_league and share.method != "census":
        return Season({**row, "share_why": WHY_PART, "method": "bounds"}, None)
    row |= {
        "share": share.share,
        "low": share.low,
        "high": share.high,
        "share_why": share.why or None,
        "effective_size": growing.weight(share),
    }
    return Season(row, share)


def _watched_as(watched: pl.DataFrame, state: str) -> int | None:
    """How many watched players are in a state; nothing where nobody was watched."""
    return watched.filter(pl.col("state") == state).height if watched.height else None
