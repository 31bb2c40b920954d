"""What is told to a staff, through the book: the brief, slides, and the deck they are made from."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ledger.cohort import Cohort, split_filters
from ledger.errors import UseError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from ledger.charts.brief.making import Brief
    from ledger.charts.deck.slides import Slides, Written
    from ledger.questions.answer import Answer
    from ledger.store.ledger_file import LedgerFile
    from ledger.story.story import Story
    from ledger.story.usual import Ask, Beside

Progress = Callable[[float], None]

# The part of the work that is asking and drawing; the rest is putting slides together.
_ASKED = 0.8


@dataclass(frozen=True, slots=True)
class DeckItem:
    """An answer that was put aside for the slides.

    Attributes:
        number: its own, which it keeps however the deck is ordered.
        place: 1 for the first, and so on without a gap.
        question: its name.
        asked: cohort, studied techniques and options, as an answer tells them.
        title: the question as a person asks it.
        cohort: which attempts, in plain words.
    """

    number: int
    place: int
    question: str
    asked: Mapping[str, Any]
    title: str
    cohort: str


class Telling:
    """The telling part of a book, over its ledger file."""

    _file: LedgerFile

    if TYPE_CHECKING:

        def ask(self, question: str, **asked: Any) -> Answer:  # noqa: D102
            ...

    def export_slide(
        self,
        answer: Answer,
        path: str | PathLike[str],
        *,
        theme: str = "light",
        template: str | PathLike[str] | None = None,
    ) -> Path:
        """Write one answer as a slide, with the same figures to edit on a hidden one.

        Args:
            answer: complete.
            path: the file, ending in .pptx; one that is there is replaced.
            theme: light or dark.
            template: a .pptx whose masters, sizes, letters and colours are used.

        Raises:
            UseError: if the file cannot be written, the template cannot be used, or drawing failed.
        """
        from ledger.charts.deck.slides import Slides

        with Slides(Path(path), theme=theme, template=_path(template)) as slides:
            slides.add_answer(answer)
            return slides.write().path

    def put_in_deck(self, answer: Answer) -> str:
        """Put an answer at the end of the deck, as the question that was asked; in words.

        Raises:
            UseError: if it is in the deck already.
        """
        from ledger.store.deck import add_item

        with self._file.changing("offglass deck") as con:
            source, item = add_item(con, self._file, answer.question, answer.asked)
        return (
            f"{answer.question} is in the deck, at place {item.place}; "
            f"to take it back: offglass undo {source}"
        )

    def deck(self) -> list[DeckItem]:
        """The answers that were put into the deck, in its order."""
        from ledger.questions.registry import find
        from ledger.store.deck import items

        with self._file.reading() as con:
            return [
                DeckItem(
                    number=item.number,
                    place=item.place,
                    question=item.question,
                    asked=item.asked,
                    title=find(item.question).title,
                    cohort=_parts(item.question, item.asked)[0].sentence(),
                )
                for item in items(con)
            ]

    def drop_from_deck(self, number: int) -> str:
        """Take an answer out of the deck; what was done, in words.

        Raises:
            UseError: if there is none of that number.
        """
        from ledger.store.deck import drop_item

        with self._file.changing("offglass deck") as con:
            source, item = drop_item(con, self._file, number)
        return f"{item.question} left the deck; to take it back: offglass undo {source}"

    def move_in_deck(self, number: int, place: int) -> str:
        """Put an answer of the deck at another place, 1 for the first; in words.

        Raises:
            UseError: if there is none of that number, or no such place.
        """
        from ledger.store.deck import move_item

        with self._file.changing("offglass deck") as con:
            source, item = move_item(con, self._file, number, place)
        if source is None:
            return f"{item.question} is at place {item.place} already"
        return (
            f"{item.question} is at place {item.place} now; to take it back: offglass undo {source}"
        )

    def export_deck(
        self,
        path: str | PathLike[str],
        *,
        questions: Sequence[str] | None = None,
        cohort: Cohort | None = None,
        focus: str | Sequence[str] | None = None,
        theme: str = "light",
        template: str | PathLike[str] | None = None,
        progress: Progress | None = None,
    ) -> Path:
        """Write slides for a staff: an opening, one message a slide, and what will be asked.

        Args:
            path: the file, ending in .pptx; it appears whole at the end, or not at all.
            questions: which, in this order; else the deck where anything was put into it, else the
                usual ones.
            cohort: which attempts; not with the deck, whose answers have their own.
            focus: techniques studied, likewise.
            theme: light or dark.
            template: a .pptx whose masters, sizes, letters and colours are used.
            progress: is told how far it is, 0..1; what it raises ends the work.

        Raises:
            UseError: for an unknown question or name, a template that cannot be used, or a file
                that cannot be written.
        """
        return self.write_deck(
            path, questions=questions, cohort=cohort, focus=focus, theme=theme, template=template,
            progress=progress,
        ).path  # fmt: skip

    def write_deck(
        self,
        path: str | PathLike[str],
        *,
        questions: Sequence[str] | None = None,
        cohort: Cohort | None = None,
        focus: str | Sequence[str] | None = None,
        theme: str = "light",
        template: str | PathLike[str] | None = None,
        progress: Progress | None = None,
    ) -> Written:
        """As `export_deck`; says how many slides there are, and how many of them hidden."""
        from ledger.charts.deck.slides import Slides
        from ledger.questions.registry import find

        for name in questions or ():
            find(name)
        kept = [] if questions else self.deck()
        if kept and (cohort is not None or focus is not None):
            raise UseError(
                "the answers of the deck have their own attempts and technique: name --questions "
                "to ask them of others (offglass deck --show shows the deck)"
            )
        with Slides(Path(path), theme=theme, template=_path(template)) as slides:
            if kept:
                self._kept(slides, kept, progress)
            else:
                self._told(slides, tuple(questions or ()), cohort or Cohort(), focus, progress)
            return slides.write()

    def export_brief(
        self,
        path: str | PathLike[str],
        *,
        cohort: Cohort | None = None,
        focus: str | Sequence[str] | None = None,
        progress: Progress | None = None,
    ) -> Path:
        """Write the whole story as one page, for people who were not in the room.

        Args:
            path: the file, ending in .html; it appears whole at the end, or not at all.
            cohort: which attempts.
            focus: techniques studied, board-assisted unless given.
            progress: is told how far it is, 0..1; what it raises ends the work.

        Returns:
            The path.

        Raises:
            UseError: for an unknown name, or a file that cannot be written.
        """
        from ledger.charts.brief.making import Brief

        with Brief(Path(path)) as brief:
            told = self._story(brief, (), cohort or Cohort(), focus, progress)
            return brief.write(told, _part(progress, _ASKED, 1.0))

    def _told(
        self,
        slides: Any,
        questions: tuple[str, ...],
        cohort: Cohort,
        focus: str | Sequence[str] | None,
        progress: Progress | None,
    ) -> None:
        """The usual story of one cohort, its pictures drawn while it is asked."""
        from ledger.charts.deck import pages

        told = self._story(slides, questions, cohort, focus, progress)
        foot = (f"{told.cohort}.", told.ledger)
        slides.add(pages.opening(told.rumours, told.question, told.sentences, foot))
        _all(slides, told.answers, _part(progress, _ASKED, 1.0))
        slides.add(pages.asked(told.replies, foot))

    def _story(
        self,
        pictures: Slides | Brief,
        questions: tuple[str, ...],
        cohort: Cohort,
        focus: str | Sequence[str] | None,
        progress: Progress | None,
    ) -> Story:
        """The story of one cohort; what will be shown of it begins to be drawn meanwhile."""
        from ledger.questions.together import asked_together
        from ledger.story.tell import tell
        from ledger.story.usual import order

        beside = _beside(self._file)
        shown = questions or order(beside)
        asked = _asker(self, cohort, focus)

        def ask(question: str, **options: Any) -> Answer:
            answer = asked(question, **options)
            if question in shown:
                pictures.begin(answer)
            return answer

        with asked_together():
            return tell(ask, beside, questions, progress=_part(progress, 0.0, _ASKED))

    def _kept(self, slides: Any, kept: Sequence[DeckItem], progress: Progress | None) -> None:
        """The answers of the deck, each asked again as it was; the rest over what they share."""
        from ledger.charts.deck import pages
        from ledger.story.story import Told
        from ledger.story.taking import stated
        from ledger.story.tell import ledger_words, replies_alone, told_rumours

        answers = []
        say = _part(progress, 0.0, _ASKED)
        for number, item in enumerate(kept, start=1):
            cohort, focus, options = _parts(item.question, item.asked)
            answers.append(self.ask(item.question, cohort=cohort, focus=focus, **options))
            slides.begin(answers[-1])
            say(number / (len(kept) + 1))
        parts = [_parts(item.question, item.asked)[:2] for item in kept]
        shared = parts[0] if all(part == parts[0] for part in parts) else (Cohort(), None)
        beside = _beside(self._file)
        replies = replies_alone(_asker(self, *shared), beside)
        say(1.0)
        sentences = [Told(stated(answer), answer.question) for answer in answers[:5]]
        foot = (ledger_words(answers[0]),)
        question = "What the ledger says"
        slides.add(pages.opening(told_rumours(beside), question, sentences, foot))
        _all(slides, answers, _part(progress, _ASKED, 1.0))
        slides.add(pages.asked(replies, (f"{shared[0].sentence()}.", *foot)))


def _asker(book: Telling, cohort: Cohort, focus: str | Sequence[str] | None) -> Ask:
    """Asks of one cohort, each question once however often it is wanted."""
    from ledger.questions.registry import find

    found: dict[str, Answer] = {}

    def ask(question: str, **given: Any) -> Answer:
        key = json.dumps([question, given], sort_keys=True, default=str)
        if key not in found:
            own = (option.name for option in find(question).options)
            filters, options = split_filters(given, own)
            # Who was asked for by name stays the one who is meant.
            meant = cohort if cohort.player else cohort.with_filters(**filters)
            found[key] = book.ask(question, cohort=meant, focus=focus, **options)
        return found[key]

    return ask


def _beside(file: LedgerFile) -> Beside:
    from ledger.store.listed import shortlists
    from ledger.store.reads import Reads
    from ledger.store.registers import rules
    from ledger.store.trials import trials
    from ledger.story.usual import Beside, Heard

    with file.reading() as con:
        heard = Reads(con).contents().rumours
        return Beside(
            rumours=tuple(
                Heard(r.text, r.season, r.league, r.player, r.seen, r.place) for r in heard
            ),
            lists=tuple(one.name for one in shortlists(con) if one.players),
            trials=tuple(trial.name for trial in trials(con)),
            rules=tuple(rules(con)),
        )


def _all(slides: Any, answers: Sequence[Answer], say: Progress) -> None:
    for number, answer in enumerate(answers, start=1):
        slides.add_answer(answer)
        say(number / len(answers))


def _part(progress: Progress | None, first: float, last: float) -> Progress:
    """Progress over a part of the whole."""

    def say(done: float) -> None:
        if progress is not None:
            progress(first + done * (last - first))

    return say


def _parts(
    question: str, asked: Mapping[str, Any]
) -> tuple[Cohort, list[str] | None, dict[str, Any]]:
    """Cohort, studied techniques and options from what an answer says it was asked."""
    from ledger.questions.registry import find

    rest = dict(asked)
    focus = rest.pop("focus", None)
    own = (option.name for option in find(question).options)
    filters, options = split_filters(rest, own)
    return Cohort.of(**filters), focus, options


def _path(template: str | PathLike[str] | None) -> Path | None:
    return None if template is None else Path(template)
