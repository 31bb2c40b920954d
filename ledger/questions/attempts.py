"""The records."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from ledger.questions import columns
from ledger.questions.answer import Column
from ledger.questions.clips import NO_FILM, drawn
from ledger.questions.inquiry import coverage_note, practice_note
from ledger.questions.wording import count, counted, percent

if TYPE_CHECKING:
    from ledger.questions.answer import Answer
    from ledger.questions.inquiry import Inquiry

COLUMNS = (
    columns.number_of("attempt", "Attempt", "", "Number of the attempt in this ledger"),
    columns.LEAGUE,
    columns.SEASON,
    Column("date", "Date", "date", "", "Day of the game"),
    columns.text("game", "Game", "The game's label, or its teams"),
    columns.text("team", "Team", "Team of the shooter"),
    columns.text("opponent", "Opponent", "The other team"),
    columns.PLAYER,
    columns.number_of("period", "Period", "", "Period of the game"),
    columns.figure("clock_s", "Clock", "seconds", "Time left in the period"),
    columns.number_of(
        "order_in_game", "Order", "", "Place in the game; empty where it is not known"
    ),
    columns.text("shot", "Shot", "free_throw, two or three"),
    columns.number_of("trip_shot", "Shot of trip", "", "Which attempt of the trip"),
    columns.number_of("trip_of", "Of", "", "How many attempts the trip has"),
    Column("made", "Made", "boolean", "", "Whether it went in"),
    columns.text("technique", "Technique", "The agreed one; empty where unknown or disputed"),
    columns.text("taggers", "Taggers", "Who watched it"),
    columns.text("miss_depth", "Miss, depth", "short, level or long"),
    columns.text("miss_side", "Miss, side", "left, centre or right, facing the ring"),
    columns.text("rebound_by", "Rebound", "offensive, defensive, out or none"),
    columns.text("rebound_zone", "Rebound, where", "Zone on the floor"),
    columns.figure("release_angle_deg", "Release angle", "degree", "Above the horizontal"),
    columns.text("video", "Video", "The game's video"),
    columns.figure("video_s", "Video time", "seconds", "Place in the video"),
    columns.text("picked_for", "Chosen for", "Why it was watched, where not by lot or in order"),
    columns.text("note", "Note", "A remark of who watched"),
    columns.number_of("source", "Source", "", "Number of the source that brought it"),
    columns.number_of("source_line", "Line", "", "Line of that source"),
    columns.text("stage", "Stage", "Part of the season"),
    columns.text("spot", "Spot", "Where from, in the source's own word"),
    columns.text("trip_kind", "Trip", "personal, technical, flagrant, one_and_one or unknown"),
    Column("trip_derived", "Trip derived", "boolean", "", "Grouped by the clock, not written"),
    columns.text("ended_by", "Ended by", "violation, foul or buzzer; empty otherwise"),
    Column("unclear", "Cannot tell", "boolean", "", "Watched without telling, or not on film"),
    Column("disputed", "Disputed", "boolean", "", "Its tags disagree"),
    columns.text("file_id", "Id in the file", "The attempt's id in its league's files"),
)

SEASON_COLUMNS = (
    columns.LEAGUE,
    columns.SEASON,
    columns.START_YEAR,
    columns.number_of("attempts", "Attempts", "attempts", "Records, whatever the limit"),
    columns.number_of("tagged", "Watched", "attempts", "Those with an agreed technique"),
    columns.share("coverage", "Coverage", "Watched attempts of all attempts"),
)

_ALL_PICKED = "All of these were watched because of the result: no mix to draw clips of."


def answer(inquiry: Inquiry) -> Answer:
    """The records of a cohort, and how many there are in all."""
    limit, clips = inquiry.options["limit"], inquiry.options["clips"]
    # Misses that were watched as misses would make the mix of a technique's clips their own.
    scope = inquiry.scope if clips is None else inquiry.scope.counting_tags()
    found = inquiry.reads.counts(scope)
    attempts, tagged = found["attempts"], found["tagged"]
    picked = 0 if scope is inquiry.scope else inquiry.reads.how_many(inquiry.scope) - attempts
    cut: list[str] = []
    if clips is not None and attempts:
        frame, cut = drawn(inquiry, scope, found["made"], attempts)
        listed, frame = frame.height, frame if limit is None else frame.head(limit)
    else:
        frame, listed = inquiry.reads.attempts(scope, limit), attempts
    if attempts == 0:
        headline = _ALL_PICKED if picked else inquiry.nothing_here()
    else:
        shots = counted(attempts, inquiry.shots(1), inquiry.shots())
        players, games = counted(found["players"], "player"), counted(found["games"], "game")
        watched = percent(tagged / attempts, attempts) if attempts >= 10 else f"{count(tagged)}"
        headline = f"{shots} by {players} in {games}, {watched} watched."
        if cut and not listed:
            headline = NO_FILM
        elif cut:
            headline = f"{counted(listed, 'clip')} by lot of {headline}"
    notes = [*cut, coverage_note(attempts, tagged)]
    if picked:
        notes.append(f"{counted(picked, 'attempt')} watched because of the result: in no cut list.")
    if "practice" not in inquiry.cohort.stages:
        notes += practice_note(inquiry.reads.practice(inquiry.scope))
    if limit is not None and listed > limit:
        notes.append(f"Only the first {count(limit)} of {count(listed)} records are listed.")
    seasons = inquiry.reads.by_season(scope)
    seasons = seasons.with_columns(coverage=pl.col("tagged") / pl.col("attempts"))
    parts = {"by_season": columns.part(SEASON_COLUMNS, seasons)}
    main = columns.part(COLUMNS, frame)
    return inquiry.answer(headline, main, parts, notes, with_focus=False)
