"""What a league's file is, and what must come of it: both written by hand."""

from __future__ import annotations

import csv
import gzip
import io
from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """One file and what a ledger must hold after it.

    Attributes:
        file: the file's name.
        data: its bytes.
        records: what must be stored, as CSV text with a header; `line` is the file's own.
        stored: how many rows are stored.
        rejected: reason to number of rows.
        skipped: reason to number of rows.
        people: player, team, number and file_id, where a file has them.
        beside: other files that lie beside it, by their name.
        says: words that a warning of the report must hold.
    """

    file: str
    data: bytes
    records: str
    stored: int
    rejected: Mapping[str, int] = field(default_factory=dict)
    skipped: Mapping[str, int] = field(default_factory=dict)
    people: str = ""
    beside: Mapping[str, bytes] = field(default_factory=dict)
    says: tuple[str, ...] = ()

    @property
    def rows(self) -> int:
        """How many rows the file has."""
        return self.stored + sum(self.rejected.values()) + sum(self.skipped.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class League:
    """A league whose files have one shape.

    Attributes:
        name: what the shape is, in few words.
        kind: what a record is.
        profile: the profile as a person would write it.
        everywhere: fields that are the same in every record of both weeks.
        first: the week the profile was made for.
        second: the next week, with the same profile.
        changed: a later file whose shape changed, which must be refused.
        names: what the refusal must name.
    """

    name: str
    kind: str
    profile: str
    everywhere: Mapping[str, str]
    first: Week
    second: Week
    changed: bytes
    names: tuple[str, ...]


def text(lines: str, encoding: str = "utf-8", newline: str = "\n") -> bytes:
    """The bytes of a file written below a first empty line."""
    return lines.removeprefix("\n").replace("\n", newline).encode(encoding)


def packed(data: bytes) -> bytes:
    """The same as gzip."""
    return gzip.compress(data, mtime=0)


def table(lines: str) -> list[dict[str, str]]:
    """CSV text below a first empty line as rows."""
    return list(csv.DictReader(io.StringIO(lines.removeprefix("\n")), strict=True))
