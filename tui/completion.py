"""Completing what is typed from names of the ledger and from folders."""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Callable, Sequence
from pathlib import Path

from textual.suggester import Suggester

PART = ";"
MOST_OFFERED = 12


def folded(text: str) -> str:
    """Text without case and accents, as names are compared here."""
    parted = unicodedata.normalize("NFKD", text)
    return "".join(c for c in parted if not unicodedata.combining(c)).casefold()


def matches(typed: str, names: Sequence[str], part: str = PART) -> list[str]:
    """The names that go on from what is typed after the last `;`, then those that hold it.

    Args:
        typed: what is typed.
        names: all names.
        part: what parts several names; empty where there is one.
    """
    last = folded((typed.rpartition(part)[2] if part else typed).strip())
    first = [n for n in names if folded(n).startswith(last)]
    return first + [n for n in names if last and last in folded(n) and n not in first]


def goes_on(typed: str, names: Sequence[str]) -> list[str]:
    """The names that go on from what is typed; the first one completes it."""
    last = typed.strip()
    if not last:
        return []
    return [n for n in names if len(n) > len(last) and folded(n[: len(last)]) == folded(last)]


def offered(typed: str, names: Sequence[str], part: str = PART, most: int = MOST_OFFERED) -> str:
    """What a line offers: the name that `→` completes to, of how many, and the others.

    >>> offered("Zel", ["Aldmoor", "Zellith", "Zelloby"])
    '→ Zellith, the first of 2 that begin so ; Zelloby'
    >>> offered("al", ["Aldmoor", "Zelloby"]), offered("", ["Aldmoor", "Zelloby"])
    ('→ Aldmoor', 'Aldmoor ; Zelloby')
    """
    found = matches(typed, names, part)
    begun = goes_on(typed.rpartition(part)[2] if part else typed, names)
    if begun:
        more = f", the first of {len(begun)} that begin so" if len(begun) > 1 else ""
        found = [f"→ {begun[0]}{more}", *(name for name in found if name != begun[0])]
    between = f" {part} " if part else ", "
    return between.join(found[:most]) + (" …" if len(found) > most else "")


class NameSuggester(Suggester):
    """Completes the last of several names, parted by `;` unless said."""

    def __init__(self, names: Callable[[], Sequence[str]], part: str = PART) -> None:
        super().__init__(use_cache=False, case_sensitive=True)
        self._names = names
        self._part = part

    async def get_suggestion(self, value: str) -> str | None:
        head, sep, part = value.rpartition(self._part) if self._part else ("", "", value)
        found = goes_on(part, self._names())
        if not found:
            return None
        # The name as it is written, whatever case was typed.
        lead = part[: len(part) - len(part.lstrip())]
        return f"{head}{sep}{lead}{found[0]}"


class PathSuggester(Suggester):
    """Completes a path from the entries of its folder."""

    def __init__(self) -> None:
        super().__init__(use_cache=False, case_sensitive=True)

    async def get_suggestion(self, value: str) -> str | None:
        found = entries(value, most=1)
        return found[0] if found and found[0] != value else None


def entries(typed: str, *, most: int = 8) -> list[str]:
    """Paths that go on from what is typed: folders end in a separator, hidden ones are left out."""
    head, sep, start = typed.rpartition(os.sep)
    folder = Path(f"{head}{sep}" or ".").expanduser()
    out: list[str] = []
    try:
        with os.scandir(folder) as listing:
            for entry in sorted(listing, key=lambda e: e.name.lower()):
                hidden = entry.name.startswith(".") and not start.startswith(".")
                if hidden or not entry.name.startswith(start):
                    continue
                out.append(f"{head}{sep}{entry.name}{os.sep if entry.is_dir() else ''}")
                if len(out) == most:
                    break
    except OSError:
        return []
    return out
