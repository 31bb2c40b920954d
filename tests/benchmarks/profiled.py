"""A league's event log through a profile against a plain loop that takes the same out of it."""

from __future__ import annotations

import csv
import random
import re
import statistics
from pathlib import Path

import ledger
from ledger.intake import snapshot
from ledger.intake.options import ReadOptions
from ledger.intake.profile import Profile, parse
from ledger.intake.read import Reading, read_snapshot
from tests.benchmarks.million import Million
from tests.benchmarks.timing import Ratio, in_turn, seconds

ROWS = 200_000
NOT_DONE = (
    "row by row: the same fields as text; it checks no cell, no date, no word, and keeps no line"
)
PATTERN = (
    r"^(?P<made>MISS )?(?P<player>[^(]+?) Free Throw (?P<trip_shot>\d) of (?P<trip_of>\d)"
    r"(?: \(\d+ PTS\))?$"
)
PROFILE = f"""
profile = 1
name = "Brem League, play by play"
as = "attempts"
dates = "ymd"
order = "file"

[fits]
columns = ["happened"]

[constants]
league = "Brem League"
season = "2022-23"

[fields]
game = "game_no"
date = "day"
home = "home"
away = "visitor"
team = "side"
period = "per"
clock = "left"

[[texts]]
column = "happened"
pattern = '{PATTERN}'

[blanks]
made = "yes"

[words.made]
"MISS" = "no"
"""
_HEADER = ("game_no", "day", "home", "visitor", "side", "per", "left", "happened", "score")
_FIRST = ("Bras", "Tolv", "Quem", "Dren", "Skor", "Vask", "Helf", "Urzk", "Plint", "Zagr")
_LAST = ("ano", "ivar", "ett", "oldi", "umen", "arv", "enkul", "osh", "irre", "aduk")


def write(path: Path, rows: int = ROWS) -> int:
    """An event log; how many of its rows are free throws."""
    dice = random.Random(5)
    thrown = 0
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(_HEADER)
        for at in range(rows):
            game, place = divmod(at, 400)
            home, visitor = f"Team{game % 20:02d}", f"Team{(game + 7) % 20:02d}"
            side = dice.choice((home, visitor))
            player = f"{dice.choice(_FIRST)}{dice.choice(_LAST)} {side}"
            happened, free = _event(dice, player)
            thrown += free
            clock = 2400 - place * 6
            writer.writerow(
                [
                    *(f"B{game}", f"2022-{10 + game % 3}-{1 + game % 28:02d}", home, visitor, side),
                    *(1 + place // 100, f"{clock % 600 // 60}:{clock % 60:02d}", happened, "7-9"),
                ]
            )
    return thrown


def _event(dice: random.Random, player: str) -> tuple[str, bool]:
    what = dice.random()
    if what < 0.5:
        miss = "MISS " if dice.random() < 0.25 else ""
        points = "" if miss else f" ({dice.randint(1, 30)} PTS)"
        return f"{miss}{player} Free Throw {dice.randint(1, 2)} of 2{points}", True
    if what < 0.75:
        return f"{player} REBOUND (Off:1 Def:2)", False
    return f"MISS {player} 14' Jump Shot", False


def measure(home: Path, million: Million | None = None) -> list[Ratio]:
    """Reading, and the whole import, each against the loop."""
    path = home / "events.csv"
    thrown = write(path)
    profile = parse(PROFILE, "the profile")

    def ours() -> None:
        assert _read(path, profile).frame.height == thrown

    def plain() -> None:
        assert len(_loop(path)) == thrown

    def bare() -> None:
        assert len(_bare_loop(path)) == thrown

    reading, loop = in_turn(ours, plain, times=3)
    again, by_place = in_turn(ours, bare, times=3)
    imports = []
    for turn in range(3):
        book = home / f"events{turn}.duckdb"
        imports.append(seconds(lambda book=book: _import(book, path, profile, thrown)))  # type: ignore[misc]
        book.unlink()
    whole = statistics.median(imports)
    return [
        Ratio(
            "events by a profile: read",
            reading,
            loop,
            "0.5 or less: twice as fast",
            f"csv.DictReader + re, {NOT_DONE}; {ROWS / reading:,.0f} rows a second against"
            f" {ROWS / loop:,.0f}",
        ),
        Ratio(
            "events by a profile: read",
            again,
            by_place,
            "none: the loop above is the one a person writes",
            f"csv.reader + re, columns by their place, {NOT_DONE}",
        ),
        Ratio(
            "events by a profile: import",
            whole,
            loop,
            "none: the loop stores nothing",
            f"csv.DictReader + re; {ROWS / whole:,.0f} rows a second",
        ),
    ]


def _read(path: Path, profile: Profile) -> Reading:
    return read_snapshot(snapshot.take(path), "attempts", ReadOptions(profile=profile))


def _import(book_path: Path, path: Path, profile: Profile, thrown: int) -> None:
    with ledger.open(book_path, create=True) as book:
        report = book.import_file(path, options=ReadOptions(profile=profile))
    assert report.stored == thrown
    assert report.rows == ROWS


def _loop(path: Path) -> list[tuple[str, ...]]:
    pattern = re.compile(PATTERN)
    found: list[tuple[str, ...]] = []
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            said = pattern.match(row["happened"])
            if said:
                found.append(
                    (
                        *("Brem League", "2022-23", row["game_no"], row["day"], row["home"]),
                        *(row["visitor"], row["side"], row["per"], row["left"]),
                        *(said["player"], said["trip_shot"], said["trip_of"]),
                        "no" if said["made"] else "yes",
                    )
                )
    return found


def _bare_loop(path: Path) -> list[tuple[str, ...]]:
    """The same with columns by their place: faster, and it breaks when a column moves."""
    pattern = re.compile(PATTERN)
    found: list[tuple[str, ...]] = []
    with path.open(encoding="utf-8", newline="") as file:
        rows = csv.reader(file)
        next(rows)
        for game, day, home, visitor, side, period, left, happened, _ in rows:
            said = pattern.match(happened)
            if said:
                found.append(
                    (
                        *("Brem League", "2022-23", game, day, home, visitor, side, period, left),
                        *(said["player"], said["trip_shot"], said["trip_of"]),
                        "no" if said["made"] else "yes",
                    )
                )
    return found


if __name__ == "__main__":
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        for ratio in measure(Path(folder)):
            print(ratio.line())
