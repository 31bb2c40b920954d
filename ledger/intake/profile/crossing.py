"""What the parts of a profile must be to each other: the rules its schema cannot say."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from typing import Any

import polars as pl

from ledger import resources
from ledger.errors import RefusedInput, UseError
from ledger.intake import dates, fields, findings
from ledger.intake.options import allowed_values
from ledger.intake.profile.format import Profile, Value
from ledger.intake.profile.patterns import group_names
from ledger.intake.words import Words, build, normal_word

# Columns that speak of a row, not of an attempt; no profile fills them.
_ABOUT_ROWS = ("guarded", "beyond_header", "refused_by")
_ORDERED = ("file", "reversed")


def check_meaning(profile: Profile, where: str) -> None:
    """Refuse a profile whose parts do not go together.

    Raises:
        UseError: in one line that names the key and what it may be.
    """
    _Crossing(profile, where).run()


def fields_of(kind: str) -> dict[str, Mapping[str, Any]]:
    """The fields a profile of a kind may fill, by name."""
    every = resources.schema(kind)["fields"]
    return {field["name"]: field for field in every if field["name"] not in _ABOUT_ROWS}


class _Crossing:
    """One check of a profile."""

    def __init__(self, profile: Profile, where: str) -> None:
        self._profile = profile
        self._where = where
        self._fields = fields_of(profile.kind)

    def run(self) -> None:
        self._check_patterns()
        self._check_dates()
        self._check_field_names()
        self._check_constants()
        self._check_groups()
        self._check_sides()
        self._check_lookups()
        self._check_pair()
        self._check_names()
        self._check_clock()
        self._check_order()
        self._check_words()

    def _refuse(self, key: str, told: str) -> UseError:
        return UseError(f"{self._where}: {key}: {told}")

    def _check_patterns(self) -> None:
        profile = self._profile
        said = [("file_name.pattern", profile.file_name)]
        said += [(f"texts[{at}].pattern", text.pattern) for at, text in enumerate(profile.texts, 1)]
        for which, conditions in (("keep", profile.keep), ("drop", profile.drop)):
            for at, condition in enumerate(conditions, 1):
                said.append((f"rows.{which}[{at}].matches", condition.pattern))
        said.append(("pair.pattern", profile.pair.pattern if profile.pair else None))
        for key, pattern in said:
            if pattern is not None:
                try:
                    group_names(pattern)
                except ValueError as problem:
                    raise self._refuse(key, f"no regular expression: {problem}") from None

    def _check_dates(self) -> None:
        try:
            dates.reader([], self._profile.dates, self._where)
        except UseError:
            raise self._refuse(
                "dates", "it may be dmy, mdy, ymd, or a format such as %d.%m.%Y"
            ) from None

    def _check_field_names(self) -> None:
        profile = self._profile
        for part in ("constants", "fields", "names", "blanks", "words"):
            for name in getattr(profile, part):
                self._known(f"{part}.{findings.show(name)}", name)

    def _known(self, key: str, name: str) -> None:
        if name in self._fields:
            return
        near = difflib.get_close_matches(name, list(self._fields), 3, 0.5)
        hint = f"did you mean {' or '.join(near)}?" if near else f"it has {', '.join(self._fields)}"
        raise self._refuse(key, f"{self._profile.kind} have no such field; {hint}")

    def _check_constants(self) -> None:
        filled = self._filled()
        for name, value in self._profile.constants.items():
            if name in filled:
                raise self._refuse(f"constants.{name}", f"{filled[name]} fills it too; keep one")
            if not value.strip():
                raise self._refuse(f"constants.{name}", "it is blank; leave it out")
            self._check_constant(f"constants.{name}", self._fields[name], value)

    def _check_constant(self, key: str, field: Mapping[str, Any], value: str) -> None:
        name = field["name"]
        if name == "technique":
            return
        said = [(name, text, meant) for text, meant in self._profile.words.get(name, {}).items()]
        known = build().with_words(said)
        if field.get("coded"):
            self._check_word(key, field, value, known)
            return
        context = fields.Context(known, self._profile.dates, ";", self._where)
        try:
            found = fields.typed(field, pl.Series([value]), [value], context)
        except RefusedInput as problem:
            raise self._refuse(key, problem.message.removeprefix(f"{self._where}: ")) from None
        if found.values[0] is None:
            reason = found.reasons[0] if found.reasons is not None else "missing"
            raise self._refuse(key, f"{findings.show(value)}: {findings.FIXES[reason]}")

    def _filled(self) -> dict[str, str]:
        """Each field that rows fill, with the first key that does."""
        profile = self._profile
        found = dict.fromkeys(self._groups(profile.file_name), "file_name.pattern")
        found |= {name: f"fields.{name}" for name in profile.fields if name not in found}
        if profile.pair is not None:
            found |= {"made": "pair", "attempts": "pair"} | found
        for at, text in enumerate(profile.texts, 1):
            for name in self._groups(text.pattern):
                found.setdefault(name, f"texts[{at}].pattern")
        if any(said.number != "none" for said in profile.names.values()):
            found.setdefault("number", "names")
        if profile.order in _ORDERED:
            found.setdefault("order", "order")
        return found

    @staticmethod
    def _groups(pattern: str | None) -> tuple[str, ...]:
        return group_names(pattern) if pattern is not None else ()

    def _check_groups(self) -> None:
        profile = self._profile
        asked = {ref for _, ref in profile.later_references() if isinstance(ref, str)}
        said = [("file_name.pattern", profile.file_name)]
        said += [(f"texts[{at}].pattern", text.pattern) for at, text in enumerate(profile.texts, 1)]
        for key, pattern in said:
            names = self._groups(pattern)
            if key == "file_name.pattern" and pattern is not None and not names:
                raise self._refuse(key, "it has no named group (?P<field>...)")
            for name in names:
                if name not in self._fields and name not in asked:
                    near = difflib.get_close_matches(name, list(self._fields), 1, 0.5)
                    hint = f"did you mean {near[0]}?" if near else "(?:...) groups without a name"
                    raise self._refuse(
                        key,
                        f"the group {name} is no field of {profile.kind} and no later step uses it;"
                        f" {hint}",
                    )

    def _check_sides(self) -> None:
        for at, side in enumerate(self._profile.sides, 1):
            if all(isinstance(ref, Value) for ref in side.values()):
                raise self._refuse(f"sides[{at}]", "it names no column; each side needs one")

    def _check_lookups(self) -> None:
        for at, lookup in enumerate(self._profile.lookups, 1):
            if lookup.file in (".", "..") or any(sign in lookup.file for sign in "/\\\0"):
                raise self._refuse(
                    f"lookups[{at}].file", "it takes the name of a file beside the first, no path"
                )

    def _check_pair(self) -> None:
        pair = self._profile.pair
        if pair is None:
            return
        if "attempts" not in self._fields:
            raise self._refuse("pair", f"{self._profile.kind} have no made and attempts to count")
        if pair.pattern is not None and not {"made", "attempts"} <= set(group_names(pair.pattern)):
            raise self._refuse("pair.pattern", "it needs the groups (?P<made>) and (?P<attempts>)")

    def _check_names(self) -> None:
        for name, said in self._profile.names.items():
            if self._fields[name].get("kind") != "name":
                raise self._refuse(f"names.{name}", "no field of names; player or a team is one")
            if said.number != "none" and (name != "player" or "number" not in self._fields):
                raise self._refuse(f"names.{name}.number", "only a player has one")

    def _check_clock(self) -> None:
        clock = self._profile.clock
        if clock is None:
            return
        if "clock" not in self._fields:
            raise self._refuse("clock", f"{self._profile.kind} have no clock")
        if clock.counts == "up":
            if clock.period_minutes is None:
                raise self._refuse("clock.period_minutes", "a clock that counts up needs it")
            if "period" not in self._filled() and "period" not in self._profile.constants:
                raise self._refuse("clock.counts", "up needs the field period to be filled too")

    def _check_order(self) -> None:
        profile = self._profile
        if profile.order != "none" and "order" not in self._fields:
            raise self._refuse("order", f"{profile.kind} have no order; leave it out")
        if profile.order in _ORDERED:
            by = {**self._filled(), **dict.fromkeys(profile.constants, "constants")}["order"]
            if by != "order":
                raise self._refuse("order", f"{by} fills the order too; keep one")
        if profile.trips == "by clock" and "trip_of" not in self._fields:
            raise self._refuse("trips", f"{profile.kind} have no trips; leave it out")

    def _check_words(self) -> None:
        known = build()
        for name, said in self._profile.words.items():
            field = self._fields[name]
            meant: dict[str, str] = {}
            for text, value in said.items():
                key = f"words.{name}.{findings.show(text)}"
                if meant.setdefault(normal_word(text), value) != value:
                    raise self._refuse(key, "the same word stands there with another value")
                if field.get("coded") and name != "technique":
                    self._check_word(key, field, value, known)

    def _check_word(self, key: str, field: Mapping[str, Any], value: str, known: Words) -> None:
        allowed = allowed_values(field, known)
        if known.look(field["name"], value) is None:
            near = difflib.get_close_matches(value, allowed, 1)
            hint = f"did you mean {near[0]}?" if near else f"it may be {', '.join(allowed)}"
            raise self._refuse(key, f"no value {findings.show(value)}; {hint}")
