"""What a profile makes of a file, for a person to look at before anything is stored."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from ledger import resources
from ledger.intake import findings
from ledger.intake.options import ReadOptions
from ledger.intake.profile import Profile
from ledger.intake.profile.patterns import group_names
from ledger.intake.read import Reading, read_snapshot
from ledger.intake.snapshot import Snapshot
from ledger.intake.words import Words, build

# Holds the place of a field that a question leaves open, and is never shown.
_STAND_INS = {"season": "1999-00", "date": "1999-12-31", "made": "yes", "attempts": "1"}
_INNER = ("refused_by", "guarded", "beyond_header")
_MOST_WORDS = 20


@dataclass(frozen=True, slots=True)
class Preview:
    """A profile laid over a file, nothing stored.

    Attributes:
        file: the file's name.
        profile: the profile's name.
        kind: what a record is.
        rows: rows of the file.
        records: records they give.
        first: the first records as they would be stored, field to value.
        skipped: reason to rows and an example.
        rejected: reason to rows and an example.
        words: coded field to text as written, rows and value (`None` where it is unknown).
        open_fields: fields left out because a question is open.
        questions: the profile's open questions.
        warnings: what the report of an import would say.
    """

    file: str
    profile: str
    kind: str
    rows: int
    records: int
    first: tuple[Mapping[str, Any], ...]
    skipped: Mapping[str, tuple[int, str]]
    rejected: Mapping[str, tuple[int, str]]
    words: Mapping[str, tuple[tuple[str, int, str | None], ...]]
    open_fields: tuple[str, ...]
    questions: tuple[str, ...]
    warnings: tuple[str, ...]

    @property
    def exit_code(self) -> int:
        """0 where every row is understood, else 1: refused rows, no records, open questions."""
        return 1 if self.rejected or not self.records or self.questions else 0

    def as_dict(self) -> dict[str, Any]:
        """The preview in plain JSON types."""
        counted = {
            name: {reason: {"rows": n, "example": text} for reason, (n, text) in found.items()}
            for name, found in (("skipped", self.skipped), ("rejected", self.rejected))
        }
        words = {
            name: [{"text": t, "rows": n, "value": v} for t, n, v in found]
            for name, found in self.words.items()
        }
        return {
            "file": self.file, "profile": self.profile, "kind": self.kind, "rows": self.rows,
            "records": self.records, "first": [dict(row) for row in self.first], **counted,
            "words": words, "open_fields": list(self.open_fields),
            "questions": list(self.questions), "warnings": list(self.warnings),
        }  # fmt: skip


def preview(
    profile: Profile, taken: Snapshot, beside: Any, *, words: Words | None = None, limit: int = 10
) -> Preview:
    """Lay a profile over a file and look.

    Args:
        profile: the profile, open questions or not.
        taken: the file.
        beside: gives a second file by its name.
        words: the ledger's words; the starter words if not given.
        limit: how many records to show.

    Raises:
        RefusedInput: if the file is refused whole.
        UseError: if the profile cannot be used.
    """
    standing = _stand_ins(profile) if profile.ask else {}
    options = ReadOptions(profile=replace(profile, ask=()), set_values=tuple(standing.items()))
    known = words or build()
    reading = read_snapshot(taken, None, options, known, beside=beside)
    ordered = ["line", *(f["name"] for f in resources.schema(reading.kind)["fields"])]
    hidden = (*standing, *_INNER)
    frame = reading.frame.select(
        n for n in ordered if n in reading.frame.columns and n not in hidden
    )
    first = tuple(
        {name: _plain(value) for name, value in row.items()}
        for row in frame.head(limit).iter_rows(named=True)
    )
    return Preview(
        file=taken.name,
        profile=profile.name,
        kind=reading.kind,
        rows=reading.rows,
        records=frame.height,
        first=first,
        skipped=_skipped(reading),
        rejected=_rejected(reading),
        words=_words(reading, known, profile, frozenset(standing)),
        open_fields=tuple(standing),
        questions=profile.ask,
        warnings=reading.warnings,
    )


def _stand_ins(profile: Profile) -> dict[str, str]:
    """Values for required fields that the open profile does not fill yet."""
    filled = {*profile.fields, *profile.constants, *profile.blanks}
    patterns = [t.pattern for t in profile.texts]
    patterns += [profile.file_name] if profile.file_name else []
    filled |= {name for pattern in patterns for name in group_names(pattern)}
    if profile.pair is not None:
        filled |= {"made", "attempts"}
    schema = resources.schema(profile.kind)
    needed = [f for f in schema["fields"] if f.get("constraints", {}).get("required")]
    return {
        f["name"]: "1" if f["type"] == "integer" else _STAND_INS.get(f["name"], "?")
        for f in needed
        if f["name"] not in filled
    }


def _plain(value: Any) -> Any:
    return value if value is None or isinstance(value, bool | int | float | str) else str(value)


def _skipped(reading: Reading) -> dict[str, tuple[int, str]]:
    examples: dict[str, str] = {}
    for line, reason, text in reading.skipped.select("line", "reason", "text").iter_rows():
        examples.setdefault(reason, f"line {line}: {findings.show(text or '')}")
    return {r: (n, examples[r]) for r, n in reading.skipped_reasons.items()}


def _rejected(reading: Reading) -> dict[str, tuple[int, str]]:
    examples: dict[str, str] = {}
    told = reading.rejects.select("line", "column", "value", "reason", "fix")
    for line, column, value, reason, fix in told.iter_rows():
        where = f" {column}" if column else ""
        examples.setdefault(reason, f"line {line}{where}: {findings.show(value or '')}: {fix}")
    return {r: (n, examples[r]) for r, n in reading.reasons.items()}


def _words(
    reading: Reading, known: Words, profile: Profile, standing: frozenset[str]
) -> dict[str, tuple[tuple[str, int, str | None], ...]]:
    cells = reading.cells
    if cells is None:
        return {}
    said = [(f, t, v) for f, pairs in profile.words.items() for t, v in pairs.items()]
    table = known.with_words(said)
    found: dict[str, tuple[tuple[str, int, str | None], ...]] = {}
    for field in resources.schema(reading.kind)["fields"]:
        name = field["name"]
        if not field.get("coded") or name not in cells.columns or name in standing:
            continue
        counted = cells[name].str.strip_chars().value_counts(sort=True)
        found[name] = tuple(
            (findings.show(text), int(rows), table.look(name, text))
            for text, rows in counted.head(_MOST_WORDS).iter_rows()
            if text
        )
    return found
