"""The report of an import, in words and in JSON."""

from __future__ import annotations

import json
from typing import Any

import pytest

from ledger.intake.report import Report


def report(**more: Any) -> Report:
    base: dict[str, Any] = {
        "source": 7,
        "file": "shots.csv",
        "sha256": "00",
        "kind": "attempts",
        "rows": 1200,
        "stored": 1180,
        "rejected": 12,
        "skipped": 3,
        "already_there": 5,
        "contradicting": 0,
        "attempts_stored": 1180,
        "tags_stored": 300,
        "reasons": {"bad_date": 12},
        "new": {"players": 40, "games": 1},
        "warnings": ("look here",),
    }
    return Report(**(base | more))


def test_the_json_has_the_agreed_names_and_is_plain() -> None:
    found = report().as_dict()
    agreed = {
        *("source", "file", "sha256", "kind", "rows", "stored", "rejected", "skipped"),
        *("already_there", "contradicting", "attempts_stored", "tags_stored", "fields_filled"),
        *("reasons", "new", "mapping", "warnings"),
    }
    assert agreed <= set(found)
    assert json.loads(json.dumps(found)) == found


def test_counts_that_do_not_add_up_cannot_be_reported() -> None:
    with pytest.raises(AssertionError, match="not the sum"):
        report(stored=1181)


def test_the_words_name_every_count_and_the_way_back() -> None:
    line, note = report().words().splitlines()
    assert line.startswith("shots.csv: 1,180 of 1,200 rows stored (1,180 attempts, 300 tags)")
    for part in ("12 rejected (bad_date 12)", "3 skipped", "5 already there", "40 players, 1 game"):
        assert part in line
    assert line.endswith("offglass undo 7")
    assert note == "note: look here"


def test_one_of_a_thing_is_named_as_one() -> None:
    line = report(attempts_stored=1, tags_stored=1, fields_filled=1).words().splitlines()[0]
    assert "(1 attempt, 1 tag, 1 blank field filled)" in line


def test_a_check_says_would_be_and_names_no_source() -> None:
    line = report(source=None, check=True).words().splitlines()[0]
    assert "would be stored" in line
    assert "nothing was stored" in line
    assert "undo" not in line


def test_nothing_in_a_report_acts_on_a_terminal() -> None:
    words = report(file="a\x1b[31mb", warnings=("c\u202ed",)).words()
    assert "\x1b" not in words
    assert "\u202e" not in words


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({}, 1),
        ({"rejected": 0, "already_there": 17}, 0),
        ({"rejected": 0, "contradicting": 12}, 1),
        ({"rows": 0, "stored": 0, "rejected": 0, "skipped": 0, "already_there": 0}, 1),
        ({"stored": 0, "already_there": 1185, "duplicate_of": 3, "source": None}, 1),
        (
            {
                "stored": 0,
                "rejected": 0,
                "already_there": 1197,
                "duplicate_of": 3,
                "source": None,
            },
            0,
        ),
    ],
)
def test_the_exit_code_tells_whether_all_rows_are_in(more: dict[str, Any], code: int) -> None:
    assert report(**more).exit_code == code


def test_kinds_of_shots_are_named_where_not_all_are_free_throws() -> None:
    line = report(shots={"two": 1178, "free_throw": 2}).words().splitlines()[0]
    assert "(1,180 attempts: 1,178 two-pointers, 2 free throws; 300 tags)" in line
    plain = report(shots={"free_throw": 1180}).words().splitlines()[0]
    assert "(1,180 attempts, 300 tags)" in plain
