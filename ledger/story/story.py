"""The story: every sentence of it taken from an answer, and what is not known said as such."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ledger.questions.answer import Answer


@dataclass(frozen=True, slots=True)
class Rumour:
    """What raised the question, never its own proof.

    Attributes:
        text: as it was written down.
        about: whom and which season, where and when it was seen, in a sentence.
    """

    text: str
    about: str


@dataclass(frozen=True, slots=True)
class Told:
    """A sentence, and the question whose answer it was taken from."""

    words: str
    question: str


@dataclass(frozen=True, slots=True)
class Reply:
    """What the ledger says to one thing a staff will ask.

    Attributes:
        topic: as a staff asks it.
        said: sentences of answers, the one that matters most first; empty where nothing is known.
        counted: the numbers behind it.
        question: whose answer it is from, or empty.
        to_do: what would settle it, with the command to type; empty where it is settled.
        why: why nothing is known, in the answer's own words, or empty.
    """

    topic: str
    said: tuple[str, ...]
    counted: str
    question: str
    to_do: str
    why: str = ""

    @property
    def known(self) -> bool:
        """Whether the ledger says anything to it."""
        return bool(self.said)

    def short(self) -> str:
        """The reply in a line or two: its first sentence, or that it is not known and what to do.

        >>> Reply("Is it legal?", (), "", "", "ask the referees").short()
        'Not known. Do this: ask the referees.'
        """
        if self.said:
            return self.said[0]
        return f"{self._unknown()} Do this: {self.to_do}."

    def long(self) -> str:
        """All of it, its numbers and what would settle it."""
        parts = [*self.said] if self.said else [self._unknown()]
        parts += [self.counted] if self.counted else []
        parts += [f"Do this: {self.to_do}."] if self.to_do else []
        return " ".join(parts)

    def _unknown(self) -> str:
        return f"Not known: {self.why.rstrip('.')}." if self.why else "Not known."


@dataclass(frozen=True, slots=True)
class Method:
    """How an answer comes about, in words for a coach."""

    question: str
    title: str
    words: str


@dataclass(frozen=True, slots=True, eq=False)
class Story:
    """What a staff is told, in this order.

    Attributes:
        rumours: what raised the question.
        question: what was asked, in a sentence.
        cohort: which attempts, in plain words.
        sentences: the answer in five sentences.
        answers: the answers to be shown, in their order.
        replies: what will be asked, with what the ledger says.
        data: what came in and how much of it was watched.
        cautions: what nobody may forget who reads this.
        watch_next: the games that settle most.
        clips: a cut list by lot, makes and misses in their true mix.
        method: how the answers come about.
        ledger: its name, last source and day.
    """

    rumours: tuple[Rumour, ...]
    question: str
    cohort: str
    sentences: tuple[Told, ...]
    answers: tuple[Answer, ...]
    replies: tuple[Reply, ...]
    data: tuple[Told, ...]
    cautions: tuple[str, ...]
    watch_next: Answer
    clips: Answer
    method: tuple[Method, ...]
    ledger: str
