"""What the user said about a file, beside the file."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ledger.errors import UseError
from ledger.intake import findings
from ledger.intake.mapping import known_field
from ledger.intake.words import NOT_RECORDED, UNCLEAR, Words, normal_word

if TYPE_CHECKING:
    from ledger.intake.profile.format import Profile


BY_CLOCK = "by-clock"
MOST_TRIP_SECONDS = 30


@dataclass(frozen=True, slots=True)
class ReadOptions:
    """The options of `offglass import` that change how a file is read.

    Attributes:
        map: (column as written or its number, field).
        set_values: (field, value) for fields the file does not have.
        words: (field, text, value) for words of coded fields.
        encoding: name of the file's encoding, where it is not UTF-8.
        dates: `dmy`, `mdy`, `ymd` or a strptime format.
        drawn: the tagged players were chosen by lot.
        tagger: who watched, where the rows do not say.
        sheet: name of a workbook's sheet; the first one where it is `None`.
        path: where the records of a JSON document are.
        profile: how the file maps to fields.
        trip_seconds: trips are grouped by the clock, attempts of one at most so many seconds apart;
            `None`: as they are written.
    """

    map: tuple[tuple[str, str], ...] = ()
    set_values: tuple[tuple[str, str], ...] = ()
    words: tuple[tuple[str, str, str], ...] = ()
    encoding: str | None = None
    dates: str | None = None
    drawn: bool = False
    tagger: str | None = None
    sheet: str | None = None
    path: str | None = None
    profile: Profile | None = None
    trip_seconds: float | None = None

    def kind(self, said: str | None) -> str:
        """What a record is: as said, else by the profile, else an attempt."""
        if said is not None:
            return said
        return self.profile.kind if self.profile is not None else "attempts"

    @property
    def highest_column(self) -> int:
        """The highest column number of `map` where all its columns are numbers, else 0."""
        columns = [column for column, _ in self.map]
        if not columns or not all(column.isdecimal() for column in columns):
            return 0
        return max(map(int, columns))


def typed(
    maps: Iterable[str] = (),
    sets: Iterable[str] = (),
    words: Iterable[str] = (),
    *,
    encoding: str | None = None,
    dates: str | None = None,
    drawn: bool = False,
    tagger: str | None = None,
    sheet: str | None = None,
    path: str | None = None,
    profile: Profile | None = None,
    trips: str | None = None,
    trip_seconds: float | None = None,
) -> ReadOptions:
    """The options from what was typed: `COLUMN=FIELD`, `FIELD=VALUE`, `FIELD:TEXT=VALUE`.

    Raises:
        UseError: if one of them has another form.
    """
    return ReadOptions(
        tuple(_map(text) for text in maps),
        tuple(_set(text) for text in sets),
        tuple(_word(text) for text in words),
        encoding,
        dates,
        drawn,
        tagger,
        sheet,
        path,
        profile,
        _trip_seconds(trips, trip_seconds),
    )


def _trip_seconds(trips: str | None, seconds: float | None) -> float | None:
    if trips != BY_CLOCK:
        if seconds is not None:
            raise UseError(f"--trip-seconds goes with --trips {BY_CLOCK}")
        return None
    apart = 0.0 if seconds is None else seconds
    if not 0 <= apart <= MOST_TRIP_SECONDS:
        raise UseError(f"--trip-seconds {apart:g}: it lies between 0 and {MOST_TRIP_SECONDS}")
    return apart


def _map(text: str) -> tuple[str, str]:
    column, equals, field = text.rpartition("=")
    if not equals or not column.strip() or not field.strip():
        raise UseError(f"--map {findings.show(text)}: write it as COLUMN=FIELD")
    return column.strip(), field.strip()


def _set(text: str) -> tuple[str, str]:
    field, equals, value = text.partition("=")
    if not equals or not field.strip() or not value.strip():
        raise UseError(f"--set {findings.show(text)}: write it as FIELD=VALUE")
    return field.strip(), value


def _word(text: str) -> tuple[str, str, str]:
    head, equals, value = text.rpartition("=")
    field, colon, word = head.partition(":")
    if not equals or not colon or not all(part.strip() for part in (field, word, value)):
        raise UseError(f"--word {findings.show(text)}: write it as FIELD:TEXT=VALUE")
    return field.strip(), word.strip(), value.strip()


def allowed_values(field: Mapping[str, Any], words: Words) -> tuple[str, ...]:
    """What a word of a coded field may stand for."""
    if field["name"] == "technique":
        return (*words.techniques, UNCLEAR, NOT_RECORDED)
    if field["type"] == "boolean":
        return ("yes", "no")
    return tuple(field["constraints"]["enum"])


def with_typed_words(words: Words, schema: Mapping[str, Any], options: ReadOptions) -> Words:
    """The word table with what `--word` says.

    Raises:
        UseError: if a field is no coded field, or a value is none of its values.
    """
    coded = {field["name"]: field for field in schema["fields"] if field.get("coded")}
    said: list[tuple[str, str, str]] = []
    for name, text, value in options.words:
        known_field(name, schema, "--word")
        if name not in coded:
            raise UseError(
                f"--word {name}: {name} takes no words; fields that do: {', '.join(coded)}"
            )
        allowed = allowed_values(coded[name], words)
        by_form = {normal_word(known): known for known in allowed}
        meant = by_form.get(normal_word(value)) or words.look(name, value)
        if meant is None:
            near = difflib.get_close_matches(value, allowed, 1)
            hint = f"did you mean {near[0]}?" if near else f"it may be {', '.join(allowed)}"
            raise UseError(f"--word {name}: no value {findings.show(value)}; {hint}")
        said.append((name, text, meant))
    return words.with_words(said)
