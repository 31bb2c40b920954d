"""Who changed, and did it help?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from ledger.questions.layout import STATE_WORDS
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
_DROP = {"team": 7, "claim": 1}
# They stand in one column with the day: which way it went is said however narrow the screen is.
_IN_CHANGE = ("direction", "finding")
_WAYS = {"to_focus": "took up", "from_focus": "gave up"}
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

    def _said(self, answer: Answer, part: str, words: str) -> str:
        """A player who took it up and gave it up is two changes: more than players who changed."""
        said = super()._said(answer, part, words)
        return said if part else f"{said}{others_of(answer.main.rows())}"

    def is_marked(self, row: Row) -> bool:
        return bool(row.get("claim"))


def others_of(rows: Sequence[Row]) -> str:
    """How many of the changes are not simply taking it up."""
    possible = sum(row["finding"] == "possible" for row in rows)
    back = sum(r["finding"] != "possible" and r["direction"] == "from_focus" for r in rows)
    said = [f"{count(many)} {words}" for many, words in ((back, "gave up"), (possible, "possible"))
            if many]  # fmt: skip
    return f" ({', '.join(said)})" if said else ""


def drawn(columns: tuple[ShownColumn, ...]) -> tuple[ShownColumn, ...]:
    """The columns with both rates joined in one drawing, and the gain drawn beside its figure."""
    by_name = {column.sorts: column for column in columns}
    both = partial(_joined, by_name["made_before"].words, by_name["made_after"].words)
    own = {
        "made_before": ShownColumn(
            "made", both, least=28, most=28, right=True, drop=4, sorts="made_before"
        ),
        "date": ShownColumn(
            "change",
            way_of,
            shorter=(day_of, month_of, mark_of),
            least=8,
            bears=16,
            most=30,
            sorts="date",
            whole=True,
        ),
        "player": replace(by_name["player"], least=12),
        "made_after": ShownColumn("○ before ● after", least=16, most=64, drop=2, drawing=_DUMBBELL),
    }
    out: list[ShownColumn] = []
    for column in columns:
        name = column.sorts or ""
        if name in _IN_CHANGE:
            continue
        kept = own.get(name) or replace(column, drop=_DROP.get(name, column.drop))
        out.append(kept if name in _FOOT else _not_in_foot(kept))
        if name == "gain":
            out.append(ShownColumn("fewer │ more", least=16, most=40, drop=8, drawing=_GAIN))
    return tuple(out)


def way_of(row: Row) -> str:
    """Which way a change went and when; what is not found for sure is called so."""
    day = row.get("date") or row.get("date_why") or ""
    sure = "" if row.get("finding") == "switch" else f" ({STATE_WORDS[row['finding']]})"
    return f"{_WAYS.get(row['direction'], 'changed')} {day}{sure}"


def day_of(row: Row) -> str:
    """The same, with a question mark where it is only possible."""
    return f"{mark_of(row)} {row.get('date') or ''}".rstrip()


def month_of(row: Row) -> str:
    """The same with its month only."""
    return f"{mark_of(row)} {str(row.get('date') or '')[:7]}".rstrip()


def mark_of(row: Row) -> str:
    """Which way alone."""
    return _WAYS.get(row["direction"], "changed") + "?" * (row.get("finding") == "possible")


def _joined(before: Callable[[Row], str], after: Callable[[Row], str], row: Row) -> str:
    return f"{before(row)} → {after(row)}"


def _not_in_foot(column: ShownColumn) -> ShownColumn:
    shorter = tuple(partial(_unless_foot, words) for words in column.shorter)
    return replace(column, words=partial(_unless_foot, column.words), shorter=shorter)


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
