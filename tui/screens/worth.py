"""What is a trip to the line worth?"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from textual.app import ComposeResult

from ledger.questions.layout import STATE_WORDS
from ledger.questions.wording import percent, rate_with_interval, shown_share
from tui.actions import bindings_of
from tui.cohorts import Meant
from tui.screens.leafing import LeafingScreen
from tui.widgets.columns import Row, ShownColumn
from tui.widgets.lines import Words
from tui.widgets.worth_curve import LEGEND, TripLine, WorthCurve, WorthPicture

if TYPE_CHECKING:
    from ledger.questions.answer import Answer

# A break-even rate has one decimal, as in the sentence.
_DETAILED = 100


class WorthScreen(LeafingScreen):
    """Points of a trip over the make rate as a picture, with the rows under it."""

    kind = "worth"
    question = "worth"
    heading = "What is a trip to the line worth?"
    identity = ("trip", "what")
    BINDINGS = bindings_of("worth")
    parts = (("", "trips"), ("break_even", "when a foul pays"), ("known", "what went in"))

    def compose_picture(self) -> ComposeResult:
        yield WorthCurve(id="curve", classes="picture")
        yield Words(LEGEND, classes="legend", id="legend")

    def show_answer(self, answer: Answer) -> None:
        super().show_answer(answer)
        picture = picture_of(answer)
        curve = self.query_one(WorthCurve)
        curve.show(picture)
        drawn = not self.part and bool(picture.lines)
        curve.set_class(not drawn, "hidden")
        self.query_one("#legend").set_class(not drawn, "hidden")
        self.set_class(drawn, "pictured")

    def sentence(self, meant: Meant, answer: Answer | None) -> str:
        """What is meant; whatever is studied is the same here."""
        return answer.cohort if answer else meant.cohort.sentence()

    def columns_of(self, answer: Answer) -> tuple[ShownColumn, ...]:
        columns = super().columns_of(answer)
        limits = {row["trip"]: row["rate"] for row in answer.part("break_even").rows()}
        if self.part or not any(limits.values()):
            return columns
        pays = ShownColumn("a foul pays below", partial(_limit, limits), least=8, most=18)
        return (*columns[:2], pays, *columns[2:])

    def notes_of(self, answer: Answer) -> tuple[str, ...]:
        """How to say what is missing, before all else."""
        missing = [row["what"] for row in answer.part("known").rows() if row["given"] == "missing"]
        if not missing:
            return answer.notes
        words = " and ".join(STATE_WORDS[what] for what in missing)
        return (f"Not known: {words}; {self.key('choose')} types it.", *answer.notes)


def _limit(limits: dict[str, float | None], row: Row) -> str:
    rate = limits.get(row["trip"])
    return "–" if rate is None else percent(rate, _DETAILED)


def picture_of(answer: Answer) -> WorthPicture:
    """What the picture is drawn from."""
    crossing = {row["trip"]: row["rate"] for row in answer.part("break_even").rows()}
    known = {row["what"]: row for row in answer.part("known").rows()}
    points: dict[str, list[tuple[float, float]]] = {}
    for row in answer.part("curve").rows():
        points.setdefault(row["trip"], []).append((row["rate"], row["points"]))
    lines = tuple(
        TripLine(
            STATE_WORDS[row["trip"]],
            tuple(points[row["trip"]]),
            row["points"],
            crossing.get(row["trip"]),
        )
        for row in answer.frame.iter_rows(named=True)
    )
    if not lines:
        return WorthPicture()
    rate = known["rate"]
    return WorthPicture(
        lines,
        rate["value"],
        rate["low"],
        rate["high"],
        known["per_possession"]["value"],
        _shooter(answer, rate),
    )


def _shooter(answer: Answer, rate: Row) -> str:
    if rate["low"] is None:
        return f"{shown_share(rate['value'])}, typed"
    players: Sequence[str] = answer.asked.get("player") or []
    who = f"{players[0]} " if len(players) == 1 else ""
    return who + rate_with_interval(rate["value"], rate["low"], rate["high"], rate["of"] or 0)
