"""What to watch next?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import polars as pl

from ledger.questions import columns, guards, states, watchlist_words
from ledger.questions.answer import Column
from ledger.questions.drawn import Lots
from ledger.questions.player_seasons import PERSON_SEASON, gather
from ledger.questions.states import DECIDED
from ledger.questions.watching_plan import Taggers, second_opinions
from ledger.stats import watch_order
from ledger.stats.technique_class import more_tags_needed

if TYPE_CHECKING:
    from ledger.questions.answer import Answer, Part
    from ledger.questions.inquiry import Inquiry

NO_FILM = "no film named"
COLUMNS = (
    columns.text("game", "Game", "The game, as its league calls it"),
    Column("date", "Date", "date", "", "Day of the game"),
    columns.LEAGUE,
    columns.SEASON,
    columns.text("home", "Home", "Home team"),
    columns.text("away", "Away", "Away team"),
    columns.text("video", "Film", "Where the film is"),
    columns.number_of(
        "attempts_to_watch", "To watch", "attempts", "Attempts of open players that have no tag"
    ),
    columns.number_of("undecided_players", "Open", "players", "Players who are open, with such"),
    columns.figure(
        "expected_decided", "Settles", "players", "Players watching it alone should settle"
    ),
    columns.figure("per_attempt", "Per attempt", "players", "The same for each attempt watched"),
    columns.text("for_tagger", "For", "Who watches it"),
    columns.text("video_why", "Why no film", "Why no film is named"),
    columns.text("watch", "Whom", "The open players, with how many attempts to watch of each"),
    columns.figure(
        "expected_so_far", "Settled so far", "players", "Players all games down to this one settle"
    ),
    columns.number_of("drawn_players", "Drawn", "players", "Open players who were drawn by lot"),
    columns.number_of(
        "second_opinions",
        "Second opinions",
        "attempts",
        "Attempts of the game drawn to be watched twice and watched once",
    ),
)
PLAYER_COLUMNS = (
    columns.PLAYER,
    columns.TAGGED,
    columns.STATE,
    columns.number_of(
        "more_tags", "To call it", "attempts", "Further attempts that would probably settle it"
    ),
    Column("may_stop", "May stop", "boolean", "", "Whether to leave him as he is"),
    columns.LEAGUE,
    columns.SEASON,
    columns.TEAM,
    columns.FOCUS_TAGS,
    columns.number_of("unwatched", "Unwatched", "attempts", "Attempts in games without any tag"),
    Column("drawn", "Drawn", "boolean", "", "Whether he was drawn by lot"),
    columns.text("why", "Why", "Why to stop, or why there is no number"),
)
SECOND_COLUMNS = (
    columns.number_of("attempt", "Attempt", "", "The ledger's number of the attempt"),
    columns.text("game", "Game", "The game"),
    Column("date", "Date", "date", "", "Day of the game"),
    columns.LEAGUE,
    columns.SEASON,
    columns.PLAYER,
    columns.number_of("period", "Period", "", "Period of the game"),
    columns.figure("clock_s", "Clock", "seconds", "Seconds left in the period"),
    columns.number_of("order_in_game", "Order", "", "Place in the order of the game"),
    columns.text("video", "Film", "Where the film is"),
    columns.text("for_tagger", "For", "Who gives the second opinion; not who gave the first"),
)
_OPEN = ("undecided", "untagged")
_STATES = (*_OPEN, "occasional", "adopter", "not")


@dataclass(frozen=True, slots=True)
class Found:
    """What the words are made of.

    Attributes:
        people: player-seasons with `state, may_stop, why, more_tags, unwatched, drawn, open`.
        rows: the games, as shown.
        games: how many games have unwatched attempts of open players.
        smallest: attempts of open players in the smallest of them.
        attempts: all those attempts.
        taggers: who watches.
        owed: attempts waiting for a second opinion.
    """

    people: pl.DataFrame
    rows: list[dict[str, Any]]
    games: int
    smallest: int
    attempts: int
    taggers: Taggers
    owed: int


def answer(inquiry: Inquiry) -> Answer:
    """The games to watch next, by players settled for each attempt watched."""
    taggers = Taggers.of(inquiry.options["taggers"])
    refused = ""
    if inquiry.practice_only:
        refused = "Practice is not watched for a class: nobody's technique in games is in it."
    elif inquiry.cohort.technique:
        refused = guards.ONE_TECHNIQUE
    if refused:
        return inquiry.answer(refused, columns.part(COLUMNS, []), _parts([], []))
    games = inquiry.games_only()
    table = gather(games)
    refusals = guards.picked_by_result(table.everybody)
    unwatched = games.reads.watching.unwatched(games.scope)
    people = _people(games, states.judged(table.people, refusals), unwatched)
    owed = games.reads.watching.second(games.scope)
    found = _plan(games, people, unwatched, taggers, owed)
    headline = watchlist_words.headline(games, found) if people.height else games.nothing_here()
    refused_here = refusals.among(table.rows).notes()
    notes = [*table.notes(), *refused_here, *watchlist_words.notes(games, found)]
    second = second_opinions(games.reads, owed, taggers)
    return inquiry.answer(
        headline, columns.part(COLUMNS, found.rows), _parts(_shown(people), second), notes
    )


def queue(inquiry: Inquiry) -> pl.DataFrame:
    """The open players of every game with unwatched attempts of theirs, in the list's order.

    Returns:
        `game_id, person_id, place`: no rows where nothing is watched for a class.
    """
    none = pl.DataFrame(schema={"game_id": pl.Int32, "person_id": pl.Int32, "place": pl.UInt32})
    if inquiry.practice_only or inquiry.cohort.technique:
        return none
    games = inquiry.games_only()
    table = gather(games)
    refusals = guards.picked_by_result(table.everybody)
    unwatched = games.reads.watching.unwatched(games.scope)
    people = _people(games, states.judged(table.people, refusals), unwatched)
    open_, left = _open_of(people, unwatched)
    if left.is_empty():
        return none
    players = watch_order.needs(open_["focus_tags"].to_numpy(), open_["tagged"].to_numpy())
    ordered = _ordered(games, left, players)
    placed = left.join(ordered.select("game_id", "place"), on="game_id")
    return placed.select("game_id", "person_id", "place").cast(none.schema).sort("place")


def _open_of(people: pl.DataFrame, unwatched: pl.DataFrame) -> tuple[pl.DataFrame, pl.DataFrame]:
    """The open players, numbered in `who`, and their unwatched attempts by game."""
    open_ = people.filter("is_open").with_row_index("who")
    names = open_.select(*PERSON_SEASON, "who", "player", "drawn")
    return open_, unwatched.join(names, on=PERSON_SEASON, how="inner", maintain_order="left")


def _parts(people: pl.DataFrame | list[Any], second: list[Any]) -> dict[str, Part]:
    return {
        "players": columns.part(PLAYER_COLUMNS, people),
        "second_opinions": columns.part(SECOND_COLUMNS, second),
    }


def _people(inquiry: Inquiry, judged: pl.DataFrame, unwatched: pl.DataFrame) -> pl.DataFrame:
    """Player-seasons with what is left to watch of them, and whether to stop."""
    drawn = Lots.of(inquiry.reads).players.filter(pl.col("by_lot"))
    left = unwatched.group_by(PERSON_SEASON, maintain_order=True).agg(pl.col("unwatched").sum())
    people = judged.join(left, on=PERSON_SEASON, how="left", maintain_order="left")
    people = people.join(
        drawn.select(*PERSON_SEASON, drawn="by_lot"),
        on=PERSON_SEASON,
        how="left",
        maintain_order="left",
    ).with_columns(pl.col("unwatched").fill_null(0), pl.col("drawn").fill_null(False))
    decided = pl.col("state").is_in(DECIDED).fill_null(False)
    mixes = pl.col("tagged") >= watch_order.MIXES
    people = people.with_columns(
        pl.when(pl.col("refused").is_not_null())
        .then(pl.col("refused"))
        .when(decided)
        .then(pl.lit("decided"))
        .when(mixes)
        .then(pl.lit(f"mixes: leave undecided ({watch_order.MIXES} watched)"))
        .when(pl.col("unwatched") == 0)
        .then(pl.lit("no unwatched attempt in a game"))
        .alias("why"),
        is_open=pl.col("refused").is_null() & ~decided & ~mixes,
    )
    return people.with_columns(*_more(people), may_stop=pl.col("why").is_not_null())


def _more(people: pl.DataFrame) -> list[pl.Expr | pl.Series]:
    """Tags that would probably settle each open player, and why there is no number."""
    is_open = people["is_open"].to_list()
    asked = people.filter("is_open")
    found = iter(more_tags_needed(asked["focus_tags"].to_numpy(), asked["tagged"].to_numpy()))
    more = [next(found) if wanted else None for wanted in is_open]
    many = [wanted and number is None for wanted, number in zip(is_open, more, strict=True)]
    why = pl.when(pl.Series(many, dtype=pl.Boolean) & pl.col("why").is_null())
    return [
        pl.Series("more_tags", more, dtype=pl.Int64),
        why.then(pl.lit("more than 200")).otherwise(pl.col("why")).alias("why"),
    ]


def _shown(people: pl.DataFrame) -> pl.DataFrame:
    """Open players first, those nearest to a class before the others."""
    order = {state: i for i, state in enumerate(_STATES)}
    place = pl.col("state").replace_strict(order, default=9, return_dtype=pl.Int64)
    return people.with_columns(place=place).sort(
        ["may_stop", "more_tags", "place", "tagged", "player", "person_id", "start_year", "league"],
        descending=[False, False, False, True, False, False, False, False],
        nulls_last=True,
        maintain_order=True,
    )


def _plan(
    inquiry: Inquiry,
    people: pl.DataFrame,
    unwatched: pl.DataFrame,
    taggers: Taggers,
    owed: pl.DataFrame,
) -> Found:
    """Games in their order, dealt out as far as the limits go."""
    open_, left = _open_of(people, unwatched)
    if left.is_empty():
        return Found(people, [], 0, 0, 0, taggers, owed.height)
    players = watch_order.needs(open_["focus_tags"].to_numpy(), open_["tagged"].to_numpy())
    ordered = _ordered(inquiry, left, players)
    by_place = left.join(ordered.select("game_id", "place"), on="game_id").sort(
        "place", "unwatched", "player", descending=[False, True, False], maintain_order=True
    )
    sizes = by_place.group_by("place", maintain_order=True).len()["len"].to_numpy()
    ends = np.cumsum(sizes)
    who, r = by_place["who"].to_numpy().astype(np.int64), by_place["unwatched"].to_numpy()
    games = [(who[end - n : end], r[end - n : end]) for end, n in zip(ends, sizes, strict=True)]
    dealt = watch_order.deal(
        games,
        players,
        taggers=len(taggers.names),
        budget=inquiry.options["budget"],
        each=watchlist_words.attempts_each(inquiry),
    )
    settled = watch_order.settled(
        [games[one.place] for one in dealt],
        open_["focus_tags"].to_numpy(),
        open_["tagged"].to_numpy(),
    )
    rows = _rows(ordered, by_place, dealt, settled, taggers, owed)
    smallest = int(ordered["attempts_to_watch"].min() or 0)  # type: ignore[arg-type]
    total = int(ordered["attempts_to_watch"].sum())
    return Found(people, rows, ordered.height, smallest, total, taggers, owed.height)


def _ordered(inquiry: Inquiry, left: pl.DataFrame, players: watch_order.Needs) -> pl.DataFrame:
    """One row a game, in the order to watch them."""
    facts = inquiry.reads.watching.games(left["game_id"].unique().sort().to_list())
    facts = facts.with_row_index("at")
    at = left.join(facts.select("game_id", "at"), on="game_id", how="left", maintain_order="left")
    game, who, r = (at[name].to_numpy() for name in ("at", "who", "unwatched"))
    found = watch_order.scores(game, who, r, players, facts.height)
    of_drawn = watch_order.scores(
        game, who, np.where(at["drawn"].to_numpy(), r, 0), players, facts.height
    )
    first = of_drawn.per_attempt if inquiry.options["aim"] == "share" else np.zeros(facts.height)
    return (
        facts.with_columns(
            attempts_to_watch=pl.Series(found.attempts),
            undecided_players=pl.Series(found.players),
            expected_decided=pl.Series(found.decided),
            per_attempt=pl.Series(found.per_attempt),
            drawn_players=pl.Series(of_drawn.players),
            first=pl.Series(first),
            # Equal scores must not part by the last bit.
            score=pl.Series(found.per_attempt).round(12),
        )
        .sort(
            [pl.col("first").round(12), "score", "date", "league", "game", "game_id"],
            descending=[True, True, False, False, False, False],
            nulls_last=True,
            maintain_order=True,
        )
        .with_row_index("place")
    )


def _rows(
    ordered: pl.DataFrame,
    by_place: pl.DataFrame,
    dealt: list[watch_order.Dealt],
    settled: watch_order.Floats,
    taggers: Taggers,
    owed: pl.DataFrame,
) -> list[dict[str, Any]]:
    """The games that are dealt out, as they are shown."""
    plan = pl.DataFrame(
        {
            "place": [one.place for one in dealt],
            "for_tagger": [taggers.names[one.tagger] for one in dealt],
            "expected_so_far": settled,
        },
        schema={"place": pl.UInt32, "for_tagger": pl.String, "expected_so_far": pl.Float64},
    )
    named = pl.format("{} ({})", "player", "unwatched").str.join(", ")
    whom = by_place.join(plan.select("place"), on="place", how="semi", maintain_order="left")
    whom = whom.group_by("place", maintain_order=True).agg(named.alias("watch"))
    waiting = owed.group_by("game_id").agg(pl.len().alias("second_opinions"))
    rows = plan.join(ordered, on="place", how="left", maintain_order="left")
    rows = rows.join(whom, on="place", how="left", maintain_order="left")
    rows = rows.join(waiting, on="game_id", how="left", maintain_order="left")
    rows = rows.with_columns(
        pl.col("second_opinions").fill_null(0),
        game=pl.coalesce("game", pl.format("game {}", "game_id")),
        video_why=pl.when(pl.col("video").is_null()).then(pl.lit(NO_FILM)),
    )
    return rows.to_dicts()
