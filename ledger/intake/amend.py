"""A correction as it was typed: `FIELD=VALUE` read by the same rules as a file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger import resources
from ledger.errors import UseError
from ledger.intake import fields, findings, names
from ledger.intake.bring import words_of
from ledger.intake.words import Words
from ledger.store import correct as store
from ledger.store.called import find_record

if TYPE_CHECKING:
    from ledger.store.ledger_file import LedgerFile

# Field of a record to the schema and field whose rules hold for it; others are plain names.
_RULES = {
    "attempt": {n: ("attempts", n) for n in store.fields_of("attempt")},
    "player": {
        "name": ("players", "player"),
        **{n: ("players", n) for n in store.fields_of("player") if n != "name"},
    },
    "team": {"name": ("attempts", "team")},
    "game": {
        "date": ("attempts", "date"),
        "stage": ("attempts", "stage"),
        "label": ("attempts", "game"),
        "home": ("attempts", "home"),
        "away": ("attempts", "away"),
    },
}


def amend(
    ledger: LedgerFile, kind: str, record: int | str, changes: Mapping[str, str], *, why: str
) -> str:
    """Mend a record of the ledger.

    Args:
        ledger: the ledger.
        kind: `attempt`, `player`, `game` or `team`.
        record: its number, or a name or label that only one has.
        changes: field to its new value as typed; an empty value empties the field.
        why: the reason.

    Returns:
        One line for the person: which record, its old and new values, and the way back.

    Raises:
        UseError: if none or several records are meant, a field or value cannot be, or nothing
            would change.
    """
    if kind not in store.KINDS:
        raise UseError(f"{kind!r} cannot be corrected: use {', '.join(store.KINDS)}")
    words = words_of(ledger)
    typed = {name: value_of(kind, name, text, words) for name, text in changes.items()}
    with ledger.changing("offglass correct") as con:
        meant = find_record(con, kind, str(record))
        done = store.correct(con, ledger, kind, meant.id, typed, why=why)
    listed = ", ".join(f"{name} {_shown(old)} -> {_shown(new)}" for name, old, new in done.said)
    return f"{findings.show(meant.words())}: {listed}; to take it back: offglass undo {done.source}"


def _shown(value: Any) -> str:
    if value is None or value == "":
        return "empty"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return findings.show(f"{value:g}" if isinstance(value, float) else str(value))


def value_of(kind: str, name: str, text: str, words: Words) -> Any:
    """One typed value by the rules of its field; `None` where the text is blank.

    Raises:
        UseError: if the record has no such field, or the value cannot be.
    """
    if name not in store.fields_of(kind):
        raise UseError(
            f"{findings.show(name)} is no field of {kind}s that can be corrected: use "
            f"{', '.join(store.fields_of(kind))}"
        )
    if not text.strip():
        return None
    if name not in _RULES[kind]:
        return _plain(name, text)
    schema, field_name = _RULES[kind][name]
    field = next(f for f in resources.schema(schema)["fields"] if f["name"] == field_name)
    if field_name == "date":
        context = fields.Context(words, "ymd", ",", f"{name}={findings.show(text)}")
    else:
        context = fields.Context(words, None, ";", f"{name}={findings.show(text)}")
    relaxed = {**field, "constraints": {**field.get("constraints", {}), "required": False}}
    found = fields.typed(relaxed, pl.Series([text]), [text], context)
    value = found.values[0]
    if value is None:
        reason = found.reasons[0] if found.reasons is not None else "missing"
        raise UseError(f"{name}={findings.show(text)}: {fix_of(reason, field)}")
    return value


def _plain(name: str, text: str) -> str:
    value = names.clean(text)
    reason = names.fault(value)
    if reason is not None:
        raise UseError(f"{name}: {findings.FIXES[reason]}")
    return value


def fix_of(reason: str, field: Mapping[str, Any]) -> str:
    """What would mend a value of a field, with what it may be."""
    limits = field.get("constraints", {})
    if reason == "unknown_word":
        allowed = ("yes", "no") if field["type"] == "boolean" else limits["enum"]
        return f"it may be {', '.join(allowed)}"
    if reason == "out_of_bounds":
        return f"it lies between {limits['minimum']} and {limits['maximum']}"
    return findings.FIXES[reason]
