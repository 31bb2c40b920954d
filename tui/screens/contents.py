"""The first screen: what the ledger holds, and every question with its headline as it arrives."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from ledger.questions.registry import QUESTIONS
from tui.actions import bindings_of
from tui.listed import review_words
from tui.remedies import nouns_of, told_here
from tui.screens.meaning import MeaningScreen
from tui.session import Job
from tui.widgets.lines import Words, plain, wrapped

if TYPE_CHECKING:
    from ledger.questions.answer import Answer
    from ledger.store.notes import Decision
    from ledger.store.reads import Contents

_WAITING = "…"
_NARROW = 45


class ContentsScreen(MeaningScreen):
    """Holdings, questions, and what to do next."""

    kind = "contents"
    heading = "Contents"
    BINDINGS = [
        *bindings_of("contents"),
        *(Binding(str(n % 10), f"open_number({n})", show=False) for n in range(1, 11)),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._headlines: dict[str, str] = {}
        self._shown_for: object = None
        # Reviews that are due stand before the questions.
        self._due = ""

    def compose_body(self) -> ComposeResult:
        yield Words("opening the ledger …", classes="headline", id="holdings")
        yield Words(classes="hidden", id="leagues")
        yield OptionList(id="questions", markup=False)
        yield Words(classes="notes", id="next")

    def on_mount(self) -> None:
        self._list()
        self.query_one(OptionList).focus()

    def entered(self) -> None:
        """Look whether the ledger has changed; ask every quick question anew where it has."""
        program = self.program
        wanted = (program.meant.now, program.changes)
        if wanted == self._shown_for:
            if not any(job.kind == "contents" for job in self.jobs):
                self.await_job(program.session.contents(self))
            self._list()
            return
        self._shown_for = wanted
        meant = program.meant.now
        for job in self.jobs:
            program.session.stop(job)
        self.jobs.clear()
        self.query_one("#sentence", Words).say(meant.sentence())
        self._headlines = {}
        self.await_job(program.session.contents(self))
        self.await_job(
            program.session.do(
                self, "due", "looking up reviews", lambda book: book.reviews_due(), behind=True
            )
        )
        for question in program.questions:
            if not question.slow:
                job = program.session.ask(self, question.name, meant, {}, behind=True)
                self.await_job(job)
        self._list()

    def _list(self, shifted: int = 0) -> None:
        listed = self.query_one(OptionList)
        at = listed.highlighted
        # Room for the scroll bar, and two lines where all questions are to be seen at once.
        cells = max(10, listed.size.width - 5)
        most = 2 if self.app.size.height < 30 else 4
        rows = []
        if self._due:
            more = ["  enter reads what was decided and why"] if cells > _NARROW else []
            rows.append(Option(plain(f"! {self._due}", *more)))
        for number, question in enumerate(self.program.questions, 1):
            digit = str(number % 10) if number <= 10 else " "
            headline = self._headlines.get(question.name)
            headline = headline or self.program.headline_of(question.name)
            if not headline:
                asks = f"enter asks it, {self.key('headline')} only for its headline"
                headline = asks if question.slow else _WAITING
            said = told_here(headline, self.key_here, nouns_of(QUESTIONS[question.name].options))
            lines = wrapped(said, cells, most)
            rows.append(Option(plain(f"{digit} {question.title}", *(f"  {s}" for s in lines))))
        listed.set_options(rows)
        listed.highlighted = 0 if at is None else min(max(0, at + shifted), len(rows) - 1)

    def on_resize(self) -> None:
        self.call_after_refresh(self._list)

    def done_contents(self, job: Job, facts: Contents) -> None:
        """The holdings have come."""
        super().done_contents(job, facts)
        holdings = self.program.holdings
        if holdings is None:
            return
        self.query_one("#holdings", Words).say(*holdings.lines)
        leagues = self.query_one("#leagues", Words)
        leagues.say(*holdings.leagues)
        leagues.set_class(not holdings.leagues, "hidden")
        self.query_one("#next", Words).say(holdings.next_step(self.key), holdings.ways(self.key))

    def done_due(self, job: Job, due: Sequence[Decision]) -> None:
        """Which reviews are due has come: they go before the questions, what is chosen stays."""
        before, self._due = self._due, review_words(due)
        self._list(shifted=bool(self._due) - bool(before))

    def done_ask(self, job: Job, answer: Answer) -> None:
        """A headline has come."""
        self._headlines[job.about["question"]] = answer.headline
        self.program.keep_headline(job.about["question"], answer.headline)
        self._list()

    def failed(self, job: Job, line: str) -> None:
        if job.kind == "contents":
            # What it held a moment ago is worth more than nothing.
            if self.program.holdings is None:
                self.query_one("#holdings", Words).say("the ledger is not open")
        elif job.kind == "ask":
            self._headlines[job.about["question"]] = line
            self._list()

    # -- actions ---------------------------------------------------------------------------

    @on(OptionList.OptionSelected, "#questions")
    def chosen(self, event: OptionList.OptionSelected) -> None:
        """Enter or a click asks the question."""
        self._open_row(event.option_index)

    def action_open_number(self, number: int) -> None:
        self._open(number - 1)

    def _open(self, index: int) -> None:
        if 0 <= index < len(self.program.questions):
            self.program.show(self.program.questions[index].name)

    def action_headline(self) -> None:
        index = (self.query_one(OptionList).highlighted or 0) - bool(self._due)
        if not 0 <= index < len(self.program.questions):
            self.tell("choose a question first")
            return
        name = self.program.questions[index].name
        self._headlines[name] = _WAITING
        self._list()
        self.await_job(self.program.session.ask(self, name, self.program.meant.now, {}))

    def action_open(self) -> None:
        self._open_row(self.query_one(OptionList).highlighted or 0)

    def _open_row(self, index: int) -> None:
        if self._due and index == 0:
            from tui.screens.lists import ListsScreen

            self.program.show("lists")
            lists = self.app.screen
            if isinstance(lists, ListsScreen):
                lists.show_part("decisions")
        else:
            self._open(index - bool(self._due))

    def action_again(self) -> None:
        self._shown_for = None
        self.entered()
