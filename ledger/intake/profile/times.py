"""The clock of a period as time left, and the order of the attempts of a game."""

from __future__ import annotations

import polars as pl

from ledger.intake import clocks
from ledger.intake.cells import different, spread
from ledger.intake.profile.format import Clock
from ledger.intake.profile.work import Work

# A period beyond the regular ones; common practice, no source.
_OVERTIME_MINUTES = 5.0
_GAME = ("league", "season", "date", "game")


def left_in_period(work: Work, clock: Clock) -> None:
    """Turn a clock that counts up into the time left; what is no clock stays as it is."""
    if clock.counts != "up" or "=clock" not in work.frame.columns:
        return
    assert clock.period_minutes is not None
    cells = work.frame["=clock"]
    height = work.frame.height
    periods = work.frame["=period"] if "=period" in work.frame.columns else None
    if periods is None:
        periods = pl.Series([work.profile.constants.get("period", "")]).new_from_index(0, height)
    seconds, numbers = different(cells), different(periods)
    clock_of, period_of = clocks.clock_reader(seconds), clocks.period_reader(numbers)
    gone = spread(cells, {text: clock_of(text) for text in seconds}, pl.Float64)
    number = spread(periods, {text: period_of(text) for text in numbers}, pl.Int32)
    overtime = clock.overtime_minutes or _OVERTIME_MINUTES
    minutes = pl.when(number <= clock.periods).then(clock.period_minutes).otherwise(overtime)
    length = pl.select(pl.when(number.is_not_null()).then(minutes * 60.0)).to_series()
    known = gone.is_not_null()
    work.refuse(known & number.is_null(), "clock", cells, "clock_without_period")
    beyond = (gone > length).fill_null(False)
    fix = "the clock {} counts past the end of its period: check both"
    work.refuse(beyond, "clock", cells, "bad_clock", fix)
    left = length - gone
    told = {value: clocks.clock_text(value) for value in left.drop_nulls().unique().to_list()}
    texts = spread(
        left.cast(pl.String), {str(value): text for value, text in told.items()}, pl.String
    )
    kept = known & number.is_not_null() & ~beyond
    work.frame = work.frame.with_columns(
        pl.select(pl.when(kept).then(texts).otherwise(cells)).to_series().alias("=clock")
    )


def number_records(work: Work, order: str) -> None:
    """Number the records of each game as the file has them, or from its end.

    By game, because a list that is kept on over the weeks may get its new games on top: a number
    counted over the whole file would then be another one, and the attempt another attempt.
    """
    frame = work.frame
    if order == "reversed":
        # Records of one row keep their order: only rows are turned round.
        frame = frame.sort("line", descending=True, maintain_order=True)
    number = pl.int_range(1, pl.len() + 1)
    game = [f"={name}" for name in _GAME if f"={name}" in frame.columns]
    if game:
        number = number.over(game)
    numbers = frame.select("row", number.alias("n")).sort("row")["n"].cast(pl.String)
    work.frame = work.frame.with_columns(numbers.alias("=order"))
