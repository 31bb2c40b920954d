"""Answers that were put aside for the slides."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ledger.questions.registry import find
from ledger.questions.told import told
from ledger.questions.wording import counted
from tui.listed.cells import LONG, column, detail_lines
from tui.listed.held import Held, Key, Part

if TYPE_CHECKING:
    from ledger.telling import DeckItem


def slides(held: Held, key: Key) -> Part:
    """The deck in its order."""
    rows = tuple(
        {
            "title": item.title, "number": item.number, "place": item.place,
            "question": item.title, "cohort": item.cohort, "how": _how(item),
            "details": detail_lines(
                ("Slide", item.place), ("Attempts", item.cohort), ("Told", _how(item)),
            ),
        }
        for item in held.slides
    )  # fmt: skip
    said = "No slide is put aside: the usual questions make the deck."
    if rows:
        said = f"{counted(len(rows), 'slide')} put aside for the deck, each asked anew when saved."
    helps = (
        f"{key('save_deck')} saves the deck, {key('slide_up')} and {key('slide_down')} move the "
        f"chosen slide, {key('drop')} drops it; on an answer {key('export')} puts it here."
    )
    columns = (
        column("place", "", right=True),
        column("question", "question", least=12, most=44),
        column("cohort", "attempts", least=10, most=LONG, drop=1),
        column("how", "told", least=8, most=LONG, drop=2),
    )
    return Part("slides", said, helps, rows, columns, "slides")


def _how(item: DeckItem) -> str:
    return "; ".join(told(find(item.question).options, item.asked))
