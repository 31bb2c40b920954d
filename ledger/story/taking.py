"""Taking words out of answers: notes by how they begin, sentences by what they say."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ledger.questions.answer import Answer

# A full stop, then a blank and a capital or a figure: not the one in "jun." or "0.96".
_END = re.compile(r"(?<=[a-z)%0-9]\.) (?=[A-Z0-9])")

_TYPED = re.compile(r"type ", re.IGNORECASE)
_UNTYPED = re.compile(r"[:;,]? (?:and )?type (?:-|offglass ).*$", re.DOTALL)


def sentences(text: str) -> list[str]:
    """The sentences of a text.

    >>> sentences("About 3 more (−9 to 13). A loss is not ruled out.")
    ['About 3 more (−9 to 13).', 'A loss is not ruled out.']
    """
    return _END.split(text)


def saying(answer: Answer, *words: str) -> list[str]:
    """The sentences of the headline and the notes that hold one of the words."""
    every = [s for text in (answer.headline, *answer.notes) for s in sentences(text)]
    return [s for s in every if any(word in s for word in words)]


def notes(answer: Answer, *starts: str) -> list[str]:
    """The notes that begin so, in their order."""
    return [note for note in answer.notes if note.startswith(starts)]


def stated(answer: Answer) -> str:
    """The headline without what it tells to type, be that a sentence or the end of one."""
    kept = [_UNTYPED.sub(".", s) for s in sentences(answer.headline) if not _TYPED.match(s)]
    return " ".join(kept) or answer.headline


def watched(answer: Answer) -> str:
    """How many of its attempts were watched, in the answer's own words."""
    return next(iter(notes(answer, "Watched", "None of these", "No attempts")), "")


def filled(parts: Iterable[str]) -> tuple[str, ...]:
    """The parts that say something, each once."""
    return tuple(dict.fromkeys(part for part in parts if part))
