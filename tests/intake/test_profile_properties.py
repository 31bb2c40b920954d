"""What holds for any cells: no row is lost, and patterns mean what the standard module says."""

from __future__ import annotations

import csv
import io
import re
import tempfile
from pathlib import Path

import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.errors import RefusedInput
from ledger.intake.profile.patterns import group_names, groups
from tests.intake.profiled import read_by

BODY = """
order = "reversed"
[[rows.drop]]
column = "who"
is = ["TOT"]
[[sides]]
name = "who"
text = "text"
[[sides]]
name = "other"
text = "other text"
[constants]
league = "Halma League"
season = "2023-24"
date = "2023-10-14"
game = "G1"
team = "Skerry"
[fields]
player = "name"
[[texts]]
column = "text"
pattern = '^(?P<made>in|out) (?P<trip_shot>\\d)/(?P<trip_of>\\d)$'
[[texts]]
column = "text"
pattern = '^(?P<made>\\w+)!(?P<player>\\w*)'
"""
_NAME = st.sampled_from(["Ott", "Tarn", "TOT", "tot", "", " "])
_TEXT = st.sampled_from(
    ["in 1/2", "out 2/2", "in 9/2", "in 0/1", "out!", "hmm!", "out!Ott", "out!Dorn", "sits", ""]
)
_ROW = st.tuples(_NAME, _TEXT, _NAME, _TEXT)
PATTERNS = (
    r"^(?P<made>MISS )?(?P<player>.+?) Free Throw(?: (?P<a>\d) of (?P<b>\d))?$",
    r"(?i)(?P<word>good|miss)\b",
    r"(?P<first>\w+), (?P<second>\w+)|(?P<third>#\d+)",
    r"^\s*(?P<m>\d+)\s*[-/]\s*(?P<n>\d+)",
)


@settings(max_examples=60, deadline=None)
@given(st.lists(_ROW, min_size=1, max_size=12))
def test_every_row_of_a_file_is_a_record_refused_or_skipped(rows: list[tuple[str, ...]]) -> None:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(
        [("who", "text", "other", "other text", "nr"), *((*row, "x") for row in rows)]
    )
    with tempfile.TemporaryDirectory() as folder:
        try:
            reading = read_by(Path(folder), BODY, out.getvalue())
        except RefusedInput:
            return

    kept = set(reading.frame["line"])
    refused, skipped = reading.rejects["line"].to_list(), reading.skipped["line"].to_list()
    assert sorted([*kept, *refused, *skipped]) == list(range(2, len(rows) + 2))
    assert reading.rows == len(rows)
    assert reading.cells is not None
    assert set(reading.cells["line"]) >= kept
    orders = reading.cells["order"].cast(pl.Int64).to_list()
    assert sorted(orders) == list(range(1, len(orders) + 1))


@pytest.mark.parametrize("pattern", PATTERNS)
@given(
    st.lists(
        st.one_of(
            st.from_regex(r"\A(MISS )?[A-Z][a-z]{0,3}( Free Throw( \d of \d)?)?\Z"),
            st.sampled_from(["GOOD", "x miss", "Ott, Kilo", "#12", " 7 - 9", "40/63", "Ött good"]),
            st.text("ab 1-/#,", max_size=12),
        ),
        max_size=20,
    )
)
def test_a_pattern_finds_what_the_standard_module_finds(pattern: str, texts: list[str]) -> None:
    fits, named = groups(pl.Series(texts, dtype=pl.String), pattern)

    found = [re.search(pattern, text) for text in texts]
    assert fits.to_list() == [match is not None for match in found]
    assert set(named) == set(group_names(pattern)) == set(re.compile(pattern).groupindex)
    for name, values in named.items():
        assert values.to_list() == [match[name] if match else None for match in found]
