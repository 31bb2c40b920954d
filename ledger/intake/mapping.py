"""Which column of the file fills which field.

Headers are compared without case, blanks, hyphens and underscores; nothing is taken from the
data. What the headers do not say, `--map` says.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger import safe_text
from ledger.errors import RefusedInput, UseError
from ledger.intake import findings

# An attempt in a tags file is named by its id, its number in the ledger, or by these.
TAG_KEY = ("league", "season", "date", "game", "player", "nth")
# What differs from row to row: no one value holds for a file.
_ONE_A_ROW = ("attempt", "attempt_id", "nth", "made", "attempts", "player")
_COUNT_COLUMNS = frozenset(
    [
        *("attempts", "attempted", "fta", "ftattempts", "ftattempted", "freethrowattempts"),
        *("freethrowsattempted", "fga", "shotattempts", "totalattempts"),
    ]
)


@dataclass(frozen=True, slots=True)
class Columns:
    """The mapping in use.

    Attributes:
        places: field name to the column's place in the file, in the file's order.
        written: field name to the column's name as written (its number without a header).
        constants: field name to the value typed after `--set`.
        ignored: names of columns that fill no field.
    """

    places: dict[str, int]
    written: dict[str, str]
    constants: dict[str, str]
    ignored: tuple[str, ...]

    def used(self) -> dict[str, str]:
        """Column as written to field, and `--set` fields to their value, for the report."""
        named = {column: field for field, column in self.written.items()}
        return named | {f"--set {field}": value for field, value in self.constants.items()}


def header_form(text: str) -> str:
    """A header without case, blanks, hyphens, underscores and invisible letters."""
    plain = unicodedata.normalize("NFC", text).casefold()
    return re.sub(r"[\s_\-\u00ad\u200b-\u200f\u202a-\u202e\u2060\ufeff]+", "", plain)


def field_names(schema: Mapping[str, Any]) -> list[str]:
    """The names of a schema's fields."""
    return [str(field["name"]) for field in schema["fields"]]


def required_names(schema: Mapping[str, Any]) -> list[str]:
    """The names of the fields that every row must fill."""
    return [f["name"] for f in schema["fields"] if f.get("constraints", {}).get("required")]


def known_headers(schema: Mapping[str, Any], pairs: Sequence[tuple[str, str]]) -> dict[str, str]:
    """Every header that says what it is: its form to its field.

    Raises:
        UseError: if `--map` names a field that this kind of file does not have.
    """
    known: dict[str, str] = {}
    for field in schema["fields"]:
        for name in (field["name"], *field.get("aliases", ())):
            known[header_form(name)] = field["name"]
    for column, wanted in pairs:
        known_field(wanted, schema, "--map")
        if not column.isdecimal():
            known[header_form(column)] = wanted
    return known


def known_field(name: str, schema: Mapping[str, Any], option: str) -> None:
    """Refuse a field name that the schema does not have.

    Raises:
        UseError: naming the nearest fields.
    """
    names = field_names(schema)
    if name in names:
        return
    near = difflib.get_close_matches(name, names, 3, 0.5)
    hint = f"did you mean {' or '.join(near)}?" if near else f"fields: {', '.join(names)}"
    raise UseError(f"{option}: {schema['name']} have no field {findings.show(name)}; {hint}")


def resolve(
    headers: Sequence[str],
    schema: Mapping[str, Any],
    pairs: Sequence[tuple[str, str]],
    constants: Sequence[tuple[str, str]],
    name: str,
) -> Columns:
    """The mapping of one file.

    Args:
        headers: column names as written, in order; `1`, `2`… for a file without a header.
        schema: the Table Schema of the kind of file.
        pairs: `--map` as (column, field); a column is a name as written or a number.
        constants: `--set` as (field, value).
        name: the file's name for messages.

    Raises:
        UseError: if an option names a column or field that is not there.
        RefusedInput: if a required column is missing or two columns mean one field.
    """
    places = _places(headers, schema, pairs, name)
    fixed = dict(constants)
    for field in fixed:
        known_field(field, schema, "--set")
        if field in places:
            raise UseError(
                f"--set {field}: {name} has a column for it"
                f" ({findings.show(headers[places[field]])}); leave --set out"
            )
    _complete(places, fixed, headers, schema, name)
    ordered = dict(sorted(places.items(), key=lambda item: item[1]))
    taken = set(ordered.values())
    ignored = tuple(
        text for at, text in enumerate(headers) if at not in taken and header_form(text)
    )
    return Columns(ordered, {f: headers[at] for f, at in ordered.items()}, fixed, ignored)


def _places(
    headers: Sequence[str],
    schema: Mapping[str, Any],
    pairs: Sequence[tuple[str, str]],
    name: str,
) -> dict[str, int]:
    forms = [header_form(text) for text in headers]
    chosen: dict[str, int] = {}
    for column, field in pairs:
        at = _column(column, headers, forms, name)
        if chosen.get(field, at) != at:
            raise UseError(f"--map: two columns for {field}; keep one")
        chosen[field] = at
    twice = [at for at, times in Counter(chosen.values()).items() if times > 1]
    if twice:
        raise UseError(f"--map: column {findings.show(headers[twice[0]])} is given two fields")
    found: dict[str, list[int]] = {}
    own = known_headers(schema, ())
    taken = set(chosen.values())
    for at, form in enumerate(forms):
        own_field = own.get(form)
        if own_field is not None and own_field not in chosen and at not in taken:
            found.setdefault(own_field, []).append(at)
    doubled = {field: spots for field, spots in found.items() if len(spots) > 1}
    if doubled:
        field, spots = next(iter(doubled.items()))
        which = " and ".join(f"{at + 1} ({findings.show(headers[at].strip())})" for at in spots)
        raise RefusedInput(
            f"{name}: columns {which} both mean {field}; say which with --map"
            f" {spots[0] + 1}={field}"
        )
    return chosen | {field: spots[0] for field, spots in found.items()}


def _column(column: str, headers: Sequence[str], forms: Sequence[str], name: str) -> int:
    exact = [at for at, text in enumerate(headers) if text.strip() == column.strip()]
    alike = exact or [at for at, form in enumerate(forms) if form == header_form(column)]
    if len(alike) == 1:
        return alike[0]
    if len(alike) > 1:
        numbers = " or ".join(str(at + 1) for at in alike)
        raise UseError(f"--map {findings.show(column)}: several such columns; type {numbers}")
    if column.isdecimal() and 1 <= int(column) <= len(headers):
        return int(column) - 1
    near = difflib.get_close_matches(column, list(headers), 3, 0.5)
    there = near or [text for text in headers if text.strip()]
    raise UseError(
        f"--map {findings.show(column)}: {name} has no such column; it has {listed(there)}"
    )


def _complete(
    places: Mapping[str, int],
    fixed: Mapping[str, str],
    headers: Sequence[str],
    schema: Mapping[str, Any],
    name: str,
) -> None:
    have = set(places) | set(fixed)
    missing = [field for field in required_names(schema) if field not in have]
    what = ", ".join(missing)
    if schema["name"] == "tags" and not have & {"attempt_id", "attempt"}:
        lacking = [field for field in TAG_KEY if field not in have]
        place = f"{', '.join(TAG_KEY[:-1])} and {TAG_KEY[-1]}"
        whole = f"attempt_id, or by attempt (its number here), or by {place}"
        missing = lacking if len(lacking) < len(TAG_KEY) else ["attempt_id"]
        what = f"{', '.join(missing)} (a tag names its attempt by {whole})"
        if not lacking:
            return
    if not missing:
        return
    if schema["name"] == "attempts" and "made" in missing and _like_tags(headers):
        raise RefusedInput(
            f"{name}: no column for {what}; columns found: {listed(headers)}; --as tags?"
        )
    first = missing[0]
    free = {header_form(text): text for at, text in enumerate(headers) if at not in places.values()}
    near = difflib.get_close_matches(header_form(first), [form for form in free if form], 1, 0.5)
    example = free[near[0]].strip() if near else "COLUMN"
    fixed_for_all = f", or --set {first}=VALUE" if first not in _ONE_A_ROW else ""
    raise RefusedInput(
        f"{name}: no column for {what}; columns found: {listed(headers)};"
        f" type --map '{findings.show(example)}={first}' if that is it{fixed_for_all}"
    )


def _like_tags(headers: Sequence[str]) -> bool:
    """Whether the columns name attempts and what was seen of them, as those of tags do."""
    forms = {header_form(text) for text in headers}
    return "technique" in forms and bool(forms & {"attempt", "attemptid", "nth"})


def listed(texts: Iterable[str], most: int = 20) -> str:
    """Column names for a message, at most `most` of them."""
    shown = [safe_text.cut(findings.show(text.strip()), 30) for text in texts if text.strip()]
    more = len(shown) - most
    return ", ".join(shown[:most]) + (f" and {more} more" if more > 0 else "")


def count_columns(headers: Sequence[str]) -> list[str]:
    """Headers that count attempts: beside `made` they show that a row is no single attempt."""
    return [text.strip() for text in headers if header_form(text) in _COUNT_COLUMNS]
