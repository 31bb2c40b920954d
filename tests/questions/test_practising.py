"""Which session of a trial a day is, and what of it is shot."""

from __future__ import annotations

from datetime import date

import pytest

from ledger.errors import UseError
from ledger.questions.practising import Practice, session
from ledger.stats.trial_plan import plan
from tests.questions import trying
from tests.questions.ground import Ground


def begun(ground: Ground, day: date) -> Practice:
    return session(ground.con, "winter", day)


@pytest.fixture
def ground() -> Ground:
    made = Ground()
    made.shots("Tarn", made=7, attempts=10)
    trying.plan(made, sessions=4, per_session=20)
    return made


def test_the_first_day_is_the_first_session_of_the_plan(ground: Ground) -> None:
    found = begun(ground, trying.day(1))

    assert (found.number, found.shot, found.of, found.consented) == (1, (0, 0), 40, False)
    assert found.blocks == plan(4, 20, 7)[0]
    assert found.technique == ("straight", "board")[found.blocks[0].technique]
    assert (found.season, found.team) == ("2024-25", "Skerry")
    trying.consent(ground)
    assert begun(ground, trying.day(1)).consented
    assert begun(ground, trying.day(0)).number == 1


def test_a_session_goes_on_where_it_stopped(ground: Ground) -> None:
    trying.practise(ground, trying.day(1), {"straight": (9, 20), "board": (12, 20)})
    first = plan(4, 20, 7)[1][0].technique
    name = ("straight", "board")[first]
    trying.practise(ground, trying.day(3), {name: (2, 4)})
    found = begun(ground, trying.day(3))

    assert found.number == 2
    assert found.shot[first] == 4
    assert found.made[first] == 2
    assert found.next is not None
    assert (found.next.block, found.next.done) == (0, 4)
    assert found.after(name, True).shot[first] == 5
    assert found.after(name, False).made[first] == 2
    assert found.after(name, True).before(name, True) == found
    assert found.after("underhand", True) == found
    # The day after is the session after, whether this one is whole or not.
    assert begun(ground, trying.day(4)).number == 3


def test_after_the_plan_there_is_no_next_block(ground: Ground) -> None:
    for place in range(1, 5):
        trying.practise(ground, trying.day(place), {"straight": (9, 20), "board": (12, 20)})
    assert begun(ground, trying.day(4)).next is None
    assert begun(ground, trying.day(4)).number == 4
    assert begun(ground, trying.day(5)).blocks == ()
    assert begun(ground, trying.day(5)).technique is None


def test_a_day_before_the_plan_is_no_session(ground: Ground) -> None:
    with pytest.raises(UseError, match="Winter was planned on 2025-01-01"):
        begun(ground, date(2024, 12, 31))
    with pytest.raises(UseError, match="no trial 'Sumer'"):
        session(ground.con, "Sumer", trying.day(1))


def test_a_player_without_a_game_is_named() -> None:
    ground = Ground()
    trying.plan(ground)
    with pytest.raises(UseError, match="Tarn has no game in the ledger yet"):
        begun(ground, trying.day(1))
