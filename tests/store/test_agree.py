from __future__ import annotations

from collections import Counter
from datetime import datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.store import allowlist
from ledger.store.agree import agree
from ledger.store.connection import in_memory

START = datetime(2026, 1, 1)
INSERT = """INSERT INTO tag (id, attempt_id, tagger, tagged_at, technique_id, adjudicated, unclear,
    picked_for, source_id, line, removed)
VALUES ($id, $attempt, $tagger, $at, $technique, $adjudicated, $unclear, $picked, 1, $id,
    $removed)"""


@pytest.fixture(scope="module")
def con() -> Any:
    con = in_memory()
    for statement in allowlist.schema().statements.values():
        con.execute(statement)
    yield con
    con.close()


def _agreed(con: Any, tags: list[dict[str, Any]]) -> dict[int, tuple[Any, ...]]:
    con.execute("DELETE FROM tag")
    for number, tag in enumerate(tags):
        usual = {
            "attempt": 1,
            "tagger": f"t{number}",
            "technique": None,
            "adjudicated": False,
            "unclear": False,
            "picked": None,
            "removed": False,
        }
        con.execute(INSERT, {**usual, "id": number, "at": START + timedelta(hours=number), **tag})
    agree(con)
    return {r[0]: r[1:] for r in con.execute("FROM agreed").fetchall()}


@pytest.mark.parametrize(
    ("tags", "expected"),
    [
        ([{"technique": 2}], (2, 1, False, False, None)),
        ([{"technique": 2}, {"technique": 2}], (2, 2, False, False, None)),
        ([{"technique": 2}, {"technique": 1}], (None, 2, True, False, None)),
        ([{"technique": 2}, {"technique": 1}, {"technique": 2}], (2, 3, False, False, None)),
        ([{"technique": t} for t in (1, 1, 2, 3)], (None, 4, True, False, None)),
        ([{"technique": t} for t in (1, 1, 1, 2, 3)], (1, 5, False, False, None)),
        ([{"unclear": True}], (None, 1, False, True, None)),
        ([{"unclear": True}, {"technique": 2}], (2, 2, False, False, None)),
        ([{"unclear": True}, {"unclear": True}, {"technique": 3}], (3, 3, False, False, None)),
        ([{"technique": None}], (None, 1, False, False, None)),
        ([{"technique": None}, {"technique": 2}], (2, 2, False, False, None)),
        (
            [{"technique": 2}, {"technique": 2}, {"technique": 1, "adjudicated": True}],
            (1, 3, False, False, None),
        ),
        (
            [{"technique": 2, "adjudicated": True}, {"technique": 3, "adjudicated": True}],
            (3, 2, False, False, None),
        ),
        (
            [{"technique": 2}, {"technique": 1}, {"unclear": True, "adjudicated": True}],
            (None, 3, False, True, None),
        ),
        ([{"technique": 2}, {"technique": 1, "removed": True}], (2, 1, False, False, None)),
        ([{"technique": 2, "picked": "result"}], (2, 1, False, False, "result")),
        (
            [{"technique": 2, "picked": "result"}, {"technique": 2}],
            (2, 2, False, False, None),
        ),
        (
            [{"technique": 2, "picked": "result"}, {"unclear": True}],
            (2, 2, False, False, "result"),
        ),
        ([{"technique": 2, "picked": "a look"}], (2, 1, False, False, None)),
    ],
)
def test_what_the_tags_of_an_attempt_agree_on(
    con: Any, tags: list[dict[str, Any]], expected: tuple[Any, ...]
) -> None:
    assert _agreed(con, tags) == {1: expected}


def test_an_attempt_whose_tags_are_all_removed_has_no_row(con: Any) -> None:
    assert _agreed(con, [{"technique": 2, "removed": True}]) == {}


TAG = st.fixed_dictionaries(
    {
        "attempt": st.integers(1, 4),
        "technique": st.none() | st.integers(1, 3),
        "adjudicated": st.sampled_from([False, False, False, True]),
        "unclear": st.booleans(),
        "removed": st.sampled_from([False, False, True]),
    }
)


@given(st.lists(TAG, max_size=14))
@settings(max_examples=60, deadline=None)
def test_agreement_follows_its_rule_for_any_tags(tags: list[dict[str, Any]]) -> None:
    tags = [{**t, "technique": None if t["unclear"] else t["technique"]} for t in tags]
    con = _shared()

    found = _agreed(con, tags)

    for attempt in {t["attempt"] for t in tags}:
        live = [t for t in tags if t["attempt"] == attempt and not t["removed"]]
        if not live:
            assert attempt not in found
            continue
        technique, count, disputed, unclear, _ = found[attempt]
        rulings = [t for t in live if t["adjudicated"] and (t["unclear"] or t["technique"])]
        votes = Counter(t["technique"] for t in live if t["technique"])
        winners = [k for k, n in votes.items() if n > sum(votes.values()) / 2]
        assert count == len(live)
        assert technique == (rulings[-1]["technique"] if rulings else next(iter(winners), None))
        assert disputed == (not rulings and bool(votes) and not winners)
        assert unclear == (rulings[-1]["unclear"] if rulings else all(t["unclear"] for t in live))


_kept: list[Any] = []


def _shared() -> Any:
    if not _kept:
        con = in_memory()
        for statement in allowlist.schema().statements.values():
            con.execute(statement)
        _kept.append(con)
    return _kept[0]


def test_only_the_attempts_that_were_touched_are_worked_out_anew(con: Any) -> None:
    _agreed(con, [{"attempt": 1, "technique": 2}, {"attempt": 2, "technique": 2}])
    con.execute("UPDATE tag SET technique_id = 3")
    con.execute("CREATE OR REPLACE TEMP TABLE touched AS SELECT 2 AS attempt_id")

    agree(con, "touched")

    assert con.execute("SELECT attempt_id, technique_id FROM agreed ORDER BY 1").fetchall() == [
        (1, 2),
        (2, 3),
    ]
