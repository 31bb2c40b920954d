"""A ledger to type into: games nobody has watched, and a game with line-ups and nothing stored."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import ledger
from ledger.book import Book
from ledger.intake.trip import GameFacts
from tests.reliability.terminal import Terminal, offglass
from tui.remembered import LastSheet, Memory

_HEAD = (
    "league,season,date,game,home,away,team,player,made,period,clock,trip_shot,trip_of,trip_kind\n"
)
_PLAYERS = ("Ilvo Tarn", "Bram Oselo", "Sefa Mun", "Kuno Dravik")
FACTS = GameFacts("Halma League", "2024-25", "2024-12-01", "Skerry", "Fenholt")
SHIRTS = {"4": "Ilvo Tarn", "9": "Bram Oselo", "12": "Sefa Mun", "30": "Kuno Dravik"}
GAMES = 10
TECHNIQUES = {
    # Not told and not on film are the same to a ledger: nobody has seen the technique.
    "1": "straight", "2": "board", "3": "underhand", "4": "other", "0": "cannot tell",
    "-": "cannot tell",
}  # fmt: skip


def records() -> str:
    """Ten games of four players, three visits of two shots each; every fifth attempt missed."""
    lines = []
    for game in range(1, GAMES + 1):
        for turn in range(3):
            for place, player in enumerate(_PLAYERS):
                for shot in (1, 2):
                    missed = (turn * 8 + place * 2 + shot) % 5 == 0
                    lines.append(
                        f"Halma League,2024-25,2024-11-{game:02d},R{game},Skerry,Fenholt,"
                        f"{('Skerry', 'Fenholt')[place % 2]},{player},{'no' if missed else 'yes'},"
                        f"{1 + turn},{9 - 2 * place}:30,{shot},2,personal\n"
                    )
    return _HEAD + "".join(lines)


def make(path: Path) -> None:
    """The ledger at `path`, closed."""
    games = path.with_name("games.csv")
    games.write_text(records(), encoding="utf-8")
    with Book(path, create=True, who="mira") as book:
        book.import_file(games)
        sheet = book.open_sheet(FACTS)
        for team, numbers in (("Skerry", ("4", "12")), ("Fenholt", ("9", "30"))):
            book.add_line_up(sheet, team, [(n, SHIRTS[n]) for n in numbers])


# What the program asks about keys that a busy machine handed on all at once, and the key that says
# that they were typed.
_ASKED = {"Were they meant?": "y", "take them as typed": "2"}


def taken(terminal: Terminal, text: str) -> None:
    """Wait until what was typed is taken and a text says so; a machine that stalls asks first."""

    def asked() -> list[str]:
        return [words for words in _ASKED if words in terminal.screen.text()]

    while True:
        terminal.until(lambda: bool(asked()) or text in terminal.screen.text(), f"no {text!r}")
        if text in terminal.text():
            return
        for words in asked():
            terminal.press(_ASKED[words])
            terminal.hides(words)


# -- Watch --------------------------------------------------------------------------------------


def film_keys(path: Path, attempts: int) -> list[tuple[str, dict[str, str | None]]]:
    """For each attempt of the queue the keys that answer all that is asked, and what they mean.

    A made one is asked one thing, a dead miss two, a live miss three.
    """
    wanted: list[tuple[str, dict[str, str | None]]] = []
    with Book(path, who="mira") as book:
        film = book.film("unwatched", most=attempts)
    for at, one in enumerate(film.attempts):
        key = "1231204-"[at % 8]
        fields: dict[str, str | None] = dict.fromkeys(("technique", "depth", "side", "zone"))
        fields["technique"] = TECHNIQUES[key]
        if not one.made and key not in "0-":
            key += "7"
            fields |= {"depth": "long", "side": "left"}
            if one.live is not False:
                key += "5"
                fields["zone"] = "front"
        elif not one.made and key == "0":
            key += "00" if one.live is not False else "0"
        wanted.append((key, fields))
    return wanted


@contextmanager
def watching(path: Path, **more: object) -> Iterator[Terminal]:
    """The program on Watch, with the queue of everything that nobody has watched."""
    with offglass(path, room="watch", **more) as terminal:  # type: ignore[arg-type]
        terminal.shows("What to watch?")
        words = "Everything nobody has watched"
        terminal.shows(words)
        line = next(line for line in terminal.text().splitlines() if words in line)
        terminal.press(next(sign for sign in line if sign.isdigit()))
        terminal.shows("How was it shot?")
        yield terminal


_TAGS = """
SELECT coalesce(k.name, t.technique_as_written, CASE WHEN t.unclear THEN 'cannot tell' END),
    t.miss_depth, t.miss_side, t.rebound_zone, t.attempt_id
FROM tag t LEFT JOIN technique k ON k.id = t.technique_id
WHERE NOT t.removed ORDER BY t.source_id, t.line
"""


def tagged(path: Path) -> list[dict[str, str | None]]:
    """What was watched, in the order in which it was stored; the ledger is whole."""
    with ledger.open(path) as book:
        assert book.check() == []
        with book._file.reading() as con:
            rows = con.execute(_TAGS).fetchall()
    return [dict(zip(("technique", "depth", "side", "zone"), row, strict=False)) for row in rows]


# -- the scoresheet -----------------------------------------------------------------------------


def memory(path: Path) -> Memory:
    """What the program remembers of the scoresheet."""
    return Memory(path.parent / "state" / "offglass" / "scoresheets.json", path)


@contextmanager
def scoring(path: Path, **more: object) -> Iterator[Terminal]:
    """The program on the scoresheet, with the game of Skerry and Fenholt open."""
    facts = ("league", "season", "date", "home", "away")
    memory(path).keep(LastSheet({name: getattr(FACTS, name) for name in facts}))
    with scoring_again(path, **more) as terminal:
        terminal.shows("Bram Oselo")
        yield terminal


@contextmanager
def scoring_again(path: Path, **more: object) -> Iterator[Terminal]:
    """The program on the scoresheet as it was left, with the game open."""
    with offglass(path, room="scoresheet", **more) as terminal:  # type: ignore[arg-type]
        terminal.shows("Skerry v Fenholt")
        yield terminal


def trips(number: int) -> list[tuple[str, list[tuple[str, bool]]]]:
    """Trips as they are typed, each with its shooter and results."""
    shapes = ("4++", "9-+", "12--", "30+-")
    out = []
    for at in range(number):
        text = shapes[at % 4]
        who = SHIRTS[text.rstrip("+-")]
        out.append((f"{text}\r", [(who, sign == "+") for sign in text if sign in "+-"]))
    return out


_SHOTS = """
SELECT p.name, a.made FROM attempt a JOIN player p ON p.id = a.player_id
JOIN game g ON g.id = a.game_id
WHERE NOT a.removed AND g.date = DATE '2024-12-01' ORDER BY a.order_in_game, a.id
"""


def scored(path: Path) -> list[tuple[str, bool]]:
    """What was typed in of the game, in its order; the ledger is whole."""
    with ledger.open(path) as book:
        assert book.check() == []
        with book._file.reading() as con:
            return [(str(name), bool(made)) for name, made in con.execute(_SHOTS).fetchall()]
