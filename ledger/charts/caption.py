"""The words of a picture that are its own: what was counted, from which ledger, how to read it."""

from __future__ import annotations

from typing import Any

from ledger.questions import wording
from ledger.questions.answer import Answer
from ledger.safe_text import safe

Row = dict[str, Any]

# Whole percent, where the number behind a share sets no digits.
WHOLE = 50
# Below so many attempts a share is said as its two counts.
FEW = 10


def figure(
    made: int | None,
    of: int | None,
    share: float | None,
    low: float | None,
    high: float | None,
) -> str:
    """A share with its interval; below ten attempts only the two counts.

    Args:
        made: makes, or attempts with the technique, or None where a share is no such count.
        of: the attempts behind it, or None for whole percent.
        share: 0 to 1, or None.
        low: the interval's lower end, or None.
        high: its upper end, or None.

    Returns:
        `84.9 % (79.2 to 89.6)`, `4 of 5`, or a dash where nothing is known.
    """
    if made is not None and of is not None and (of < FEW or share is None):
        return f"{wording.count(made)} of {wording.count(of)}"
    if share is None:
        return "–"
    if low is None or high is None:
        return wording.percent(share, of or WHOLE)
    return wording.rate_with_interval(share, low, high, of or WHOLE)


def counted(answer: Answer, noun: str) -> str:
    """How many rows and attempts the whole answer stands on, drawn or not, and how many watched.

    The part about watching is left out where the rows do not carry it, or a note says it.
    """
    frame = answer.frame
    attempts = int(frame["attempts"].sum()) if "attempts" in frame.columns else 0
    said = f"{wording.counted(frame.height, noun)}, {wording.counted(attempts, 'attempt')}"
    told = any(note.startswith("Watched: ") for note in answer.notes)
    if attempts and not told and "tagged" in frame.columns and frame["tagged"].count():
        tagged = int(frame["tagged"].sum())
        share = wording.percent(tagged / attempts, attempts)
        said += f", {wording.count(tagged)} of them watched ({share})"
    return said + "."


def source(answer: Answer) -> str:
    """The ledger the picture was drawn from, and its day."""
    day = f" of {answer.ledger.last_day}" if answer.ledger.last_day else ""
    return f"Ledger {safe(answer.ledger.name)}, up to source {answer.ledger.last_source}{day}."


def told(answer: Answer, *reading: str, studied_too: bool = True) -> list[str]:
    """The sentences of a caption in the order in which they are needed.

    How to read the picture, how many attempts were watched, what was studied, which ledger, and
    then the notes that are left.
    """
    watched = [note for note in answer.notes if note.startswith("Watched")]
    rest = [note for note in answer.notes if note not in watched]
    meant = studied(answer) if studied_too else ""
    return sentences(*reading, *watched, meant, source(answer), *rest)


def first_of(shown: int, rows: int, nouns: str) -> str:
    """That a picture holds only the first rows, or nothing where it holds all."""
    return f"First {shown} of {wording.count(rows)} {nouns}." if shown < rows else ""


def studied(answer: Answer) -> str:
    """The technique that was studied, or nothing where the answer does not say."""
    asked = answer.asked.get("focus")
    if not asked:
        return ""
    names = [asked] if isinstance(asked, str) else [str(name) for name in asked]
    return f"Studied: {wording.technique_words(names)}."


def sentences(*parts: str) -> list[str]:
    """The parts that say something."""
    return [part for part in parts if part]
