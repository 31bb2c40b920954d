"""A ledger with everything in it, every name and text of which tries to act on a terminal."""

from __future__ import annotations

from itertools import count, cycle
from pathlib import Path
from typing import TYPE_CHECKING

import ledger
from ledger.store.ledger_file import LedgerFile
from tests.intake.hostile_names import kinds
from tests.questions import changing, trying
from tests.questions.ground import NOON, Ground
from tests.questions.watching import watched

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_KINDS = (
    "terminal codes", "markup", "direction marks", "invisible letters", "control codes",
    "spaces and line ends", "codes that are no letters", "emoji", "right to left", "piles of marks",
    "long",
)  # fmt: skip
# Each begins with this, so that it is seen where one is shown.
SIGN = "¤"
# Every column that holds what a person or a file has written and that a screen may show.
_TEXTS = {
    "league": ("name",),
    "team": ("name",),
    "player": ("name", "position"),
    "game": ("label", "video"),
    "attempt": ("spot",),
    "technique": ("name", "rule_note"),
    "source": ("file", "who"),
    "refused_row": ("value",),
    "tag": ("tagger", "note"),
    "shortlist": ("name",),
    "shortlist_entry": ("note",),
    "lot": ("name", "who"),
    "rumour": ("text", "place", "who"),
    "trial": ("name", "who"),
    "consent": ("given_by", "purpose", "who"),
    "note": ("text", "who"),
    "decision": ("why", "who"),
    "journal": ("action", "who", "why"),
    "roster": ("number",),
}


def texts() -> list[str]:
    """Two strings of different kinds each, what acts at the beginning: names are cut at the end."""
    of = [[s for s in kinds()[kind] if s.strip() and len(s) < 500] for kind in _KINDS]
    longest = max(map(len, of))
    pairs = []
    for at in range(longest):
        for one, other in zip(of, [*of[1:], of[0]], strict=True):
            pairs.append(f"{one[at % len(one)]} {other[at % len(other)]}")
    return list(dict.fromkeys(pairs))


def make(path: Path) -> None:
    """The ledger at `path`, closed."""
    with (
        LedgerFile(path, create=True, who="mira", clock=lambda: NOON) as file,
        file.changing("a test") as con,
    ):
        _fill(con)
    with ledger.open(path, who="mira") as book:
        book.lot("Honest", league="Halma League", season="2024-25", players=4, seed=3)
        book.rumour("they bank them", season="2024-25", player="Tarn", where="a hall")
        book.note("calm before the shot", player="Tarn")
        book.decide("Tarn", "try", why="he hits the board well", review="2025-01-05")
        book.put_in_deck(book.ask("adopters"))
    with LedgerFile(path, who="mira") as file, file.changing("a test") as con:
        _rename(con)


def _fill(con: DuckDBPyConnection) -> None:
    ground = Ground.__new__(Ground)
    ground.con, ground._ids = con, {}
    ground._next = ground._attempts = ground._tags = 0
    changing.league(ground)
    changing.changed(ground, "Tarn", (28, 50), (82, 100))
    for depth, side, number in (("short", "left", 4), ("level", "left", 9), ("long", "right", 3)):
        for technique in ("board", "straight"):
            ids = watched(ground, "Oselo", technique, number, miss_depth=depth, miss_side=side,
                          rebound_zone="left_side")  # fmt: skip
            for attempt in ids[:2]:
                ground.tag(attempt, "underhand", tagger="Bo", disputed=True)
    ground.shortlist("Spring", ["P01", "P05", "Tarn"])
    trying.plan(ground)
    trying.consent(ground)
    trying.sessions(ground, [6, 5], [7, 4], n=10)
    con.execute("INSERT INTO refused_row VALUES (1, 7, 'made', 'x', 'no_result', 'type 0 or 1')")


def _rename(con: DuckDBPyConnection) -> None:
    """Put a hostile text into every place; names stay different from each other."""
    hostile, number = cycle(texts()), count(1)
    for table, columns in _TEXTS.items():
        for column in columns:
            held = con.execute(f"SELECT DISTINCT {column} FROM {table} ORDER BY ALL").fetchall()
            # Questions look for these two techniques by name.
            for (value,) in (row for row in held[:60] if row[0] not in ("straight", "board")):
                text = f"{SIGN}{next(hostile)} {next(number)}"
                con.execute(
                    f"UPDATE {table} SET {column} = $text WHERE {column} IS NOT DISTINCT FROM $was",
                    {"text": text, "was": value},
                )
