"""What a merge came to, for people and for programs."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any

from ledger.store.batch import account_for


@dataclass(frozen=True, slots=True, kw_only=True)
class Merged:
    """What came of a merge; `rows` are its attempts and tags, the sum of the five counts after it.

    Attributes:
        source: its number, `None` where nothing was added.
        file: the other ledger.
        sha256: hash of its bytes.
        attempts_stored: attempts that were new.
        tags_stored: tags that were new.
        fields_filled: blank fields that were filled.
        reasons: why rows were refused, with how many.
        new: names and registers that were added, with how many.
        contradictions: a line each, the first thousand.
        not_taken: what else was left, a line each.
        warnings: what the reader should know.
        duplicate_of: the source that brought the same before.
    """

    source: int | None
    file: str
    sha256: str
    kind: str = "merge"
    rows: int = 0
    stored: int = 0
    rejected: int = 0
    skipped: int = 0
    already_there: int = 0
    contradicting: int = 0
    attempts_stored: int = 0
    tags_stored: int = 0
    fields_filled: int = 0
    reasons: dict[str, int] = field(default_factory=dict)
    new: dict[str, int] = field(default_factory=dict)
    contradictions: tuple[str, ...] = ()
    not_taken: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    duplicate_of: int | None = None

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
    def changed(self) -> bool:
        """Whether anything was added."""
        return bool(self.stored or self.new)

    @property
    def exit_code(self) -> int:
        """0 where all is in the ledger, 1 where rows contradict, were refused or are none."""
        if self.duplicate_of is not None:
            return 0
        return 1 if self.rejected or self.contradicting or not (self.rows or self.new) else 0

    def told(self) -> tuple[str, ...]:
        """What the reader should know beside the line of `words`."""
        return self.warnings if self.duplicate_of is None else ()

    def as_dict(self) -> dict[str, Any]:
        """In plain JSON types."""
        return asdict(self)

    def words(self) -> str:
        """The whole of it in one line."""
        if self.duplicate_of is not None:
            return self.warnings[0]
        counts = f"{self.attempts_stored} attempts and {self.tags_stored} tags added"
        if self.fields_filled:
            counts += f", {self.fields_filled} blank fields filled"
        counts += f"; {self.already_there} of {self.rows} rows were there"
        if self.contradicting:
            one = self.contradicting == 1
            verbs = "contradicts and was" if one else "contradict and were"
            counts += f", {self.contradicting} {verbs} not taken"
        if self.rejected:
            counts += f", {self.rejected} rejected"
        more = ", ".join(f"{n} {what}" for what, n in self.new.items())
        also = f"; new: {more}" if more else ""
        if not self.changed:
            return f"{self.file}: nothing new ({counts})"
        way_back = f"; to take it back: offglass undo {self.source}"
        return f"{self.file} is source {self.source}: {counts}{also}{way_back}"
