"""Makes and attempts as a pair in one cell: 7-9, 40 / 63, 7 of 9."""

from __future__ import annotations

import polars as pl

from ledger.intake.profile.filling import fill
from ledger.intake.profile.patterns import groups
from ledger.intake.profile.work import Work

_BLANK = r"^[\s\-–—−/:]*$"
_NUMBERS = r"^\s*(?P<a>\d{1,6})\s*(?:[-–—−/:]|(?i:of|out of))\s*(?P<b>\d{1,6})\s*$"


def split_pair(work: Work) -> None:
    """Fill made and attempts from the pair; a blank pair is no record, another text is refused."""
    pair = work.profile.pair
    if pair is None:
        return
    column = work.cells(pair.column)
    work.leave_out(work.frame[column].str.contains(_BLANK), "not_in_table")
    cells = work.frame[column]
    fits, named = groups(cells, pair.pattern or _NUMBERS)
    if pair.pattern is None:
        made, attempts = ("a", "b") if pair.first == "made" else ("b", "a")
    else:
        made, attempts = "made", "attempts"
    work.refuse(~fits, work.written(pair.column), cells, "bad_pair")
    for field, group in (("made", made), ("attempts", attempts)):
        fill(work, field, pl.select(named[group].fill_null("")).to_series())
