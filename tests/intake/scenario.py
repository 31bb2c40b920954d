"""Invented attempts, and the ways to write them to a file."""

from __future__ import annotations

import csv
import io
import random
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from ledger.intake.options import ReadOptions
from ledger.intake.read import Reading

HEADER = ("league", "season", "date", "game", "team", "player", "made", "technique")
PLAYERS = ("Tarn Oselo", "Vedil Komar", "Ruva Shenti", "Olmo Pradu", "Keshi Dorvan", "Bilo Nareth")
TEAMS = ("Quarry Herons", "Pinewharf", "Salt Mile", "Upper Tolland")
TECHNIQUES = ("straight", "straight", "straight", "board", "underhand")

Row = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Case:
    """One file of the damaged kind and what must come of it.

    Attributes:
        name: what is wrong with it, as a sentence.
        data: its bytes.
        stored: the (player, made) that must be stored; `None` if the file must be refused whole.
        rejected: reason code to number of rows.
        skipped: reason to number of rows.
        says: words that the refusal or a warning must hold.
        kind, options: how it is read.
    """

    name: str
    data: bytes
    stored: Sequence[tuple[str, bool]] | None
    rejected: dict[str, int] = field(default_factory=dict)
    skipped: dict[str, int] = field(default_factory=dict)
    says: tuple[str, ...] = ()
    kind: str = "attempts"
    options: ReadOptions = field(default_factory=ReadOptions)


def attempts(count: int, seed: int = 7, players: Sequence[str] = PLAYERS) -> list[Row]:
    """Invented attempts of one season as text cells in the order of `HEADER`."""
    dice = random.Random(seed)
    rows: list[Row] = []
    for at in range(count):
        day, game = 1 + at % 28, 1 + at // 6
        made = "1" if dice.random() < 0.74 else "0"
        rows.append(
            (
                "Halma League",
                "2023-24",
                f"2023-{11 if at % 2 else 12}-{day:02d}",
                f"H{game:03d}",
                dice.choice(TEAMS),
                dice.choice(players),
                made,
                dice.choice(TECHNIQUES),
            )
        )
    return rows


def with_cell(rows: Sequence[Row], column: str, values: Sequence[str]) -> list[Row]:
    """The rows with one column replaced, the values taken in turn."""
    at = HEADER.index(column)
    return [
        (*row[:at], values[line % len(values)], *row[at + 1 :]) for line, row in enumerate(rows)
    ]


def results(rows: Sequence[Row]) -> list[tuple[str, bool]]:
    """The (player, made) of rows written with 1 and 0."""
    return [(row[5], row[6] == "1") for row in rows]


def text_of(
    rows: Sequence[Sequence[str]],
    header: Sequence[str] = HEADER,
    separator: str = ",",
    newline: str = "\n",
    quoting: int = csv.QUOTE_MINIMAL,
) -> str:
    """A CSV as the standard library writes it."""
    out = io.StringIO()
    writer = csv.writer(
        out,
        delimiter=separator,
        lineterminator=newline,
        quoting=quoting,  # type: ignore[arg-type]
    )
    writer.writerow(header)
    writer.writerows(rows)
    return out.getvalue()


def lines_of(rows: Sequence[Sequence[str]], header: Sequence[str] = HEADER) -> list[str]:
    """The lines of a plain CSV without their ends, the header first."""
    return text_of(rows, header).splitlines()


def joined(lines: Sequence[str]) -> bytes:
    """Lines to a file."""
    return ("\n".join(lines) + "\n").encode()


def stored_results(reading: Reading) -> Counter[tuple[str, bool]]:
    """The (player, made) of a reading as a multiset."""
    return Counter(reading.frame.select("player", "made").iter_rows())
