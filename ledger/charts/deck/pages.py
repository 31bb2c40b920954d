"""Pages: what stands on each slide, before anything is drawn or placed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ledger.charts import caption
from ledger.charts.deck.figures import Figures, figures_of
from ledger.charts.deck.grid import Grid, grid_of
from ledger.charts.specification import alt_text
from ledger.questions.explain import for_coach
from ledger.safe_text import safe

if TYPE_CHECKING:
    from ledger.charts.export import Drawing
    from ledger.questions.answer import Answer
    from ledger.story.story import Reply, Rumour, Told

EDITABLE = "The same figures to edit"
ASKED = "What you will be asked"
_LED_BY = ("Watched", "None of these", "No attempts")


@dataclass(frozen=True, slots=True)
class Lines:
    """Lines of text, each with a quieter lead such as a number, or none."""

    lines: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Page:
    """One slide.

    Attributes:
        title: its message.
        body: a picture, figures to edit, a table, or lines.
        caption: sentences at the foot, the most needed first.
        notes: what the speaker reads: method, numbers, what to keep in mind.
        alt: the body in words, for those who cannot see it.
        hidden: there to be edited, passed over in a show.
    """

    title: str
    body: Drawing | Figures | Grid | Lines
    caption: tuple[str, ...]
    notes: str
    alt: str
    hidden: bool = False


def of_answer(answer: Answer, drawn: Drawing | None) -> list[Page]:
    """The pages of one answer: its picture with the same figures to edit, or its rows, or why none.

    Args:
        answer: complete.
        drawn: its picture, where it has one.
    """
    notes = speaker_notes(answer)
    if not answer.frame.height:
        lines = Lines(tuple(("–", safe(note)) for note in answer.notes))
        return [Page(safe(answer.headline), lines, _foot(answer, ()), notes, alt_text(answer))]
    if drawn is None or drawn.blank:
        grid = grid_of(answer)
        return [Page(safe(answer.headline), grid, _foot(answer, ()), notes, alt_text(answer))]
    notes = speaker_notes(answer, drawn.caption)
    shown = Page(
        safe(answer.headline), drawn, _foot(answer, drawn.caption), notes, alt_text(answer)
    )
    figures = figures_of(answer)
    if figures is None:
        return [shown]
    said = (f"{EDITABLE}: {figures.reading}", *_foot(answer, ()))
    return [
        shown,
        Page(safe(answer.headline), figures, said, notes, alt_text(answer), hidden=True),
    ]


def opening(
    rumours: Sequence[Rumour], question: str, sentences: Iterable[Told], foot: Sequence[str]
) -> Page:
    """The first slide: the rumour, what was asked, and the answer in a few sentences.

    Args:
        rumours: what raised the question.
        question: what was asked, the title where there is no rumour.
        sentences: the answer.
        foot: cohort and ledger.
    """
    title = f"“{safe(rumours[0].text)}”" if rumours else safe(question)
    lead = [("", safe(question))] if rumours else []
    told = [(f"{i}.", safe(one.words)) for i, one in enumerate(sentences, start=1)]
    about = [safe(rumour.about) for rumour in rumours[:1]]
    notes = [f"{safe(rumour.text)} {safe(rumour.about)}" for rumour in rumours]
    return Page(
        title,
        Lines((*lead, *told)),
        (*about, *map(safe, foot)),
        "\n\n".join(["What raised the question:", *notes] if notes else ["No rumour was stored."]),
        "The answer in a few sentences.",
    )


def asked(replies: Sequence[Reply], foot: Sequence[str]) -> Page:
    """The last slide: what a staff will ask, with what the ledger says."""
    rows = tuple((safe(reply.topic), safe(reply.short())) for reply in replies)
    grid = Grid(("", ""), rows, (False, False), (True, False), of=len(rows), whole=True)
    notes = "\n\n".join(f"{safe(r.topic)} {safe(r.long())}" for r in replies)
    return Page(ASKED, grid, tuple(map(safe, foot)), notes, "Questions and what the ledger says.")


def speaker_notes(answer: Answer, said: Iterable[str] = ()) -> str:
    """What the speaker reads: the question, the answer, its numbers, its method, its caveats.

    Args:
        answer: complete.
        said: what its picture says of itself.
    """
    reading = [s for s in said if s not in {safe(note) for note in answer.notes}]
    parts = [
        safe(answer.title),
        safe(answer.headline),
        f"Attempts: {safe(answer.cohort)}.",
        f"{caption.source(answer)} {_rows(answer)}",
        *([f"The picture: {' '.join(reading)}"] if reading else []),
        f"How it comes about: {' '.join(for_coach(answer.question).split())}",
    ]
    if answer.notes:
        parts.append("To keep in mind:\n" + "\n".join(f"– {safe(note)}" for note in answer.notes))
    return "\n\n".join(parts)


def _rows(answer: Answer) -> str:
    watched = [safe(note) for note in answer.notes if note.startswith(_LED_BY)]
    return " ".join([f"Rows: {answer.frame.height:,}.", *watched])


def _foot(answer: Answer, said: Iterable[str]) -> tuple[str, ...]:
    """The caption: the cohort, n and coverage, the ledger and its day, how to read the picture.

    Other notes stand in the speaker's notes, whole.
    """
    notes = {safe(note) for note in answer.notes}
    own = [s for s in said if s not in notes or s.startswith(_LED_BY)]
    watched = [safe(note) for note in answer.notes if note.startswith(_LED_BY)]
    studied = caption.studied(answer)
    lines = [f"{safe(answer.cohort)}.", *watched, studied, caption.source(answer), *own]
    return tuple(dict.fromkeys(line for line in lines if line))
