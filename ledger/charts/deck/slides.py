"""A deck in the making: answers and pages go in, the file appears at the end, or not at all."""

from __future__ import annotations

import io
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

from ledger.charts.deck.boards import put
from ledger.charts.deck.pages import Page, of_answer
from ledger.charts.deck.parcel import moment, settled
from ledger.charts.deck.stage import stage
from ledger.charts.export import Drawing, drawing
from ledger.charts.files import checked, write
from ledger.charts.registry import pictured

if TYPE_CHECKING:
    from ledger.questions.answer import Answer

KINDS = ("pptx",)


@dataclass(frozen=True, slots=True)
class Written:
    """A deck that was written.

    Attributes:
        path: where.
        shown: slides that are shown.
        hidden: slides with figures to edit, passed over in a show.
    """

    path: Path
    shown: int
    hidden: int

    def words(self) -> str:
        """What was written, in a sentence."""
        slides = "1 slide" if self.shown == 1 else f"{self.shown} slides"
        if not self.hidden:
            return f"{slides}: {self.path}"
        more = "1 hidden one holds" if self.hidden == 1 else f"{self.hidden} hidden ones hold"
        return f"{slides}, {more} the same figures to edit: {self.path}"


class Slides:
    """Slides of one file.

    Pictures are drawn beside, while further answers are asked: `begin` as soon as one is there.

    Args:
        path: the file, ending in .pptx; nothing is written before `write`.
        theme: light or dark.
        template: a .pptx whose masters, sizes, letters and colours are used.

    Raises:
        UseError: if the file cannot be written, or theme or template cannot be used.
    """

    def __init__(self, path: Path, *, theme: str = "light", template: Path | None = None) -> None:
        checked(path, KINDS, what="slides")
        self._path = path
        self._theme = theme
        self._stage = stage(theme, template)
        self._beside = ThreadPoolExecutor(max_workers=1)
        self._begun: dict[int, tuple[Answer, Future[Drawing]]] = {}
        self._day: date | None = None
        self._shown = self._hidden = 0
        self._title = ""

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._beside.shutdown(wait=False, cancel_futures=True)

    def begin(self, answer: Answer) -> None:
        """Start to draw an answer that will be added."""
        if pictured(answer) and id(answer) not in self._begun:
            size = self._stage.picture_size
            job = self._beside.submit(drawing, answer, theme=self._theme, size=size)
            self._begun[id(answer)] = (answer, job)

    def add_answer(self, answer: Answer) -> None:
        """The slides of an answer; waits for its picture.

        Raises:
            UseError: if it cannot be drawn.
        """
        self.begin(answer)
        self._dated(answer)
        begun = self._begun.pop(id(answer), None)
        drawn = begun[1].result() if begun else None
        for page in of_answer(answer, drawn):
            self.add(page)

    def add(self, page: Page) -> None:
        """One page."""
        self._title = self._title or page.title
        number = put(self._stage, page, self._day)
        if page.hidden:
            self._hidden += number
        else:
            self._shown += number

    def _dated(self, answer: Answer) -> None:
        if answer.ledger.last_day:
            self._day = date.fromisoformat(answer.ledger.last_day)

    def write(self) -> Written:
        """Write the file in one step.

        Raises:
            UseError: if it cannot be written.
        """
        self._facts(self._stage.presentation.core_properties)
        out = io.BytesIO()
        self._stage.presentation.save(out)
        write(self._path, settled(out.getvalue(), self._day))
        return Written(self._path, self._shown, self._hidden)

    def _facts(self, facts: Any) -> None:
        facts.title = self._title[:250]
        facts.author = facts.last_modified_by = "offglass"
        facts.subject = facts.keywords = facts.comments = facts.category = ""
        facts.revision = 1
        facts.created = facts.modified = moment(self._day).replace(tzinfo=None)
