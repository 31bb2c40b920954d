"""Who changed, and did it help?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from ledger.questions.wording import count
from tui.actions import bindings_of
from tui.screens.leafing import LeafingScreen
from tui.widgets.columns import Row, ShownColumn
from tui.widgets.drawings import Dumbbell, Interval

if TYPE_CHECKING:
    from ledger.questions.answer import Answer

_DUMBBELL = Dumbbell(
    ("rate_before", "before_low", "before_high"), ("rate_after", "after_low", "after_high")
)
_GAIN = Interval("gain_low", "gain_high", "gain", percent=False, zero=True)
# What a row under the others says; everything else of it is empty.
_FOOT = ("player", "gain")
# In what order columns leave a narrow screen: the drawing stays longer than its counts.
_DROP = {"team": 7, "direction": 6, "finding": 5, "date": 3, "claim": 1}
# What is read first: who is no test, how many rises are luck, what a gain is.
_FIRST = ("The rumour named", "named as risen", "They chose themselves", "Gains are")


class SwitchesScreen(LeafingScreen):
    """Rates before and after joined in each row, the gain beside them, all together below."""

    kind = "switches"
    question = "switches"
    heading = "Who changed, and did it help?"
    identity = ("player", "league", "team", "season", "number")
    BINDINGS = bindings_of("switches")
    parts = (
        ("", "changes"),
        ("tried", "only tried it"),
        ("drift", "league's drift out"),
        ("earlier", "earlier seasons too"),
        ("judged", "looked at"),
    )

    def foot_of(self, answer: Answer) -> Sequence[Row]:
        return () if self.part else pooled_rows(answer)

    def columns_of(self, answer: Answer) -> tuple[ShownColumn, ...]:
        columns = super().columns_of(answer)
        return columns if self.part else drawn(columns)

    def notes_of(self, answer: Answer) -> tuple[str, ...]:
        """What the figures mean before what they were counted from."""
        first = [note for lead in _FIRST for note in answer.notes if lead in note]
        return tuple(dict.fromkeys([*first, *answer.notes]))

    def is_marked(self, row: Row) -> bool:
        return bool(row.get("claim"))


def drawn(columns: tuple[ShownColumn, ...]) -> tuple[ShownColumn, ...]:
    """The columns with both rates joined in one drawing, and the gain drawn beside its figure."""
    by_name = {column.sorts: column for column in columns}
    both = partial(_joined, by_name["made_before"].words, by_name["made_after"].words)
    own = {
        "made_before": ShownColumn(
            "made", both, least=28, most=28, right=True, drop=4, sorts="made_before"
        ),
        "made_after": ShownColumn(
            "○ before  ● after", least=17, most=64, drop=2, drawing=_DUMBBELL
        ),
    }
    out: list[ShownColumn] = []
    for column in columns:
        name = column.sorts or ""
        kept = own.get(name) or replace(column, drop=_DROP.get(name, column.drop))
        out.append(kept if name in _FOOT else _not_in_foot(kept))
        if name == "gain":
            out.append(ShownColumn("fewer │ more", least=16, most=40, drop=8, drawing=_GAIN))
    return tuple(out)


def _joined(before: Callable[[Row], str], after: Callable[[Row], str], row: Row) -> str:
    return f"{before(row)} → {after(row)}"


def _not_in_foot(column: ShownColumn) -> ShownColumn:
    return replace(column, words=partial(_unless_foot, column.words))


def _unless_foot(words: Callable[[Row], str], row: Row) -> str:
    return "" if "foot" in row else words(row)


def pooled_rows(answer: Answer) -> list[Row]:
    """The effect over several players: without those the rumour named, then of all."""
    found: list[Row] = []
    for name, words in (("without_noticed", "without the rumour"), ("pooled", "all together")):
        rows = answer.part(name).rows()
        if not rows or rows[0]["gain"] is None:
            continue
        if found and found[0]["players"] == rows[0]["players"]:
            return [{**rows[0], "player": _pool(rows[0], words), "foot": True}]
        found.append({**rows[0], "player": _pool(rows[0], words), "foot": True})
    return found


def _pool(row: Row, words: str) -> str:
    return f"{count(row['players'])} {words}"
