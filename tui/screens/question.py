"""A question with its answer: headline, rows or picture, notes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from textual.app import ComposeResult

from ledger.questions.told import value_words, words_of
from ledger.safe_text import cut
from tui import figures
from tui.actions import bindings_of
from tui.cohorts import Meant, Whom
from tui.screens.bare import PICTURE_LINES
from tui.screens.dialogs import TextDialog
from tui.screens.exporting import ExportingScreen
from tui.screens.laid_out import columns_of, is_why
from tui.screens.on_player import TELLING, OnPlayer
from tui.session import Job
from tui.widgets.columns import Row, ShownColumn
from tui.widgets.lines import BEFORE, Words
from tui.widgets.rows import RowsView

if TYPE_CHECKING:
    import polars as pl

    from ledger.questions.answer import Answer, Part


class QuestionScreen(OnPlayer, ExportingScreen):
    """Asks one question of the shared cohort and shows the answer.

    A question with no screen of its own is shown by this one, from the answer's own columns.
    """

    kind = "question"
    identity: tuple[str, ...] = ("player", "team", "league", "season")
    BINDINGS = bindings_of("question")

    def __init__(self) -> None:
        super().__init__()
        self._shown_for: object = None
        self._stopped_for: object = None
        self._answered_for: object = None

    def compose_body(self) -> ComposeResult:
        yield self.told_line()
        yield Words("…", classes="headline", id="headline")
        yield from self.compose_answer()
        yield self.find_line()
        yield Words(classes="notes", id="notes")

    def compose_answer(self) -> ComposeResult:
        """Rows, or a picture and rows."""
        yield RowsView(id="rows")

    def on_mount(self) -> None:
        for name in ("#headline", "#notes"):
            self.query_one(name, Words).whole_by = self.key("notes")
        self.rows.whole_by = self.key("details")

    def dress(self) -> None:
        super().dress()
        if self.is_mounted:
            self.say_title()

    def say_title(self) -> None:
        """The question; where notes and picture have no room, with the key that tells more."""
        room, sign = self.app.size.width - 2, f" ({self.key('notes')}: more)"
        more = self.has_class("tiny") and self.answer is not None
        said = f"{cut(self.heading, max(1, room - len(sign)))}{sign}" if more else self.heading
        self.query_one(".title", Words).say(said)

    # -- asking ----------------------------------------------------------------------------

    def meant(self) -> Meant:
        """Which attempts this screen asks about: those all screens share."""
        return self.program.meant.now

    def _meaning(self) -> object:
        return (self.meant(), tuple(sorted(self.options.items())))

    def _asking_for(self) -> object:
        return (self._meaning(), self.program.changes)

    def entered(self) -> None:
        """Ask, unless what is shown is already what is meant."""
        if self.focused is None or self.focused.id != "find":
            self.rows.focus()
        wanted = self._asking_for()
        if wanted in (self._shown_for, self._stopped_for):
            return
        for job in [j for j in self.jobs if j.kind == "ask"]:
            self.program.session.stop(job)
            self.jobs.remove(job)
        self._shown_for = wanted
        self._stopped_for = None
        meant = self.meant()
        self.query_one("#sentence", Words).say(self.sentence(meant, None))
        self.stand_back(back=self.answer is not None)
        below = "; below: the answer before" if self.answer is not None else ""
        self.query_one("#headline", Words).say_meanwhile(f"counting …{below}")
        self.say_told()
        self.await_job(self.ask(meant))

    def stand_back(self, *, back: bool) -> None:
        """Rows and pictures of the answer before are no answer to the sentence above them."""
        for widget in self.query("RowsView, CanvasView, SectionsLine"):
            widget.set_class(back, BEFORE)
            widget.refresh()

    def ask(self, meant: Meant) -> Job:
        """Put the question to the ledger."""
        return self.program.session.ask(self, self.question, meant, self.options)

    def sentence(self, meant: Meant, answer: Answer | None) -> str:
        """What is meant, in plain words."""
        if answer is None:
            return meant.sentence()
        told = "studying" in answer.cohort
        return answer.cohort if told else f"{answer.cohort}; studying: {meant.focus_words()}"

    def done_ask(self, job: Job, answer: Answer) -> None:
        """The answer has come."""
        self.answer = answer
        self.stand_back(back=False)
        self._answered_for = self._meaning()
        if not self.options:
            self.program.keep_headline(self.question, answer.headline)
        self.say_title()
        self.trouble_is_over()
        self.query_one("#sentence", Words).say(self.sentence(self.meant(), answer))
        self.query_one("#headline", Words).say(self.told_here(answer.headline))
        self.say_told(answer)
        self.query_one("#notes", Words).say(*map(self.told_here, self.notes_of(answer)))
        self.show_answer(answer)

    def show_answer(self, answer: Answer) -> None:
        """Show rows and picture."""
        columns = self.columns_of(answer)
        self.rows.show(
            self.frame_of(answer),
            columns,
            identity=self.identity,
            marked=self.is_marked,
            foot=self.foot_of(answer),
            empty=self.why_empty(answer),
        )

    def why_empty(self, answer: Answer) -> str:
        """Why there is no row, where there is none, and the key that brings some."""
        if self.answer is None:
            return f"No answer yet; {self.key('again')} asks again."
        told = [o for o in self.choices if o.name in self.options and words_of(o).narrows]
        if told:
            what = "; ".join(
                words_of(o).said.format(value_words(o, self.options[o.name])) for o in told
            )
            return f"No row is left of {what}: {self.key('choose')} changes that."
        if self.meant().cohort.asked():
            return f"No row of these attempts: {self.key('cohort')} changes which are meant."
        return "There is no row: the headline says why."

    def facts_of(self, answer: Answer) -> tuple[str, ...]:
        """Facts of the answer that stand in a line of their own, for who reads all of it."""
        return ()

    def notes_of(self, answer: Answer) -> tuple[str, ...]:
        """The notes in the order they are shown under the rows."""
        return answer.notes

    def frame_of(self, answer: Answer) -> pl.DataFrame:
        """The rows in the order they are first shown."""
        return answer.frame

    def shown_part(self, answer: Answer) -> Part:
        """The part of the answer that the rows are of."""
        return answer.main

    def columns_of(self, answer: Answer) -> tuple[ShownColumn, ...]:
        """The columns of the table."""
        return columns_of(answer, here=self.told_here)

    def foot_of(self, answer: Answer) -> Sequence[Row]:
        """Rows under all others, such as all of them together."""
        return ()

    def is_marked(self, row: Row) -> bool:
        """Whether a row stands out; its words must say why."""
        return row.get("state") == "adopter"

    def failed(self, job: Job, line: str) -> None:
        if job.kind != "ask":
            return
        self._stopped_for, self._shown_for = self._shown_for, None
        self.stand_back(back=False)
        headline = self.query_one("#headline", Words)
        if self.answer is not None and self._answered_for == self._meaning():
            headline.say(self.told_here(self.answer.headline))
            return
        # Rows of other attempts under this sentence would be read as an answer to it.
        headline.say("no answer yet")
        self.query_one("#notes", Words).say("")
        if self.answer is not None:
            nothing, self.answer = emptied(self.answer), None
            self.show_answer(nothing)

    def after_writing(self, kind: str) -> None:
        """Ask anew only where this answer tells of it."""
        by_list = kind == "list" and self.meant().cohort.list_name
        if by_list or self.question in TELLING[kind] or self._shown_for != self._asking_for():
            self.reread_facts()
        else:
            self.program.wrote()
            self._shown_for = self._asking_for()

    # -- actions ---------------------------------------------------------------------------

    def action_again(self) -> None:
        self._shown_for = self._stopped_for = None
        super().action_again()
        self.entered()

    def action_row(self) -> None:
        row = self.rows.chosen()
        whom = Whom.of(row) if row is not None else None
        if whom is None:
            self.action_details()
        else:
            self.program.show_player(whom)

    def action_details(self) -> None:
        row = self.rows.chosen()
        if row is None or self.answer is None:
            self.tell("there is no row", trouble=True)
            return
        lines = []
        columns = self.shown_part(self.answer).columns
        for column in columns:
            said = figures.detail(column.name, row.get(column.name), column.unit)
            said = self.told_here(said) if is_why(column.name) else said
            lines.append(f"{column.title}: {said}")
            if column.description:
                lines.append(f"    {column.description}")
        told_by = ("player", *self.identity, columns[0].name)
        title = next((str(row[c]) for c in told_by if row.get(c)), "One row")
        self.app.push_screen(TextDialog(title, lines))

    def action_notes(self) -> None:
        if self.answer is None:
            self.tell("there is no answer to read yet", trouble=True)
            return
        lines = [self.answer.headline, "", self.sentence(self.meant(), self.answer), ""]
        lines += [*self.unseen(), *self.facts_of(self.answer), *self.answer.notes]
        self.app.push_screen(
            TextDialog("What a reader must know", list(map(self.told_here, lines)))
        )

    def unseen(self) -> list[str]:
        """That there is a picture, where the window is too low for it."""
        hidden = any(not view.display for view in self.query("#chart, #curve, .picture"))
        if not hidden or not self.has_class("tiny"):
            return []
        return [f"A window of {PICTURE_LINES} lines or more has a picture too.", ""]


def emptied(answer: Answer) -> Answer:
    """The answer without its rows."""
    from ledger.questions.answer import Part

    parts = {n: Part(p.columns, p.frame.head(0)) for n, p in answer.parts.items()}
    return replace(answer, main=Part(answer.columns, answer.frame.head(0)), parts=parts)
