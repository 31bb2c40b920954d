"""Players whose games are known one by one, for the tests of who changed."""

from __future__ import annotations

from typing import Any

from tests.questions.ground import SEASON, Ground


def spell(
    ground: Ground,
    player: str,
    made: int,
    attempts: int,
    technique: str | None,
    *,
    day: int = 0,
    games: int = 5,
    tagged: int | None = None,
    **more: Any,
) -> None:
    """Some games one after another in which a player shoots in one way.

    Args:
        technique: how the watched attempts are shot; None for nobody watched.
        day: of the first of them, counted from the first of November.
        tagged: watched attempts, makes and misses in their mix; all of them unless given.
    """
    number = attempts if tagged is None else tagged
    makes = round(made * number / attempts)
    tags = {technique: (makes, number - makes)} if technique and number else None
    ground.shots(player, made, attempts, first_day=day, games=games, tags=tags, **more)


def changed(
    ground: Ground,
    player: str,
    before: tuple[int, int],
    after: tuple[int, int],
    *,
    games: tuple[int, int] = (5, 8),
    techniques: tuple[str, str] = ("straight", "board"),
    day: int = 0,
    **more: Any,
) -> None:
    """A player who changes once: his makes of attempts before it and after it, all watched."""
    spell(ground, player, *before, techniques[0], day=day, games=games[0], **more)
    spell(ground, player, *after, techniques[1], day=day + games[0], games=games[1], **more)


def league(
    ground: Ground,
    players: int = 12,
    *,
    rate: float = 0.75,
    rise: float = 0.0,
    season: str = SEASON,
    league: str = "Halma League",
    name: str = "P",
) -> None:
    """Players who change nothing, around one rate, on the days of everybody else."""
    for i in range(players):
        own = rate + 0.1 * (i / max(players - 1, 1) - 0.5)
        for day, games, attempts, more in ((0, 5, 40, 0.0), (5, 8, 60, rise)):
            ground.shots(
                f"{name}{i:02}",
                round((own + more) * attempts),
                attempts,
                first_day=day,
                games=games,
                season=season,
                league=league,
            )
