"""A mapping profile as it is held in memory, and what its keys come to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from ledger.intake.forms import FixedColumn, Form

# A column by its name as written, `name#2`, or its place (1 is the first).
Ref = str | int


@dataclass(frozen=True, slots=True)
class Condition:
    """What a column must hold: one of `values`, or text that `pattern` finds."""

    column: Ref
    values: tuple[str, ...] = ()
    pattern: str | None = None


@dataclass(frozen=True, slots=True)
class Value:
    """A value that is the same for every record of a side."""

    text: str


@dataclass(frozen=True, slots=True)
class Lookup:
    """Columns of a second file: `take` is new column to column there."""

    file: str
    form: Form
    column: Ref
    key: Ref
    take: Mapping[str, Ref]


@dataclass(frozen=True, slots=True)
class Source:
    """The columns a field is made of, and what stands between them."""

    columns: tuple[Ref, ...]
    between: str = " "


@dataclass(frozen=True, slots=True)
class Text:
    """A pattern whose named groups are fields; `must`: a row without a match is rejected."""

    column: Ref
    pattern: str
    must: bool = False


@dataclass(frozen=True, slots=True)
class Pair:
    """Makes and attempts in one cell."""

    column: Ref
    pattern: str | None = None
    first: str = "made"


@dataclass(frozen=True, slots=True)
class Written:
    """How names are written: order of the parts, place of a shirt number."""

    order: str = "as written"
    number: str = "none"


@dataclass(frozen=True, slots=True)
class Clock:
    """How the clock of a period is written; minutes."""

    counts: str = "down"
    period_minutes: float | None = None
    overtime_minutes: float | None = None
    periods: int = 4


@dataclass(frozen=True, slots=True)
class Profile:
    """How the files of one league map to fields.

    `body` is its TOML text, `digest` its sha256, `ask` the questions of a draft still open.
    """

    name: str
    kind: str
    body: str
    digest: str
    note: str
    ask: tuple[str, ...]
    dates: str | None
    order: str
    trips: str
    trip_seconds: float
    form: Form
    needed: tuple[Ref, ...]
    keep: tuple[Condition, ...]
    drop: tuple[Condition, ...]
    sides: tuple[Mapping[str, Ref | Value], ...]
    constants: Mapping[str, str]
    file_name: str | None
    lookups: tuple[Lookup, ...]
    fields: Mapping[str, Source]
    pair: Pair | None
    texts: tuple[Text, ...]
    names: Mapping[str, Written]
    clock: Clock | None
    blanks: Mapping[str, str]
    words: Mapping[str, Mapping[str, str]]

    def references(self) -> Iterator[tuple[str, Ref]]:
        """Every column the profile names, with the key that names it."""
        yield from (("fits.columns", ref) for ref in self.needed)
        for which, conditions in (("keep", self.keep), ("drop", self.drop)):
            yield from ((f"rows.{which}", condition.column) for condition in conditions)
        for at, side in enumerate(self.sides, 1):
            for key, ref in side.items():
                if not isinstance(ref, Value):
                    yield f"sides[{at}].{key}", ref
        yield from self.later_references()

    def later_references(self) -> Iterator[tuple[str, Ref]]:
        """Those that may also name a column which an earlier step added."""
        for at, lookup in enumerate(self.lookups, 1):
            yield f"lookups[{at}].column", lookup.column
        for name, source in self.fields.items():
            yield from ((f"fields.{name}", ref) for ref in source.columns)
        if self.pair is not None:
            yield "pair.column", self.pair.column
        for at, text in enumerate(self.texts, 1):
            yield f"texts[{at}].column", text.column


def profile_of(data: Mapping[str, Any], body: str, digest: str) -> Profile:
    """The profile that checked TOML says."""
    clock, pair, rows = data.get("clock"), data.get("pair"), data.get("rows", {})
    return Profile(
        name=data["name"].strip(),
        kind=data["as"],
        body=body,
        digest=digest,
        note=data.get("note", ""),
        ask=tuple(data.get("ask", ())),
        dates=data.get("dates"),
        order=data.get("order", "none"),
        trips=data.get("trips", "written"),
        trip_seconds=float(data.get("trip_seconds", 0)),
        form=form_of(data.get("form", {})),
        needed=tuple(data.get("fits", {}).get("columns", ())),
        keep=tuple(map(_condition, rows.get("keep", ()))),
        drop=tuple(map(_condition, rows.get("drop", ()))),
        sides=tuple(map(_side, data.get("sides", ()))),
        constants=dict(data.get("constants", {})),
        file_name=data.get("file_name", {}).get("pattern"),
        lookups=tuple(map(_lookup, data.get("lookups", ()))),
        fields={name: _source(said) for name, said in data.get("fields", {}).items()},
        pair=Pair(**pair) if pair else None,
        texts=tuple(
            Text(said["column"], said["pattern"], said.get("else") == "reject")
            for said in data.get("texts", ())
        ),
        names={name: Written(**said) for name, said in data.get("names", {}).items()},
        clock=Clock(**clock) if clock else None,
        blanks=dict(data.get("blanks", {})),
        words={name: dict(said) for name, said in data.get("words", {}).items()},
    )


def form_of(said: Mapping[str, Any]) -> Form:
    """The form of a file as a profile says it."""
    plain = {key: value for key, value in said.items() if key not in ("skip", "nulls", "columns")}
    columns = tuple(
        FixedColumn(column["name"], column["from"], column["to"])
        for column in said.get("columns", ())
    )
    skip, nulls = tuple(said.get("skip", ())), tuple(said.get("nulls", ()))
    return Form(**plain, skip=skip, nulls=nulls, columns=columns)


def _condition(said: Mapping[str, Any]) -> Condition:
    return Condition(said["column"], tuple(said.get("is", ())), said.get("matches"))


def _side(said: Mapping[str, Any]) -> Mapping[str, Ref | Value]:
    return {
        key: Value(value["value"]) if isinstance(value, Mapping) else value
        for key, value in said.items()
    }


def _lookup(said: Mapping[str, Any]) -> Lookup:
    form = form_of(said.get("form", {}))
    return Lookup(said["file"], form, said["column"], said["key"], dict(said["take"]))


def _source(said: Any) -> Source:
    if isinstance(said, Mapping):
        return Source(tuple(said["join"]), said.get("with", " "))
    return Source((said,))
