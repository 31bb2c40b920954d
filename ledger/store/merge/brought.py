"""The tally of a merge beside its records: what was brought, and what was left where it was."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(slots=True)
class Brought:
    """What a merge brought beside attempts and tags.

    Attributes:
        new: what to how many.
        left: what was not taken, a line each.
    """

    new: dict[str, int] = field(default_factory=dict)
    left: list[str] = field(default_factory=list)

    def count(self, what: str, number: int = 1) -> None:
        """Count what was brought."""
        if number:
            self.new[what] = self.new.get(what, 0) + number

    def leave(self, line: str) -> None:
        """Tell of something that was not taken, in one line."""
        self.left.append(" ".join(line.split())[:500])
