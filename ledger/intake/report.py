"""What an import came to: every row accounted for, as words and as JSON."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Self

from ledger import safe_text
from ledger.store.batch import account_for

if TYPE_CHECKING:
    from ledger.intake.read import Reading
    from ledger.store.batch import Committed


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """One file's way in. `rows` is always the sum of the five counts that follow it.

    Attributes:
        source: the number to take it back by; `None` where nothing was stored (a check, or a file
            that is in the ledger already).
        file: its name, safe to show.
        sha256: hash of its bytes.
        kind: what a row is.
        rows: rows of the file.
        stored: rows that added an attempt, a tag or a fact, or filled a blank field.
        rejected: rows refused; `reasons` says why.
        skipped: rows that hold no record.
        already_there: rows that added nothing.
        contradicting: rows that differ in a filled field; nothing of them is taken.
        attempts_stored: attempts that were added (a box row gives several).
        tags_stored: tags that were added.
        fields_filled: blank fields of attempts and tags that were filled.
        reasons: reason code to number of refused rows.
        skipped_reasons: reason code to number of rows that the file itself shows to hold no record.
        new: how many leagues, seasons, teams, players and games were new.
        mapping: column as written to field.
        warnings: what a reader should know.
        contradicting_lines: lines of the contradicting rows.
        rejects_file: where the refused rows were written.
        duplicate_of: the source that brought the same file before.
        check: nothing was to be stored.
        shots: kind of shot to number of attempts that were added, where the file tells kinds.
    """

    source: int | None
    file: str
    sha256: str
    kind: str
    rows: int
    stored: int
    rejected: int
    skipped: int
    already_there: int
    contradicting: int
    attempts_stored: int = 0
    tags_stored: int = 0
    fields_filled: int = 0
    reasons: Mapping[str, int] = field(default_factory=dict)
    skipped_reasons: Mapping[str, int] = field(default_factory=dict)
    new: Mapping[str, int] = field(default_factory=dict)
    mapping: Mapping[str, str] = field(default_factory=dict)
    warnings: tuple[str, ...] = ()
    contradicting_lines: tuple[int, ...] = ()
    rejects_file: str | None = None
    duplicate_of: int | None = None
    check: bool = False
    shots: Mapping[str, int] = field(default_factory=dict)

    @classmethod
    def of(cls, reading: Reading, done: Committed, *, file: str = "", check: bool = False) -> Self:
        """The report of a reading that was committed.

        Args:
            reading: what was read.
            done: what the store made of it.
            file: its name, where that is not the reading's.
            check: nothing of it was kept.
        """
        return cls(
            source=None if check else done.source_id,
            file=file or reading.name,
            sha256=reading.sha256,
            kind=reading.kind,
            rows=done.rows,
            stored=done.stored,
            rejected=done.rejected,
            skipped=done.skipped,
            already_there=done.already_there,
            contradicting=done.contradicting,
            attempts_stored=done.attempts_stored,
            tags_stored=done.tags_stored,
            fields_filled=done.fields_filled,
            reasons=done.reasons,
            skipped_reasons=reading.skipped_reasons,
            new=done.new,
            mapping=reading.mapping,
            warnings=done.warnings,
            contradicting_lines=done.contradictions,
            check=check,
        )

    def __post_init__(self) -> None:
        account_for(
            self.rows,
            self.stored,
            self.rejected,
            self.skipped,
            self.already_there,
            self.contradicting,
        )

    @property
    def exit_code(self) -> int:
        """0 where every row is in the ledger, 1 where rows were refused, contradict or are none."""
        if self.duplicate_of is not None:
            return 1 if self.rejected else 0
        return 1 if self.rejected or self.contradicting or not self.rows else 0

    def as_dict(self) -> dict[str, Any]:
        """The report in plain JSON types."""
        return {
            "source": self.source,
            "file": self.file,
            "sha256": self.sha256,
            "kind": self.kind,
            "rows": self.rows,
            "stored": self.stored,
            "rejected": self.rejected,
            "skipped": self.skipped,
            "already_there": self.already_there,
            "contradicting": self.contradicting,
            "attempts_stored": self.attempts_stored,
            "tags_stored": self.tags_stored,
            "fields_filled": self.fields_filled,
            "reasons": dict(self.reasons),
            "skipped_reasons": dict(self.skipped_reasons),
            "new": dict(self.new),
            "mapping": dict(self.mapping),
            "warnings": list(self.warnings),
            "contradicting_lines": list(self.contradicting_lines),
            "rejects_file": self.rejects_file,
            "duplicate_of": self.duplicate_of,
            "check": self.check,
            "shots": dict(self.shots),
        }

    def words(self) -> str:
        """The report for a person: one line, then a line a warning."""
        if self.duplicate_of is not None:
            return "\n".join(safe_text.safe(line) for line in self.warnings)
        lines = [self._line(), *(f"note: {warning}" for warning in self.warnings)]
        return "\n".join(safe_text.safe(line) for line in lines)

    def stored_words(self) -> str:
        """What its stored rows gave: attempts, with their kinds, tags, blank fields."""
        kinds = kinds_told(self.shots)
        given = (
            (self.attempts_stored, "attempts", f": {kinds}" if kinds else ""),
            (self.tags_stored, "tags", ""),
            (self.fields_filled, "blank fields", " filled"),
        )
        between = "; " if kinds else ", "
        return between.join(f"{n:,} {_one(what, n)}{more}" for n, what, more in given if n)

    def _line(self) -> str:
        would = "would be " if self.check else ""
        line = f"{self.file}: {self.stored:,} of {self.rows:,} "
        line += f"{_one('rows', self.rows)} {would}stored"
        what = self.stored_words()
        line += f" ({what})" if what else ""
        reasons = ", ".join(f"{code} {number:,}" for code, number in self.reasons.items())
        rest = (
            (self.rejected, f"rejected ({reasons})"),
            (self.skipped, "skipped"),
            (self.already_there, "already there"),
            (self.contradicting, "contradicting, left out"),
        )
        line += "".join(f", {number:,} {name}" for number, name in rest if number)
        if self.new:
            line += "; new: " + ", ".join(f"{n:,} {_one(what, n)}" for what, n in self.new.items())
        if self.rejects_file:
            line += f"; the rejected rows are in {self.rejects_file}"
        elif self.rejected and self.file == "typed in":
            # Rows that were piped in have no file to be mended, and `add` has no --rejects.
            line += "" if self.check else f"; offglass sources {self.source} says why"
        elif self.rejected:
            line += "; --rejects FILE writes the rejected rows, to be mended"
        if self.check:
            return line + "; nothing was stored"
        return line + f"; to take it back: offglass undo {self.source}"


def _one(what: str, number: int) -> str:
    return what.removesuffix("s") if number == 1 else what


def kinds_told(shots: Mapping[str, int]) -> str:
    """The kinds of shots among attempts, in words; empty where all are free throws.

    >>> kinds_told({"two": 2, "free_throw": 1}), kinds_told({"free_throw": 44})
    ('2 two-pointers, 1 free throw', '')
    """
    if not set(shots) - {"free_throw"}:
        return ""
    names = {"free_throw": "free throws", "two": "two-pointers", "three": "three-pointers"}
    return ", ".join(
        f"{number:,} {_one(names.get(shot, shot), number)}" for shot, number in shots.items()
    )
