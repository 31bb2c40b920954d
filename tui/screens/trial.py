"""How is the trial going?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from textual.app import ComposeResult

from ledger.questions.wording import technique_words
from tui.actions import bindings_of
from tui.cohorts import Meant, Whom
from tui.screens.dialogs import ChoiceDialog
from tui.screens.leafing import LeafingScreen
from tui.session import Job
from tui.widgets.columns import Row, ShownColumn
from tui.widgets.session_chart import NOT_COUNTED, Course, Session, SessionChart

if TYPE_CHECKING:
    from ledger.questions.answer import Answer
    from ledger.store.trials import Trial

_LONG = 200


class TrialScreen(LeafingScreen):
    """The running difference over the sessions as a picture, the sessions under it."""

    kind = "trial"
    question = "trial"
    heading = "How is the trial going?"
    identity = ("session", "technique")
    BINDINGS = bindings_of("trial")
    parts = (
        ("", "sessions"),
        ("games", "games beside it"),
        ("misses", "misses"),
        ("arc", "height of the arc"),
        ("plan", "the plan"),
    )
    # A session has a row for each technique.
    uncounted = frozenset(name for name, _ in parts)

    def compose_picture(self) -> ComposeResult:
        yield SessionChart(id="chart")

    def __init__(self) -> None:
        super().__init__()
        self.add_class("pictured")

    # -- which trial -----------------------------------------------------------------------

    def action_which(self) -> None:
        session = self.program.session
        self.await_job(session.do(self, "trials", "looking up trials", lambda b: b.trials()))

    def done_trials(self, job: Job, trials: list[Trial]) -> None:
        """The trials of the ledger have come."""
        if not trials:
            self.tell(f"no trial is planned yet; {self.key('plan')} on a player's row plans one")
            return
        choices = [
            (t.name, f"{t.name}: {t.player} ({t.league}), planned {t.at_time:%Y-%m-%d}")
            for t in trials
        ]

        def chosen(name: str | None) -> None:
            if name:
                self.options["name"] = name
                self.entered()

        current = str(self.options.get("name") or "")
        self.offer(ChoiceDialog("Which trial?", choices, current), chosen)

    def failed(self, job: Job, line: str) -> None:
        super().failed(job, line)
        # With several trials the ledger asks back which one is meant.
        if job.kind == "ask" and "name" not in self.options and not job.stopped:
            self.action_which()

    # -- showing ---------------------------------------------------------------------------

    def show_answer(self, answer: Answer) -> None:
        course = course_of(answer)
        chart = self.query_one(SessionChart)
        chart.show(course)
        chart.set_class(not course.drawable, "hidden")
        super().show_answer(answer)
        if _stands(answer) is None:
            how = f"{self.key('plan')} on a player's row of another question plans one"
            self.tell(f"{how}; {self.key('lists')} shows those there are")

    def sentence(self, meant: Meant, answer: Answer | None) -> str:
        """A trial is about its own two techniques, whichever is studied elsewhere."""
        return answer.cohort if answer else "Trials in practice"

    def columns_of(self, answer: Answer) -> tuple[ShownColumn, ...]:
        columns = super().columns_of(answer)
        return columns if self.part else tuple(map(_fitted, columns))

    def is_marked(self, row: Row) -> bool:
        """The technique that is tried: its name stands in the row."""
        stands = _stands(self.answer) if self.answer else None
        return stands is not None and row.get("technique") == stands["tried"]

    # -- whose it is -----------------------------------------------------------------------

    def subject(self) -> Whom | None:
        """Whose practice it is, whichever row is chosen."""
        stands = _stands(self.answer) if self.answer else None
        return Whom.of(stands) if stands else None

    def action_row(self) -> None:
        """Go to him; the details of the row have a key of their own."""
        whom = self.subject()
        if whom is None:
            self.action_details()
        else:
            self.program.show_player(whom)


def _stands(answer: Answer) -> Row | None:
    """How the trial stands; None where none is planned."""
    return next(iter(answer.part("result").rows()), None)


def _fitted(column: ShownColumn) -> ShownColumn:
    """A session that is not counted carries the sign it has in the picture."""
    if column.sorts == "session":
        return replace(column, title="no.", words=_numbered, right=False)
    if column.sorts == "counted_why":
        return replace(column, most=_LONG)
    return replace(column, drop=2) if column.drawing is not None else column


def _numbered(row: Row) -> str:
    return f"{row['session']:>2} " + (" " if row["counted"] else NOT_COUNTED)


def course_of(answer: Answer) -> Course:
    """What the picture is drawn from."""
    stands = _stands(answer)
    if stands is None:
        return Course()
    rows = answer.part("course").rows()
    sessions = tuple(
        Session(
            row["session"],
            row["own"],
            row["difference"],
            row["low"],
            row["high"],
            row["stop_low"],
            row["stop_high"],
        )
        for row in rows
    )
    tried, usual = (technique_words([stands[name]]) for name in ("tried", "usual"))
    aside = {row["session"] for row in answer.part("plan").rows() if not row["counted"]}
    to_practise = max(0, len(aside) - len(rows))
    return Course(sessions, stands["planned"], _looks(stands, rows), tried, usual, to_practise)


def _looks(stands: Row, rows: Sequence[Row]) -> tuple[int, ...]:
    """Those that were, and those to come unless it has ended: the last one ends the plan."""
    looks = [row["sessions"] for row in rows if row["limit"] is not None]
    if stands["next_look"] is not None:
        looks += [stands["next_look"], stands["planned"]]
    return tuple(dict.fromkeys(looks))
