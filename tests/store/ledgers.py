"""Ledgers as they come about in life, at random: files, tags, hand, corrections, joins, undo."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hypothesis import strategies as st

from ledger.errors import UseError
from ledger.store import registers
from ledger.store.correct import correct
from tests.store.filing import HEAD, Desk, rows

# Names that spreadsheets run, that look alike, hold markup, commas, quotes or nothing of Latin.
NAMES = (
    "Oda Tarn",
    "=HYPERLINK(1)",
    "+49 Marl",
    "-Ivo",
    "@home",
    "'quoted",
    'Q "x", Jr',
    "봄 é",
    "Kim [/red] [b",
    "NULL",
)
TECHNIQUES = ("board", "straight", "underhand", "brett", "cannot tell", "")
_FILLED = ("order", "attempt_id", "period", "clock", "trip_shot", "trip_of", "miss_depth", "note")

Step = Callable[[Desk], None]


def _quoted(text: object) -> str:
    return '"' + str(text).replace('"', '""') + '"'


@st.composite
def files(draw: st.DrawFn) -> str:
    """A file of attempts, with the columns some league would give."""
    columns = draw(st.lists(st.sampled_from(_FILLED), unique=True, max_size=4))
    tagged = draw(st.booleans())
    head = [*HEAD.split(","), *columns, *(["tagger", "technique"] if tagged else [])]
    lines = []
    game = draw(st.integers(0, 2))
    for place in range(draw(st.integers(1, 6))):
        player, team = draw(st.sampled_from(NAMES)), draw(st.sampled_from(("Skerry", "=Weil")))
        cells: list[object] = ["Halma League", "2023-24", f"2023-10-{14 + game}", f"=G{game}"]
        cells += [team, player, draw(st.integers(0, 1))]
        values = {
            "order": place + 1, "attempt_id": f"-{game}-{place}", "period": 1,
            "clock": 600 - 7 * place, "trip_shot": 1, "trip_of": 2,
            "miss_depth": draw(st.sampled_from(("", "short", "long"))),
            "note": draw(st.sampled_from(("", "=1+1", "two, 'words'"))),
        }  # fmt: skip
        cells += [values[c] for c in columns]
        if tagged:
            cells += [draw(st.sampled_from(("ana", "@bo"))), draw(st.sampled_from(TECHNIQUES))]
        lines.append(",".join(_quoted(c) for c in cells))
    return rows(",".join(head), *lines)


def _change(desk: Desk, change: Callable[[Any, Any], object]) -> None:
    try:
        with desk.file.changing("a test") as con:
            change(con, desk.file)
    except UseError:
        # Nothing of the kind is there to be changed: the ledger stays as it is.
        return


def _undo(number: int) -> Step:
    def step(desk: Desk) -> None:
        try:
            desk.undo(number, yes=True)
        except UseError:
            return

    return step


def _again(number: int) -> Step:
    def step(desk: Desk) -> None:
        try:
            desk.again(number)
        except UseError:
            return

    return step


_NOTE = "INSERT INTO note VALUES (1, NULL, NULL, '=note', 'bo', TIMESTAMP '2025-01-01')"


def by_hand() -> st.SearchStrategy[Step]:
    """One change by a person."""
    changes: list[Callable[[Any, Any], object]] = [
        lambda c, h: registers.add_technique(c, h, "+hook", uses_board=True),
        lambda c, h: registers.add_word(c, h, "technique", "brett", "board"),
        lambda c, h: registers.add_rumour(c, h, "=heard", "2023-24"),
        lambda c, h: registers.list_add(c, h, "@keep", [NAMES[0]], note="-look"),
        lambda c, h: correct(c, h, "attempt", 1, {"made": False}, why="=film"),
        lambda c, h: correct(c, h, "attempt", 2, {"made": True}, why="film"),
        lambda c, h: correct(c, h, "player", 1, {"height_cm": 201.5}, why="card"),
        lambda c, _: c.execute(_NOTE) if not c.execute("FROM note").fetchall() else None,
    ]
    return st.sampled_from(changes).map(lambda change: lambda desk: _change(desk, change))


def steps(most: int = 5) -> st.SearchStrategy[list[Step]]:
    """What happens to a ledger, one after another."""
    step = st.one_of(
        files().map(lambda text: lambda desk: desk.bring(text) and None),
        by_hand(),
        st.integers(1, 4).map(_undo),
        st.integers(1, 4).map(_again),
    )
    first = files().map(lambda text: lambda desk: desk.bring(text) and None)
    return st.tuples(first, st.lists(step, max_size=most)).map(lambda t: [t[0], *t[1]])


def live(desk: Desk, happened: list[Step]) -> None:
    """Let it all happen."""
    for step in happened:
        step(desk)
