"""Which game an attempt is of, as Watch tells it."""

from __future__ import annotations

import pytest

from tests.tui.fake_watching import to_watch
from tui.watch_words import facts_of


@pytest.mark.parametrize(
    ("game", "told"),
    [
        ("R1", "R1, Skerry - Fenholt, 2024-11-02, Halma League 2024-25"),
        ("Skerry v Fenholt", "Skerry v Fenholt, 2024-11-02, Halma League 2024-25"),
        ("Skerry - Fenholt", "Skerry - Fenholt, 2024-11-02, Halma League 2024-25"),
    ],
)
def test_a_game_called_by_its_teams_names_them_once(game: str, told: str) -> None:
    assert facts_of(to_watch(3, game=game), None)[2] == told
