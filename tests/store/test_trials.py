"""Plans of trials: stored, changed with a reason, taken back."""

from __future__ import annotations

from typing import Any

import pytest

from ledger.errors import UseError
from ledger.store.check import check
from ledger.store.ledger_file import LedgerFile
from ledger.store.trials import Trial, add_trial, change_trial, changes_of, find_trial, trials
from ledger.store.undo import bring_back, take_back


def _plan(ledger: LedgerFile, name: str = "Winter", **more: Any) -> tuple[int, Trial]:
    asked: dict[str, Any] = {"player": "osell tarn", "techniques": ["straight", "board"], **more}
    with ledger.changing("a test") as con:
        return add_trial(con, ledger, name, **asked)


def _there(ledger: LedgerFile) -> list[str]:
    with ledger.reading() as con:
        return [trial.name for trial in trials(con)]


def test_a_plan_is_stored_with_its_usual_numbers_and_a_seed(ledger: LedgerFile) -> None:
    _, trial = _plan(ledger)

    assert (trial.name, trial.player, trial.techniques) == (
        "Winter", "Oséll Tàrn", ("straight", "board"),
    )  # fmt: skip
    assert (trial.sessions, trial.per_session, trial.practice_only, trial.counted) == (
        12,
        50,
        0,
        12,
    )
    assert 0 <= trial.seed <= 2**53
    assert _plan(ledger, "Spring", seed=7)[1].seed == 7
    assert check(ledger) == []


@pytest.mark.parametrize(
    ("typed", "stored"),
    [
        (["board", "straight"], ("straight", "board")),
        (["underhand", "board"], ("underhand", "board")),
        (["BOARD", "underhand"], ("board", "underhand")),
    ],
)
def test_straight_is_the_usual_technique_wherever_it_stands(
    ledger: LedgerFile, typed: list[str], stored: tuple[str, str]
) -> None:
    assert _plan(ledger, techniques=typed)[1].techniques == stored


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"techniques": ["board"]}, "compares two techniques"),
        ({"techniques": ["board", "board"]}, "compares two techniques"),
        ({"techniques": ["board", "hook"]}, "no technique 'hook'"),
        ({"sessions": 3}, "--sessions takes 4 to 1000, not 3"),
        ({"sessions": 5, "practice_only": 2}, "beside the 2 that only practise, not 5"),
        ({"practice_only": -1}, "--practice-only takes a whole number from 0"),
        ({"per_session": 0}, "--per-session takes 1 to 1000, not 0"),
        ({"seed": -1}, "--seed takes"),
        ({"player": "Nobody"}, "no player 'Nobody'"),
        ({"name": "  "}, "a trial needs a name"),
    ],
)
def test_a_plan_that_cannot_be_is_refused_and_nothing_kept(
    ledger: LedgerFile, asked: dict[str, Any], said: str
) -> None:
    with pytest.raises(UseError, match=said):
        _plan(ledger, **asked)

    assert _there(ledger) == []


def test_a_name_is_taken_once_without_case(ledger: LedgerFile) -> None:
    _plan(ledger)

    with pytest.raises(UseError, match="there is a trial 'Winter' already"):
        _plan(ledger, "WINTER")
    with ledger.reading() as con:
        assert find_trial(con, "winter").name == "Winter"


def test_a_change_needs_a_reason_and_stays_to_be_told(ledger: LedgerFile) -> None:
    _plan(ledger)
    with pytest.raises(UseError, match="a change needs its reason"), ledger.changing("t") as con:
        change_trial(con, ledger, "Winter", {"sessions": 10}, why=" ")
    with ledger.changing("t") as con:
        source, now = change_trial(
            con, ledger, "Winter", {"sessions": 10, "per_session": 50}, why="season ends"
        )
    with ledger.reading() as con:
        told = changes_of(con, now)
    with ledger.changing("t") as con:
        take_back(con, ledger, source)
    with ledger.reading() as con:
        before, none = find_trial(con, "Winter"), changes_of(con, now)
    with ledger.changing("t") as con:
        bring_back(con, ledger, source)
    with ledger.reading() as con:
        again = find_trial(con, "Winter")

    assert [(c.field, c.old, c.new, c.why, c.who) for c in told] == [
        ("sessions", 12, 10, "season ends", "ana")
    ]
    assert (now.sessions, before.sessions, again.sessions, none) == (10, 12, 10, [])
    assert check(ledger) == []


def test_a_change_that_changes_nothing_or_cannot_be_is_refused(ledger: LedgerFile) -> None:
    _plan(ledger)

    for new, said in (({"sessions": 12}, "says so already"), ({"sessions": 2}, "--sessions takes")):
        with pytest.raises(UseError, match=said), ledger.changing("t") as con:
            change_trial(con, ledger, "Winter", new, why="x")
    with pytest.raises(UseError, match="no trial 'Summer'"), ledger.changing("t") as con:
        change_trial(con, ledger, "Summer", {"sessions": 10}, why="x")


def test_a_trial_taken_back_does_not_come_back_beside_one_of_its_name(ledger: LedgerFile) -> None:
    source, _ = _plan(ledger)
    with ledger.changing("t") as con:
        take_back(con, ledger, source)
    gone = _there(ledger)
    _plan(ledger)

    with pytest.raises(UseError, match="'Winter' was taken again"), ledger.changing("t") as con:
        bring_back(con, ledger, source)

    assert gone == []
    assert _there(ledger) == ["Winter"]
