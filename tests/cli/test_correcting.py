"""A record is mended by its number, name or label, and the answer says which one it was."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Offglass

ROWS = """league,season,date,game,home,away,team,player,made
Halma League,2024-25,2024-10-12,G1,Kolmar,Thesk,Kolmar,Ilvo Tarn,1
Halma League,2024-25,2024-10-19,G2,Thesk,Kolmar,Thesk,Osk Brell,0
Pelka League,2024-25,2024-10-12,G1,Runda,Vosk,Runda,Ilvo Tarn,1
"""


@pytest.fixture
def two_leagues(offglass: Offglass, desk: Path) -> Offglass:
    (desk / "games.csv").write_text(ROWS, encoding="utf-8")
    assert offglass("import", "games.csv").code == 0
    return offglass


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("game", "1", "date=2024-10-13"),
            "game 1 (Halma League, 2024-25, 2024-10-12, G1, Kolmar - Thesk): "
            "date 2024-10-12 -> 2024-10-13; to take it back: offglass undo 2",
        ),
        (
            ("game", "g2", "stage=cup"),
            "game 2 (Halma League, 2024-25, 2024-10-19, G2, Thesk - Kolmar): "
            "stage regular -> cup; to take it back: offglass undo 2",
        ),
        (
            ("game", "Runda - Vosk", "label=G7"),
            "game 3 (Pelka League, 2024-25, 2024-10-12, G1, Runda - Vosk): label G1 -> G7; "
            "to take it back: offglass undo 2",
        ),
        (
            ("player", "osk brell", "height_cm=201.5", "position=guard"),
            "player 2 (Osk Brell, Halma League): height_cm empty -> 201.5, position empty -> guard"
            "; to take it back: offglass undo 2",
        ),
        (
            ("team", "Thesk", "name=Thesk Town"),
            "team 2 (Thesk, Halma League): name Thesk -> Thesk Town; "
            "to take it back: offglass undo 2",
        ),
        (
            ("attempt", "2", "made=yes"),
            "attempt 2 (Osk Brell, Halma League, 2024-10-19, G2): made no -> yes; "
            "to take it back: offglass undo 2",
        ),
    ],
)
def test_the_answer_names_the_record_and_its_old_value(
    two_leagues: Offglass, words: tuple[str, ...], said: str
) -> None:
    done = two_leagues("correct", *words, "--why", "seen on film")

    assert (done.code, done.err.strip()) == (0, said)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("game", "G1", "stage=cup"),
            "'G1' is 2 games, say which by its number: 1 (Halma League, 2024-25, 2024-10-12, G1, "
            "Kolmar - Thesk); 3 (Pelka League, 2024-25, 2024-10-12, G1, Runda - Vosk)",
        ),
        (
            ("player", "Ilvo Tarn", "position=guard"),
            "'Ilvo Tarn' is 2 players, say which by its number: 1 (Ilvo Tarn, Halma League); "
            "3 (Ilvo Tarn, Pelka League)",
        ),
        (("team", "Tesk", "name=X"), "the ledger has no team 'Tesk': did you mean Thesk?"),
        (("game", "99", "stage=cup"), "there is no game 99: give the number, or the label"),
        (("attempt", "K-7", "made=no"), "the ledger has no attempt 'K-7': offglass ask attempts"),
        (("game", "1", "stage=regular"), "game 1 is so already"),
    ],
)
def test_what_is_not_one_record_changes_nothing_and_lists_the_choices(
    two_leagues: Offglass, words: tuple[str, ...], said: str
) -> None:
    done = two_leagues("correct", *words, "--why", "seen on film")

    assert done.code == 2
    (line,) = done.err.splitlines()
    assert said in line
    assert two_leagues("undo", "2").code == 2
