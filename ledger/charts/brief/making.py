"""A brief in the making: pictures are drawn while more is asked, the file comes last."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING, Self

from ledger.charts.brief import chapters
from ledger.charts.brief.markup import Markup, joined, tag
from ledger.charts.brief.page import page
from ledger.charts.brief.sections import body, section
from ledger.charts.export import figure
from ledger.charts.files import checked, write
from ledger.charts.registry import pictured

if TYPE_CHECKING:
    from ledger.charts.export import Figure
    from ledger.questions.answer import Answer
    from ledger.story.story import Story

KINDS = ("html",)
# These stand in chapters of their own, after the answers.
_NEXT, _TRUST = "watchlist", "agreement"
# Pictures that are read on the screen of a telephone too, because nothing stands side by side.
_LISTS = frozenset({"adopters", "ranking", "player", "candidates", "agreement"})
# So many leagues share one plot; each has its own where there are more.
_TOGETHER = 6


class Brief:
    """A brief of one file.

    Args:
        path: the file, ending in .html; nothing is written before `write`.

    Raises:
        UseError: if the file cannot be written.
    """

    def __init__(self, path: Path) -> None:
        checked(path, KINDS, what="a page")
        self._path = path
        self._beside = ThreadPoolExecutor(max_workers=1)
        self._begun: dict[int, tuple[Answer, list[Future[Figure]]]] = {}

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._beside.shutdown(wait=False, cancel_futures=True)

    def begin(self, answer: Answer) -> None:
        """Start to draw an answer that will be shown."""
        if pictured(answer) and id(answer) not in self._begun:
            jobs = [self._beside.submit(figure, answer, size=size) for size in _sizes(answer)]
            self._begun[id(answer)] = (answer, jobs)

    def write(self, story: Story, progress: Callable[[float], None]) -> Path:
        """Write the file in one step.

        Args:
            story: what is told.
            progress: is told how far it is, 0..1, after each picture; what it raises ends the work.

        Raises:
            UseError: if a picture cannot be drawn, or the file not be written.
        """
        figures: dict[str, list[Figure]] = {}
        for place, answer in enumerate(story.answers, start=1):
            self.begin(answer)
            begun = self._begun.get(id(answer))
            if begun is not None:
                figures[answer.question] = [job.result() for job in begun[1]]
            progress(place / len(story.answers))
        write(self._path, self._page(story, figures).encode())
        return self._path

    def _page(self, story: Story, figures: dict[str, list[Figure]]) -> str:
        told = {one.words for one in story.data}
        shown = [a for a in story.answers if a.question not in (_NEXT, _TRUST)]
        trust = [a for a in story.answers if a.question == _TRUST]
        parts = [(a.question, a.title) for a in shown]
        parts += [
            (_NEXT, story.watch_next.title),
            ("clips", chapters.CLIPS),
            ("method", chapters.METHOD),
            ("data", chapters.DATA),
            ("cautions", chapters.CAUTIONS),
            ("asked", chapters.ASKED),
        ]
        further = [
            joined([tag("h3", a.title), *body(a, figures.get(a.question, ()), told)]) for a in trust
        ]
        answers = [section(a, figures.get(a.question, ()), told) for a in shown]
        title = story.rumours[0].text if story.rumours else story.question
        return page(
            f"Brief: {title}",
            chapters.opening(story),
            chapters.contents(parts),
            tag(
                "main",
                *_apart(
                    chapters.answered(story),
                    *answers,
                    section(story.watch_next, (), told),
                    chapters.clips(story),
                    chapters.method(story.method),
                    chapters.data(story, *further),
                    chapters.cautions(story),
                    chapters.asked(story),
                ),
            ),
        )


def _sizes(answer: Answer) -> tuple[str, ...]:
    """For which screens a picture is drawn: one that is pushed sideways where it is too wide."""
    leagues = answer.frame["league"].n_unique() if "league" in answer.frame.columns else 0
    fits = answer.question in _LISTS or (answer.question == "uptake" and leagues <= _TOGETHER)
    return ("page", "telephone") if fits else ("page",)


def _apart(*parts: Markup) -> list[Markup]:
    """Parts on lines of their own."""
    return [joined([Markup("\n"), part]) for part in parts]
