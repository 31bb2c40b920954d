"""One player, everything."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.errors import UseError
from ledger.questions import (
    columns,
    guards,
    miss_grid,
    player_shapes,
    player_words,
    states,
    switches,
)
from ledger.questions.player_seasons import PERSON_SEASON, gather
from ledger.questions.wording import listed
from ledger.stats.intervals import wilson
from ledger.stats.running_rate import running

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from ledger.questions.answer import Answer, Part
    from ledger.questions.guards import Refusals
    from ledger.questions.inquiry import Inquiry
    from ledger.questions.player_seasons import Table

_MOST_CHOICES = 6


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """All there is of one player in a cohort.

    Attributes:
        person: whose it is: `person_id, player, leagues, teams`.
        attempts: his attempts of games in order.
        games: one row a game with its running rate.
        seasons: his seasons as judged, totals filled in.
        table: what the seasons are made of.
        refusals: seasons whose tags were picked by result.
        changes: the answer of `switches` about him.
    """

    person: Mapping[str, Any]
    attempts: pl.DataFrame
    games: pl.DataFrame
    seasons: pl.DataFrame
    table: Table
    refusals: Refusals
    changes: Answer


def answer(inquiry: Inquiry) -> Answer:
    """A player's running rate, his seasons, changes, misses, and what was written about him."""
    refused = ""
    if not inquiry.cohort.player:
        refused = player_words.NOBODY
    elif inquiry.practice_only:
        refused = "A player's page is made of games: practice has its own question, the trial."
    elif inquiry.cohort.technique:
        refused = guards.ONE_TECHNIQUE
    if refused:
        return inquiry.answer(refused, columns.part(player_shapes.COLUMNS, []), _nothing(inquiry))
    person = _person(inquiry)
    games = inquiry.games_only()
    found = _found(games, person)
    day = inquiry.reads.trials.last_day()
    parts = {
        "facts": player_shapes.facts(inquiry.reads.one_player.facts(person["person_id"]), found),
        "by_technique": _by_technique(found),
        "by_season": player_shapes.by_season(found),
        "switches": found.changes.main,
        "misses": _misses(found),
        "notes": player_shapes.notes(inquiry.reads.one_player.notes(person["person_id"])),
        "decisions": player_shapes.decisions(
            inquiry.reads.one_player.decisions(person["person_id"]), day
        ),
    }
    return games.answer(
        player_words.headline(games, found),
        columns.part(player_shapes.COLUMNS, found.games),
        parts,
        player_words.notes(found, parts["decisions"]),
    )


def _nothing(inquiry: Inquiry) -> dict[str, Part]:
    return {
        "facts": columns.part(player_shapes.FACTS_COLUMNS, []),
        "by_technique": columns.part(player_shapes.TECHNIQUE_COLUMNS, []),
        "by_season": columns.part(player_shapes.SEASON_COLUMNS, []),
        "switches": _asked_of_switches(inquiry, practice=True).main,
        "misses": columns.part(miss_grid.COLUMNS, []),
        "notes": player_shapes.notes([]),
        "decisions": player_shapes.decisions([], None),
    }


def _asked_of_switches(inquiry: Inquiry, *, practice: bool = False) -> Answer:
    """What `switches` answers with its usual options; of practice it answers no rows at once."""
    from ledger.questions.registry import find

    question = find("switches")
    options = {option.name: option.default for option in question.options}
    cohort = replace(inquiry.cohort, stage=("practice",)) if practice else inquiry.cohort
    return switches.answer(replace(inquiry, question=question, options=options, cohort=cohort))


def _person(inquiry: Inquiry) -> dict[str, Any]:
    """The one person who is meant.

    Raises:
        UseError: if several are, with what tells them apart.
    """
    names, cohort = inquiry.reads.names, inquiry.cohort
    leagues = names.leagues(cohort.league) if cohort.league else []
    people = inquiry.reads.one_player.persons(names.players(cohort.player, leagues))
    if cohort.team and len(people) > 1:
        teams = set(names.teams(cohort.team, leagues))
        people = [p for p in people if teams & set(p["team_ids"])] or people
    if len(people) > 1:
        shown = [f"{p['player']} ({p['leagues']}, {p['teams']})" for p in people]
        more = f" and {len(shown) - _MOST_CHOICES} more" if len(shown) > _MOST_CHOICES else ""
        raise UseError(
            f"{listed(list(cohort.player), 'or')!r} is {len(people)} players: "
            f"{listed(shown[:_MOST_CHOICES], 'or')}{more}; say which with --league or --team"
        )
    return people[0]


def _found(inquiry: Inquiry, person: Mapping[str, Any]) -> Found:
    table = gather(inquiry)
    refusals = guards.picked_by_result(table.everybody)
    seasons = states.judged(table.people, refusals)
    seasons = seasons.filter(pl.col("person_id") == person["person_id"])
    attempts = inquiry.reads.one_player.attempts(inquiry.scope, person["person_id"])
    return Found(
        person=person,
        attempts=attempts,
        games=_games(attempts, inquiry.focus.ids),
        seasons=seasons,
        table=table,
        refusals=refusals,
        changes=_asked_of_switches(inquiry),
    )


def _games(attempts: pl.DataFrame, studied: Sequence[int]) -> pl.DataFrame:
    """One row a game, in order, with the running rate up to and with it."""
    clear = pl.col("technique").filter(pl.col("counts"))
    games = attempts.group_by(
        "date", "game_id", "game", "league", "season", maintain_order=True
    ).agg(
        pl.col("team").first(),
        pl.col("made").sum().cast(pl.Int64),
        pl.len().cast(pl.Int64).alias("attempts"),
        clear.unique().sort().str.join(", ").alias("technique"),
        pl.col("counts").sum().cast(pl.Int64).alias("tagged"),
        (pl.col("counts") & pl.col("technique_id").is_in(studied))
        .sum()
        .cast(pl.Int64)
        .alias("focus_tags"),
        (pl.col("order_in_game").null_count() == 0).alias("ordered"),
    )
    place = {number: at for at, number in enumerate(games["game_id"].to_list())}
    of = [place[number] for number in attempts["game_id"].to_list()]
    if games.height:
        found = running(attempts["made"].to_numpy(), of, games["ordered"].to_numpy())
        rates = {"running_rate": found.rate, "low": found.low, "high": found.high}
        figures = pl.DataFrame({**rates, "running_attempts": found.attempts}).fill_nan(None)
    else:
        figures = pl.DataFrame(
            schema={
                **dict.fromkeys(("running_rate", "low", "high"), pl.Float64),
                "running_attempts": pl.Int64,
            }
        )
    return games.hstack(figures).with_columns(
        technique=pl.when(pl.col("tagged") > 0).then("technique"),
        running_why=pl.when(pl.col("running_rate").is_null()).then(
            pl.lit("fewer than 10 attempts")
        ),
    )


def _allowed(found: Found) -> pl.DataFrame:
    """His attempts of seasons whose tags were not picked by their result."""
    refused = found.refusals.players.select("league_id", "season_id", "person_id").filter(
        pl.col("person_id") == found.person["person_id"]
    )
    return found.attempts.join(
        refused.select(PERSON_SEASON[:2]),
        on=list(PERSON_SEASON[:2]),
        how="anti",
        maintain_order="left",
    )


def _by_technique(found: Found) -> Part:
    summed = (
        _allowed(found)
        .filter(pl.col("counts"))
        .group_by("technique")
        .agg(
            pl.col("made").sum().cast(pl.Int64),
            pl.len().cast(pl.Int64).alias("attempts"),
            pl.col("date").min().alias("first"),
            pl.col("date").max().alias("last"),
        )
        .sort(["attempts", "technique"], descending=[True, False])
    )
    rows = []
    for row in summed.iter_rows(named=True):
        limits = wilson(row["made"], row["attempts"])
        rate = row["made"] / row["attempts"]
        rows.append({**row, "rate": rate, "low": limits.low, "high": limits.high})
    return columns.part(player_shapes.TECHNIQUE_COLUMNS, rows)


def _misses(found: Found) -> Part:
    """By technique; a tag picked by the result may tell how a miss went."""
    known = found.attempts.filter(pl.col("technique").is_not_null())
    order = known["technique"].value_counts().sort(["count", "technique"], descending=[True, False])
    return miss_grid.grid(known, order["technique"].to_list())
