"""Who does it?"""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from ledger.questions import adopters_words, columns, guards, level, outranking, states
from ledger.questions.drawn import Lots
from ledger.questions.player_seasons import PERSON_SEASON, gather
from ledger.stats.technique_class import more_tags_needed

if TYPE_CHECKING:
    from ledger.questions.answer import Answer
    from ledger.questions.inquiry import Inquiry
    from ledger.questions.player_seasons import Table

_STATE_ORDER = ("adopter", "occasional", "undecided", "not", "untagged")

COLUMNS = (
    columns.PLAYER,
    columns.TEAM,
    columns.LEAGUE,
    columns.SEASON,
    columns.ATTEMPTS,
    columns.TAGGED,
    columns.UNCLEAR,
    columns.FOCUS_TAGS,
    columns.share("share", "Share", "Of his watched attempts of the season, with the technique"),
    columns.share("low", "Low", "Lower limit of the share (95 % of Beta(f+½, t−f+½))"),
    columns.share("high", "High", "Upper limit of the share (95 % of Beta(f+½, t−f+½))"),
    columns.STATE,
    columns.number_of(
        "more_tags",
        "To call it",
        "attempts",
        "Further watched attempts that would probably settle it",
    ),
    columns.text("how_tagged", "How chosen", "drawn (by lot), picked, or none (never watched)"),
    columns.text(
        "adopter_since", "Since", "First season of the cohort judged adopter: by then at the latest"
    ),
    columns.COVERAGE,
    columns.text("share_why", "Why no share", "Why there is neither share nor state"),
    columns.text("more_tags_why", "Why no number", "Why no number of further attempts is given"),
    columns.START_YEAR,
)


def answer(inquiry: Inquiry) -> Answer:
    """Judge every player-season of a cohort, and compare adopters with the others."""
    refused = ""
    if inquiry.practice_only:
        refused = "Attempts of practice make nobody an adopter: practice is no game."
    elif inquiry.cohort.technique:
        refused = guards.ONE_TECHNIQUE
    if refused:
        parts = outranking.empty_parts(inquiry.options["top"])
        return inquiry.answer(refused, columns.part(COLUMNS, []), parts)
    games = inquiry.games_only()
    table = gather(games)
    refusals = guards.picked_by_result(table.everybody)
    people = states.judged(table.people, refusals)
    rows = _finished(games, people)
    latest = states.latest(people)
    compared = _compared(games, table, people)
    notes = [
        *table.notes(),
        *refusals.among(table.rows).notes(),
        *adopters_words.notes(games, people, latest),
        *compared.notes,
    ]
    headline = (
        adopters_words.headline(games, people, latest) if people.height else games.nothing_here()
    )
    return inquiry.answer(headline, columns.part(COLUMNS, rows), compared.parts, notes)


def _finished(inquiry: Inquiry, people: pl.DataFrame) -> pl.DataFrame:
    """The rows as they are shown: adopters first, then by share."""
    drawn = Lots.of(inquiry.reads).players.filter(pl.col("by_lot")).select(*PERSON_SEASON, "by_lot")
    seasons = (
        people.filter(pl.col("state") == "adopter")
        .sort("start_year", "league", "league_id", maintain_order=True)
        .group_by("person_id", maintain_order=True)
        .agg(
            pl.col("season").first().alias("adopter_since"),
            pl.col("start_year").first().alias("since_year"),
        )
    )
    rows = people.join(drawn, on=PERSON_SEASON, how="left", maintain_order="left")
    rows = rows.join(seasons, on="person_id", how="left", maintain_order="left")
    # Since when tells nothing of the seasons before, nor of one in which he is called otherwise.
    holds = (pl.col("start_year") >= pl.col("since_year")) & ~pl.col("state").is_in(
        ["not", "occasional"]
    ).fill_null(False)
    rows = rows.with_columns(adopter_since=pl.when(holds).then("adopter_since"))
    rows = rows.with_columns(
        pl.when(pl.col("tagged") + pl.col("picked") == 0)
        .then(pl.lit("none"))
        .when(pl.col("by_lot"))
        .then(pl.lit("drawn"))
        .otherwise(pl.lit("picked"))
        .alias("how_tagged"),
        coverage=pl.col("tagged") / pl.col("attempts"),
        place=pl.col("state").replace_strict(
            {s: i for i, s in enumerate(_STATE_ORDER)}, default=9, return_dtype=pl.Int64
        ),
        low="share_low",
        high="share_high",
        share_why="refused",
    )
    rows = rows.with_columns(*_more_tags(rows))
    return rows.sort(
        ["place", "share", "tagged", "attempts", "player", "person_id", "start_year", "league"],
        descending=[False, True, True, True, False, False, False, False],
        nulls_last=True,
        maintain_order=True,
    )


def _more_tags(rows: pl.DataFrame) -> list[pl.Series]:
    """How many more would probably settle each undecided or untagged row."""
    is_open = rows["state"].is_in(["undecided", "untagged"]).fill_null(False).to_list()
    asked = rows.filter(pl.Series(is_open, dtype=pl.Boolean))
    found = iter(more_tags_needed(asked["focus_tags"].to_numpy(), asked["tagged"].to_numpy()))
    numbers = [next(found) if wanted else None for wanted in is_open]
    why = [
        "more than 200" if wanted and number is None else None
        for wanted, number in zip(is_open, numbers, strict=True)
    ]
    return [
        pl.Series("more_tags", numbers, dtype=pl.Int64),
        pl.Series("more_tags_why", why, dtype=pl.String),
    ]


def _compared(inquiry: Inquiry, table: Table, people: pl.DataFrame) -> outranking.Compared:
    """One row a player, without the seasons that raised the question."""
    tested, raised = guards.Suspicion.of(inquiry).split(people)
    size = inquiry.options["min_attempts"]
    row = tested.select("person_id").unique(maintain_order=True).with_row_index("row")
    entries = tested.join(
        row.with_columns(pl.col("row").cast(pl.Int64)),
        on="person_id",
        how="left",
        maintain_order="left",
    )
    levels = level.fit(table.whole)
    rates = level.shrink(entries, row.height, levels)
    summed = entries.group_by("row").agg(
        pl.col("attempts").sum(), pl.col("player").first(), pl.col("person_id").first()
    )
    players = summed.sort("row").with_columns(
        rate=pl.Series(rates.mean, dtype=pl.Float64).fill_nan(None)
    )
    players = players.join(
        states.latest(tested).select("person_id", "state"),
        on="person_id",
        how="left",
        maintain_order="left",
    ).filter(pl.col("attempts") >= size)
    return outranking.compared(
        players,
        top=inquiry.options["top"],
        seed=inquiry.options["seed"],
        floor=size,
        raised=raised.select("league", "season").unique(maintain_order=True),
        left=tested.height > 0,
    )
