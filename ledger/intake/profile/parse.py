"""A profile's text to a profile: TOML, then its schema, then what the schema cannot say."""

from __future__ import annotations

import difflib
import hashlib
import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

from ledger import resources
from ledger.errors import UseError
from ledger.intake import findings
from ledger.intake.profile.crossing import check_meaning
from ledger.intake.profile.format import Profile, profile_of

MAX_BYTES = 256 * 1024
_KINDS = {
    "string": "a text in quotes",
    "integer": "a whole number",
    "number": "a number",
    "array": "a list in [ ]",
    "object": "a table of keys",
    "boolean": "true or false",
}
_COLUMN = "a column's name in quotes, its place as a number, or name#2"


def parse(text: str, where: str) -> Profile:
    """The profile a text says.

    Args:
        text: TOML by `schemas/profile.json`.
        where: what the text is called in messages, such as its file's name.

    Raises:
        UseError: in one line that names the key and what it may be.
    """
    where = findings.show(where)
    body = text.removeprefix("\ufeff")
    encoded = body.encode("utf-8", "replace")
    if len(encoded) > MAX_BYTES:
        raise UseError(f"{where}: a profile is at most {MAX_BYTES // 1024} KiB; this is none")
    try:
        data = tomllib.loads(body)
    except (tomllib.TOMLDecodeError, RecursionError) as problem:
        told = "nested too deep" if isinstance(problem, RecursionError) else str(problem)
        raise UseError(f"{where}: no profile, its TOML cannot be read: {told}") from None
    _check_shape(data, where)
    profile = profile_of(data, body, hashlib.sha256(encoded).hexdigest())
    check_meaning(profile, where)
    return profile


@cache
def _validator() -> Any:
    from jsonschema import Draft202012Validator

    return Draft202012Validator(resources.schema("profile"))


def _check_shape(data: Mapping[str, Any], where: str) -> None:
    problem = min(_validator().iter_errors(data), key=_order, default=None)
    if problem is not None:
        raise UseError(f"{where}: {_told(problem)}")


def _order(problem: Any) -> tuple[bool, int, str]:
    """Unknown keys first: a misspelt key also makes the right one look missing."""
    unknown = problem.validator == "additionalProperties"
    return not unknown, -len(problem.absolute_path), key_of(problem.absolute_path)


def key_of(path: Sequence[Any]) -> str:
    """A key as a person names it: `texts[2].pattern`, lists counted from 1."""
    name = ""
    for part in path:
        name += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if name else str(part)
    return findings.show(name)


def _told(problem: Any) -> str:
    key = key_of(problem.absolute_path) or "the profile"
    rule, limit, value = problem.validator, problem.validator_value, problem.instance
    if rule == "additionalProperties":
        return _unknown_key(problem, key)
    if rule == "required":
        lacking = next(name for name in limit if name not in value)
        return f"{key} lacks the key {lacking}{_meant(problem.schema, lacking)}"
    if rule in ("enum", "const"):
        allowed = limit if rule == "enum" else [limit]
        return f"{key} is {_shown(value)}; it may be {', '.join(map(str, allowed))}"
    if rule == "type":
        return f"{key} is {_shown(value)}; it takes {_KINDS[limit]}"
    if rule == "oneOf":
        return _one_of(problem, value, key)
    if rule in ("minItems", "minProperties", "minLength"):
        return f"{key} needs at least {limit} {'characters' if rule == 'minLength' else 'entries'}"
    if rule == "maxItems":
        return f"{key} has {len(value)} entries, at most {limit} are read"
    if rule == "maxLength":
        return f"{key} is longer than {limit} characters"
    if rule == "uniqueItems":
        return f"{key} names something twice"
    if rule in ("minimum", "maximum", "exclusiveMinimum"):
        side = {"minimum": "at least", "maximum": "at most", "exclusiveMinimum": "above"}[rule]
        return f"{key} is {_shown(value)}; it is {side} {limit}"
    return f"{key} is {_shown(value)}: {_description(problem.schema) or 'it cannot be that'}"


def _unknown_key(problem: Any, key: str) -> str:
    allowed = list(problem.schema.get("properties", ()))
    unknown = next(name for name in problem.instance if name not in allowed)
    near = difflib.get_close_matches(unknown, allowed, 1, 0.5)
    hint = f"did you mean {near[0]}?" if near else f"it may have {', '.join(allowed)}"
    return f"{key} has no key {findings.show(unknown)}; {hint}"


def _meant(schema: Mapping[str, Any], name: str) -> str:
    said = schema.get("properties", {}).get(name, {})
    allowed = said.get("enum") or ([said["const"]] if "const" in said else [])
    if allowed:
        return f"; it may be {', '.join(map(str, allowed))}"
    return f": {_description(said)}" if _description(said) else ""


def _one_of(problem: Any, value: Any, key: str) -> str:
    if isinstance(value, Mapping):
        inner = [error for error in problem.context if error.instance is not value]
        inner += [error for error in problem.context if error.validator == "additionalProperties"]
        if inner:
            return _told(inner[0])
        if "column" in value:
            return f"{key}: give either is or matches"
        return f"{key}: it takes {'join, a list of columns' if 'join' in str(problem) else _COLUMN}"
    return f"{key}: {_shown(value)} is no column; it takes {_COLUMN}"


def _description(schema: Mapping[str, Any]) -> str:
    said = str(schema.get("description", ""))
    return said[:1].lower() + said[1:]


def _shown(value: Any) -> str:
    return findings.show(repr(value) if isinstance(value, str) else str(value))
