"""What a question is asked with, and how its answer is put together."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from ledger.cohort import BOARD_ASSISTED
from ledger.questions.answer import Answer, LedgerFacts, Part
from ledger.questions.wording import count, counted, percent, shot_words, technique_words

if TYPE_CHECKING:
    from ledger.cohort import Cohort
    from ledger.questions.registry import Question
    from ledger.store.reads import Reads, Scope


_MOST_HELPS = 3
Progress = Callable[[float], None]


def silent(part: float) -> None:
    """Tell nobody how far an answer is."""


@dataclass(frozen=True, slots=True)
class Focus:
    """The technique, or group of them, that is studied.

    Attributes:
        names: as asked for.
        ids: numbers of the techniques meant.
        words: how it stands after "shoots".
    """

    names: tuple[str, ...]
    ids: tuple[int, ...]
    words: str

    @classmethod
    def of(cls, reads: Reads, asked: str | Sequence[str]) -> Focus:
        """The focus meant by names, groups or `board-assisted`; the last one unless given.

        Raises:
            UseError: for a technique the ledger does not know.
        """
        parts = asked.split(",") if isinstance(asked, str) else list(asked)
        names = tuple(" ".join(p.split()) for p in parts if p.strip()) or (BOARD_ASSISTED,)
        meant = reads.names.techniques(names)
        return cls(names, tuple(row["id"] for row in meant), technique_words(_said(names, meant)))


def _said(names: Sequence[str], meant: Sequence[Mapping[str, Any]]) -> list[str]:
    """Names as the ledger has them; a group is said by its techniques, board-assisted by itself."""
    if len(names) == 1 and names[0].casefold().replace(" ", "-") == BOARD_ASSISTED:
        return [BOARD_ASSISTED]
    return [str(row["name"]) for row in meant]


@dataclass(frozen=True)
class Inquiry:
    """One question asked of one ledger.

    Attributes:
        reads: the reads of the ledger.
        question: which question.
        cohort: which attempts.
        focus: the technique that is studied.
        options: every option of the question with its value.
        facts: of the whole ledger.
        progress: is told how far a long answer is, 0..1.
    """

    reads: Reads
    question: Question
    cohort: Cohort
    focus: Focus
    options: Mapping[str, Any]
    facts: LedgerFacts
    progress: Progress = silent

    @classmethod
    def of(
        cls,
        reads: Reads,
        question: Question,
        cohort: Cohort,
        focus: str | Sequence[str],
        options: Mapping[str, Any],
        ledger: str,
        progress: Progress | None = None,
    ) -> Inquiry:
        """An inquiry with its names looked up.

        Raises:
            UseError: for a name the ledger does not know.
        """
        day = reads.trials.last_day()
        facts = LedgerFacts(ledger, **reads.facts(), last_day=day.isoformat() if day else "")
        studied = Focus.of(reads, focus)
        asked = cls(reads, question, cohort, studied, options, facts, progress or silent)
        # A question that makes nothing of a filter refuses an unknown name of it all the same.
        _ = asked.scope
        return asked

    @cached_property
    def scope(self) -> Scope:
        """The cohort in the ledger's own numbers."""
        return self.reads.scope(self.cohort)

    @property
    def practice_only(self) -> bool:
        """Whether nothing but practice is asked for."""
        return self.cohort.stage == ("practice",)

    def games_only(self) -> Inquiry:
        """The same without practice: it enters no rate, class or share of games."""
        if "practice" not in self.cohort.stage:
            return self
        games = tuple(s for s in self.cohort.stage if s != "practice")
        return replace(self, cohort=replace(self.cohort, stage=games))

    def shots(self, number: int | None = None) -> str:
        """What is shot, in plain words."""
        return shot_words(self.cohort.shots, number)

    def answer(
        self,
        headline: str,
        main: Part,
        parts: Mapping[str, Part] | None = None,
        notes: Sequence[str] = (),
        *,
        with_focus: bool = True,
        words: str = "",
    ) -> Answer:
        """The answer, with what was asked and the ledger's facts.

        Args:
            headline: one sentence.
            main: the rows.
            parts: further frames by name.
            notes: what a reader must know.
            with_focus: whether the technique that is studied matters here.
            words: what was asked about, where it is not the cohort.
        """
        asked: dict[str, Any] = self.cohort.asked()
        if with_focus:
            asked["focus"] = list(self.focus.names)
        asked |= {k: v for k, v in self.options.items() if v is not None}
        return Answer(
            question=self.question.name,
            title=self.question.title,
            asked=asked,
            cohort=words or self.cohort_words(),
            headline=headline,
            main=main,
            parts=dict(parts or {}),
            notes=(*notes, *self._changed()),
            ledger=self.facts,
        )

    def cohort_words(self) -> str:
        """The cohort in plain words, names spelled as the ledger has them."""
        names = {
            filter_name: self.reads.names.spelled(filter_name, values)
            for filter_name, values in self.cohort.asked().items()
            if filter_name in ("league", "team", "opponent", "position", "player", "list", "spot")
        }
        return self.cohort.with_filters(**names).sentence()

    def nothing_here(self) -> str:
        """A headline for a cohort without attempts: which filter leaves none."""
        shots = self.shots()
        if self.facts.attempts == 0:
            return "This ledger holds no attempts yet: type offglass import FILE."
        asked = [name for name in self.cohort.asked() if name != "shot"]
        helps = []
        for name in asked:
            there = self.reads.how_many(self.reads.scope(self.cohort.with_filters(**{name: None})))
            if there:
                helps.append(f"without --{name} there {_are(there)}")
        if helps:
            return f"No {shots} here: {', '.join(helps[:_MOST_HELPS])}."
        if not asked:
            return f"This ledger holds no {shots} of games."
        return f"No {shots} here: no single filter is the reason, take out two or more."

    def _changed(self) -> list[str]:
        usual = {option.name: option for option in self.question.options}
        changed = [
            f"{usual[name].flag} {_word(value)} (usually {_word(usual[name].default)})"
            for name, value in self.options.items()
            if value is not None
            and usual[name].default is not None
            and value != usual[name].default
        ]
        return [f"Changed settings: {', '.join(changed)}."] if changed else []


def coverage_note(attempts: int, tagged: int) -> str:
    """How many of the attempts were watched."""
    if attempts == 0:
        return "No attempts, so nothing is watched."
    if tagged == 0:
        return f"None of these {counted(attempts, 'attempt')} is watched."
    part = percent(tagged / attempts, attempts)
    return f"Watched: {count(tagged)} of {counted(attempts, 'attempt')} ({part})."


def practice_note(left_out: int) -> list[str]:
    """That attempts of practice are left out, where there are any."""
    if not left_out:
        return []
    verb = "is" if left_out == 1 else "are"
    return [f"{counted(left_out, 'attempt')} of practice {verb} left out."]


def _are(number: int) -> str:
    return f"{'is' if number == 1 else 'are'} {count(number)}"


def _word(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
