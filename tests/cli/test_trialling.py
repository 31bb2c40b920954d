"""A trial from its plan to its answer, as typed."""

from __future__ import annotations

import json

import pytest

from tests.cli.conftest import Offglass

GAME = (
    *("league=Halma League", "season=2023-24", "date=2023-10-14", "game=G1", "team=Skerry"),
    "player=Ilvo Tarn",
)
CONSENT = ("consent", "Ilvo Tarn", "--given-by", "player", "--on", "2023-10-01", "--for", "a trial")
PLAN = (
    *("trial", "Winter", "--player", "Ilvo Tarn", "--techniques", "board,straight"),
    *("--sessions", "5", "--per-session", "20", "--practice-only", "1", "--seed", "3"),
)


@pytest.fixture
def begun(offglass: Offglass) -> Offglass:
    assert offglass("add", "attempt", *GAME, "made=yes").code == 0
    return offglass


def test_a_plan_is_printed_session_by_session_and_again(begun: Offglass) -> None:
    done = begun(*PLAN)
    again = begun("trial", "winter")

    assert (done.code, done.out) == (0, again.out)
    assert "Winter is planned with seed 3; to take it back: offglass undo 2" in done.err
    lines = done.out.splitlines()
    assert lines[0] == "Winter: Ilvo Tarn, board beside straight, 5 sessions of 20 each way"
    assert "looks after session 3 and 5, nothing is called before or between" in done.out
    assert sum(line.endswith("(practice only, not counted)") for line in lines) == 1
    assert all(len(line) <= 100 for line in lines)
    body = json.loads(begun("trial", "Winter", "--json").out)
    assert [s["counted"] for s in body["plan"]] == [False, True, True, True, True]
    for session in body["plan"]:
        for name in ("straight", "board"):
            shot = [b["attempts"] for b in session["blocks"] if b["technique"] == name]
            assert sum(shot) == 20


def test_a_plan_is_changed_with_a_reason_that_every_answer_prints(begun: Offglass) -> None:
    begun(*PLAN)

    silent = begun("trial", "Winter", "--sessions", "8")
    done = begun("trial", "Winter", "--sessions", "8", "--why", "more time")
    answer = begun("ask", "trial")

    assert (silent.code, done.code) == (2, 0)
    assert "needs its reason, --why TEXT" in silent.err
    assert "sessions 5 to 8 (“more time”)" in " ".join(answer.out.split())
    assert begun("undo", "3").code == 0
    assert "more time" not in begun("ask", "trial").out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("trial", "Winter"), "a trial needs a player and two techniques"),
        (("trial", "Winter", "--player", "X"), "a trial needs a player and two techniques"),
        ((*PLAN, "--why", "x"), "leave --why out"),
        (("consent", "Nobody", *CONSENT[2:]), "no player 'Nobody'"),
        ((*CONSENT, "--until", "2023-09-01"), "before it begins"),
        (("consent", "Ilvo Tarn", "--given-by", "coach"), "guardian"),
    ],
)
def test_what_cannot_be_planned_is_one_clear_line(
    begun: Offglass, words: tuple[str, ...], said: str
) -> None:
    done = begun(*words)

    assert done.code == 2
    assert said in done.err
    assert "Traceback" not in done.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--seed", "4"), "--seed of it stays"),
        (("--player", "X"), "--player of it stays"),
        (("--why", "x"), "--why goes with --sessions"),
    ],
)
def test_what_is_planned_stays(begun: Offglass, words: tuple[str, ...], said: str) -> None:
    begun(*PLAN)

    done = begun("trial", "Winter", *words)

    assert (done.code, said in done.err) == (2, True)


def test_practice_is_asked_about_before_it_is_stored_and_then_enters_the_trial(
    begun: Offglass,
) -> None:
    begun(*PLAN)
    practice = ("add", "trip", "made=yes,no", *GAME, "date=2099-01-05", "game=P1", "stage=practice")
    typed = [w for w in practice if w not in GAME[2:4]]

    refused = begun(*typed, "technique=board")
    agreed = begun(*CONSENT)
    stored = begun(*typed, "technique=board")
    answer = json.loads(begun("ask", "trial", "--json").out)

    assert refused.code == 2
    assert "practice on 2099-01-05 needs a consent: offglass consent 'Ilvo Tarn'" in refused.err
    assert "records of practice may be stored from 2023-10-01" in agreed.err
    assert stored.code == 0
    assert [(r["technique"], r["made"], r["attempts"]) for r in answer["rows"]] == [
        ("straight", 0, 0), ("board", 1, 2),
    ]  # fmt: skip
    assert begun("ask", "ranking", "--min-attempts", "1").out.count("Ilvo Tarn") >= 1
    assert begun("check").code == 0


def test_a_cut_list_and_a_player_are_asked_for_as_typed(begun: Offglass) -> None:
    none = begun("ask", "attempts", "--clips", "3")
    player = begun("ask", "player", "--player", "ilvo tarn")

    assert (none.code, player.code) == (0, 0)
    assert "None of these attempts is on film" in none.out
    assert "Ilvo Tarn made 1 of 1 free throws: no running rate before 10" in player.out
