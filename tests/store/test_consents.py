"""No record of practice without a consent for its day, whichever way it comes."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.errors import UseError
from ledger.store.consents import add_consent
from tests.store.filing import HEAD, Desk, desk, rows

_HEAD = HEAD + ",stage"
_GAME = "Halma League,2023-24,2023-10-01,G1,Skerry,{},1,regular"
_PRACTICE = "Halma League,2023-24,{},{},Skerry,{},1,practice"


def _practice(player: str = "Ilvo Tarn", day: str = "2023-11-05", label: str = "P1") -> str:
    return rows(_HEAD, _PRACTICE.format(day, label, player))


def _known(d: Desk, *players: str) -> None:
    d.bring(rows(_HEAD, *[_GAME.format(player) for player in players]))


def _refused(d: Desk) -> list[tuple[int, str, str, str]]:
    with d.file.reading() as con:
        return con.execute(
            "SELECT line, column_name, value, reason FROM refused_row ORDER BY ALL"
        ).fetchall()


def test_rows_of_practice_are_refused_one_by_one_and_name_the_command(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        _known(d, "Ilvo Tarn", "Bram Oselo")
        d.consent("Bram Oselo")

        done = d.bring(
            rows(
                _HEAD,
                _PRACTICE.format("2023-11-05", "P1", "Ilvo Tarn"),
                _PRACTICE.format("2023-11-05", "P1", "Bram Oselo"),
                _GAME.format("Nilo Brand"),
            )
        )

        assert (done.stored, done.rejected, done.reasons) == (2, 1, {"no_consent": 1})
        assert _refused(d) == [(2, "player", "Ilvo Tarn", "no_consent")]
        with d.file.reading() as con:
            (fix,) = con.execute("SELECT fix FROM refused_row").fetchall()[0]
        assert fix.startswith(
            "practice on 2023-11-05 needs a consent: offglass consent 'Ilvo Tarn' --given-by "
        )
        assert d.whole() == []


def test_nothing_of_a_refused_row_is_left_behind(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        done = d.bring(_practice("Nobody Yet"))

        assert (done.stored, done.rejected, done.new) == (0, 1, {})
        with d.file.reading() as con:
            assert con.execute("SELECT count(*) FROM player").fetchall() == [(0,)]
            assert con.execute("SELECT count(*) FROM game").fetchall() == [(0,)]
            (fix,) = con.execute("SELECT fix FROM refused_row").fetchall()[0]
        assert "offglass add players --stdin" in fix


@pytest.mark.parametrize(
    ("on", "until", "stored"),
    [
        ("2023-11-05", None, 1),
        ("2023-11-05", "2023-11-05", 1),
        ("2023-11-06", None, 0),
        ("2023-01-01", "2023-11-04", 0),
    ],
)
def test_a_consent_holds_from_its_first_day_to_its_last(
    tmp_path: Path, on: str, until: str | None, stored: int
) -> None:
    with desk(tmp_path) as d:
        _known(d, "Ilvo Tarn")
        d.consent("Ilvo Tarn", on=on, until=until)

        assert d.bring(_practice()).stored == stored


def test_one_that_ran_out_and_one_that_begins_later_are_told_apart(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        _known(d, "Ilvo Tarn", "Bram Oselo")
        d.consent("Ilvo Tarn", on="2023-01-01", until="2023-02-01")
        d.consent("Bram Oselo", on="2024-01-01")
        d.bring(_practice())
        d.bring(_practice("Bram Oselo"))

        with d.file.reading() as con:
            fixes = [f for (f,) in con.execute("SELECT fix FROM refused_row ORDER BY 1").fetchall()]

    assert fixes[0].startswith("the consent holds from 2024-01-01 only")
    assert fixes[1].startswith("the consent ran out on 2023-02-01")


def test_the_same_file_may_come_again_once_somebody_has_agreed(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        _known(d, "Ilvo Tarn")
        first = d.bring(_practice())
        d.consent("Ilvo Tarn")

        again = d.bring(_practice())

        assert (first.stored, again.stored) == (0, 1)


def test_box_rows_of_practice_are_asked_for_too(tmp_path: Path) -> None:
    box = rows(
        "league,season,date,game,team,player,made,attempts,stage",
        "Halma League,2023-24,2023-11-05,P1,Skerry,Ilvo Tarn,7,9,practice",
    )
    with desk(tmp_path) as d:
        _known(d, "Ilvo Tarn")
        refused = d.bring(box, "box")
        d.consent("Ilvo Tarn")
        stored = d.bring(box, "box")

    assert (refused.rejected, refused.reasons) == (1, {"no_consent": 1})
    assert stored.attempts_stored == 9


def test_a_row_that_says_nothing_of_practice_but_falls_into_one_is_asked_for(
    tmp_path: Path,
) -> None:
    with desk(tmp_path) as d:
        _known(d, "Ilvo Tarn", "Bram Oselo")
        d.consent("Ilvo Tarn")
        d.bring(_practice())

        done = d.bring(rows(HEAD, "halma league,2023-24,2023-11-05,P1,Skerry,Bram Oselo,1"))
        other = d.bring(rows(HEAD, "halma league,2023-24,2023-11-05,P2,Skerry,Bram Oselo,1"))

    assert (done.stored, done.reasons) == (0, {"no_consent": 1})
    assert other.stored == 1


def test_practice_does_not_make_a_game_of_others_into_practice(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        _known(d, "Ilvo Tarn", "Bram Oselo")
        d.consent("Ilvo Tarn")

        done = d.bring(_practice(day="2023-10-01", label="G1"))

        assert (done.stored, done.reasons) == (0, {"not_practice": 1})
        with d.file.reading() as con:
            assert con.execute("SELECT stage FROM game").fetchall() == [("regular",)]


def test_a_consent_taken_back_no_longer_holds_and_comes_back(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        _known(d, "Ilvo Tarn")
        d.consent("Ilvo Tarn")
        with d.file.reading() as con:
            (source,) = con.execute("SELECT max(id) FROM source").fetchall()[0]
        d.undo(source)
        gone = d.bring(_practice())
        d.again(source)
        back = d.bring(_practice())

    assert (gone.stored, back.stored) == (0, 1)


def test_a_consent_covers_every_spelling_of_one_person_and_no_namesake(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        _known(d, "Ilvo Tarn", "Bram Oselo")
        d.consent("Ilvo Tarn")

        assert d.bring(_practice("ILVO  tarn")).stored == 1
        assert d.bring(_practice("Ílvo Tarn")).stored == 0
        other = _practice().replace("Halma League", "Drellin Liga")
        assert d.bring(other).stored == 0


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"given_by": "coach"}, "--given-by takes player or guardian"),
        ({"purpose": "  "}, "a consent says what for"),
        ({"until": "2019-01-01"}, "would end on 2019-01-01, before it begins"),
        ({"player": "Nobody"}, "no player 'Nobody'"),
    ],
)
def test_a_consent_that_cannot_be_is_refused(
    tmp_path: Path, asked: dict[str, str], said: str
) -> None:
    from datetime import date

    given = {"player": "Ilvo Tarn", "given_by": "player", "purpose": "a trial", **asked}
    until = given.pop("until", None)
    with desk(tmp_path) as d:
        _known(d, "Ilvo Tarn")
        with pytest.raises(UseError, match=said), d.file.changing("a test") as con:
            add_consent(
                con, d.file, given.pop("player"), on=date(2020, 1, 1),
                until=date.fromisoformat(until) if until else None, **given,
            )  # fmt: skip


def test_a_minor_who_agrees_himself_is_asked_about(tmp_path: Path) -> None:
    from datetime import date

    with desk(tmp_path) as d:
        _known(d, "Ilvo Tarn")
        d.bring(rows("player,league,birth_year", "Ilvo Tarn,Halma League,2007"), "players")
        with d.file.changing("a test") as con:
            young = add_consent(
                con, d.file, "Ilvo Tarn", given_by="player", on=date(2024, 5, 1), purpose="a trial"
            )
            guarded = add_consent(
                con, d.file, "Ilvo Tarn", given_by="guardian", on=date(2024, 5, 1), purpose="it"
            )

    assert young.words().endswith("note: born in 2007: is a guardian's consent needed?")
    assert "note" not in guarded.words()
