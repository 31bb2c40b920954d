"""JSON read strictly, its numbers kept as written, and one object as text cells by name."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from ledger.intake import findings
from ledger.intake.forms.grid import whole
from ledger.intake.forms.json_path import MAX_DEPTH


class Unreadable(ValueError):
    """JSON that is not taken: a reason code of `findings.FIXES`, and what it is about."""

    def __init__(self, reason: str, about: str) -> None:
        super().__init__(about)
        self.reason = reason
        self.about = about


def parsed(text: str) -> Any:
    """The value in a JSON text; numbers are text as written.

    Raises:
        Unreadable: if it is no JSON, names a member twice, or is nested too deep.
    """
    try:
        return _DECODER.decode(text)
    except json.JSONDecodeError as problem:
        said = problem.msg[:1].lower() + problem.msg[1:]
        where = f"line {problem.lineno}, character {problem.colno}: {said}"
        raise Unreadable("bad_json", where) from None
    except RecursionError:
        raise Unreadable("too_deep", f"more than {MAX_DEPTH} levels") from None


def _members(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) != len(pairs):
        seen: set[str] = set()
        twice = next(name for name, _ in pairs if name in seen or seen.add(name))  # type: ignore[func-returns-value]
        raise Unreadable("doubled_name", f"{findings.show(twice)!r} twice in one object")
    return members


def _no_constant(word: str) -> Any:
    raise Unreadable("bad_json", f"{word} is no number of JSON")


_DECODER = json.JSONDecoder(
    object_pairs_hook=_members, parse_float=str, parse_int=str, parse_constant=_no_constant
)


def scalar(value: Any) -> str | None:
    """A cell's text; `None` where the value is a list or an object."""
    if isinstance(value, str):
        return whole(value)
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return None


def cells_of(value: Any, prefix: str, without: str | None, left: set[str]) -> dict[str, str]:
    """The scalars of an object by their dotted name; those of a list by their place.

    Args:
        value: an object or a list.
        prefix: what stands before each name.
        without: a member to leave out.
        left: gets the names of lists that hold more than scalars: they are left out.

    Raises:
        Unreadable: if two members come to one name, or it is nested too deep.
    """
    found: dict[str, str] = {}
    _collect(_pairs(value, without), prefix, found, left, 0)
    return found


def _pairs(value: Any, without: str | None) -> Iterable[tuple[str, Any]]:
    if isinstance(value, dict):
        return ((name, item) for name, item in value.items() if name != without)
    return ((str(at), item) for at, item in enumerate(value, 1))


def _collect(
    pairs: Iterable[tuple[str, Any]],
    prefix: str,
    found: dict[str, str],
    left: set[str],
    depth: int,
) -> None:
    if depth > MAX_DEPTH:
        raise Unreadable("too_deep", f"more than {MAX_DEPTH} levels")
    for name, value in pairs:
        full = prefix + whole(name)
        if isinstance(value, dict):
            _collect(value.items(), f"{full}.", found, left, depth + 1)
            continue
        cell = scalar(value)
        if cell is None:
            parts = [scalar(item) for item in value]
            if any(part is None for part in parts):
                left.add(full)
                continue
            cell = ", ".join(part for part in parts if part is not None)
        if full in found:
            raise Unreadable("doubled_name", f"two members come to {findings.show(full)!r}")
        found[full] = cell
