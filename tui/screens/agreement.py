"""Can we trust the tags?"""

from __future__ import annotations

from dataclasses import replace
from math import nan
from typing import TYPE_CHECKING

from textual.app import ComposeResult

from ledger.cohort import BOARD_ASSISTED
from ledger.questions.agreement_words import with_limits
from ledger.questions.wording import capital, count
from tui.actions import bindings_of
from tui.cohorts import Meant
from tui.screens.dialogs import ChoiceDialog, TextDialog
from tui.screens.leafing import LeafingScreen
from tui.session import Job
from tui.widgets.agreement_grid import LEGEND, AgreementGrid, AgreementGridView, FieldTold
from tui.widgets.columns import Row, ShownColumn
from tui.widgets.drawings import Interval
from tui.widgets.lines import Words

if TYPE_CHECKING:
    from ledger.questions.answer import Answer

_KAPPA = Interval("low", "high", "kappa", percent=False, zero=True, share=False)
_DISPUTED = ("disputed", "disputed_misses")
# What comparisons rest on stands before the rest.
_FIRST = ("technique", "miss_depth", "miss_side")
_FURTHER_TAG = "depth and side are settled by a tag that is marked to settle them"
# A person may see it again and still not be able to tell.
_UNCLEAR = ("unclear", "it cannot be told")


class AgreementScreen(LeafingScreen):
    """Who told what alike, and what is told differently, to be settled here."""

    kind = "agreement"
    question = "agreement"
    heading = "Can we trust the tags?"
    identity = ("attempt", "field", "tagger_a", "tagger_b")
    BINDINGS = bindings_of("agreement")
    parts = (
        ("", "pairs of people"),
        ("disputed", "technique in dispute"),
        ("disputed_misses", "misses in dispute"),
    )

    def __init__(self) -> None:
        super().__init__()
        self._settling: Row | None = None

    def compose_picture(self) -> ComposeResult:
        yield AgreementGridView(id="agreement", classes="picture")
        yield Words(LEGEND, classes="legend", id="legend")

    def show_answer(self, answer: Answer) -> None:
        super().show_answer(answer)
        picture = self.query_one(AgreementGridView)
        picture.show(grid_of(answer))
        drawn = not self.part and bool(answer.frame.height)
        picture.set_class(not drawn, "hidden")
        self.query_one("#legend").set_class(not drawn, "hidden")
        self.set_class(drawn, "pictured")
        self.set_class(drawn, "drawn")

    def sentence(self, meant: Meant, answer: Answer | None) -> str:
        """What is meant; whatever is studied is the same here."""
        return answer.cohort if answer else meant.cohort.sentence()

    def columns_of(self, answer: Answer) -> tuple[ShownColumn, ...]:
        columns = super().columns_of(answer)
        if self.part in _DISPUTED:
            # Of techniques the name of the part says what is told differently.
            told = (c for c in columns if self.part != "disputed" or c.sorts != "field")
            return tuple(_disputed(column) for column in told)
        if not answer.frame["kappa"].count():
            return columns
        return (*columns, ShownColumn("", least=16, most=50, drop=1, drawing=_KAPPA))

    def notes_of(self, answer: Answer) -> tuple[str, ...]:
        """What is to be settled before all else."""
        return tuple(sorted(answer.notes, key=lambda note: "offglass settle" not in note))

    # -- settling --------------------------------------------------------------------------

    def action_row(self) -> None:
        # A dispute is settled where it stands; the player is one key further.
        self.action_details()

    def action_details(self) -> None:
        row = self._in_dispute()
        if row is None:
            super().action_details()
            return
        technique = row["field"] == "technique"
        ends = f"{self.key('settle')} settles it." if technique else f"{_FURTHER_TAG}."
        title = f"{row['player']}, {row['date']}, {row['game']}"
        lines = [
            f"Attempt {count(row['attempt'])}, {row['league']} {row['season']}: its "
            f"{_words(row['field'])} is told differently.",
            "",
            *str(row["values"]).split("; "),
            "",
            capital(ends),
        ]
        self.app.push_screen(TextDialog(title, lines))

    def _in_dispute(self) -> Row | None:
        return self.rows.chosen() if self.part in _DISPUTED else None

    def action_settle(self) -> None:
        row = self._in_dispute()
        if row is None:
            leafs = f"{self.key('part')} leafs to those in dispute"
            self.tell(f"no attempt in dispute is chosen; {leafs}")
        elif row["field"] != "technique":
            self.tell(f"only a technique is settled here; {_FURTHER_TAG}")
        else:
            self._settling = row
            self.await_job(self.program.session.choices(self, "technique"))

    def done_choices(self, job: Job, names: list[str]) -> None:
        """The techniques have come: those of the ledger to study, or to settle by."""
        row, self._settling = self._settling, None
        if row is None:
            super().done_choices(job, names)
            return
        attempt = int(row["attempt"])

        def chosen(name: str | None) -> None:
            if name:
                self.await_job(
                    self.program.session.do(
                        self, "settle", f"settling attempt {attempt}",
                        lambda book: book.settle(attempt, name), keeps=True,
                    )
                )  # fmt: skip

        choices = [*((name, name) for name in names if name != BOARD_ASSISTED), _UNCLEAR]
        title = f"{row['player']}, {row['date']}, {row['game']}: {row['values']}"
        self.offer(ChoiceDialog(title, choices), chosen)

    def done_settle(self, job: Job, words: str) -> None:
        """It is stored as a source of its own, which undo takes back."""
        self.reread_facts()
        said = words.partition("; to take it back")[0]
        self.tell(f"{said}; {self.key('undo')} takes it back")


def grid_of(answer: Answer) -> AgreementGrid:
    """What the picture is drawn from."""
    pairs = {
        (row["tagger_a"], row["tagger_b"]): (row["alike"], row["attempts"], row["agree_share"])
        for row in answer.frame.iter_rows(named=True)
    }
    people = tuple(dict.fromkeys(name for pair in pairs for name in pair))
    rows = sorted(
        answer.part("alpha").rows(), key=lambda row: (not row["units"], row["field"] not in _FIRST)
    )
    return AgreementGrid(people, pairs, tuple(_told(row) for row in rows))


def _told(row: Row) -> FieldTold:
    low, high = (nan if row[end] is None else row[end] for end in ("low", "high"))
    figure = nan if row["alpha"] is None else row["alpha"]
    said = with_limits(figure, low, high) or str(row["alpha_why"])
    figures = (row["alike"], row["units"], row["alpha"], row["low"], row["high"])
    return FieldTold(_words(row["field"]), *figures, said)


def _disputed(column: ShownColumn) -> ShownColumn:
    """Fields in words; who told what is what one came for."""
    if column.sorts == "field":
        return replace(column, words=_field)
    return replace(column, least=32, most=60) if column.sorts == "values" else column


def _words(field: str) -> str:
    return field.replace("_", " ")


def _field(row: Row) -> str:
    return _words(str(row["field"]))
