"""What came of a file, counted: one row is said as one."""

from __future__ import annotations

import pytest

from ledger.intake.report import Report
from tui.screens.report_words import report_words


@pytest.mark.parametrize(
    ("number", "said"),
    [
        (1, "4 rows: 1 would be stored, 1 refused, 1 holds no record, 1 contradicts the ledger."),
        (2, "7 rows: 1 would be stored, 2 refused, 2 hold no record, 2 contradict the ledger."),
    ],
)
def test_the_verb_follows_the_number_of_rows(number: int, said: str) -> None:
    report = Report(
        source=None, file="new.csv", sha256="", kind="attempts", rows=1 + 3 * number, stored=1,
        rejected=number, skipped=number, already_there=0, contradicting=number,
    )  # fmt: skip
    assert report_words(report, stored=False)[0] == said


def test_the_kinds_of_shots_are_named_on_the_screen_too() -> None:
    report = Report(
        source=None, file="new.csv", sha256="", kind="attempts", rows=2, stored=2, rejected=0,
        skipped=0, already_there=0, contradicting=0, attempts_stored=2, shots={"two": 2},
    )  # fmt: skip
    told = "2 rows: 2 would be stored (2 attempts: 2 two-pointers)."
    assert report_words(report, stored=False)[0] == told
