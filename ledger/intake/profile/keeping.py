"""Profiles in the ledger and in files: found by a name, kept for the next week."""

from __future__ import annotations

import difflib
from pathlib import Path
from typing import TYPE_CHECKING

from ledger.errors import RefusedInput, UseError
from ledger.intake import findings, snapshot
from ledger.intake.profile.format import Profile
from ledger.intake.profile.parse import parse
from ledger.store import profiles

if TYPE_CHECKING:
    from ledger.store.ledger_file import LedgerFile


def named(ledger: LedgerFile, name: str) -> Profile:
    """The profile of a name in the ledger, else in the file at that path.

    Raises:
        UseError: if there is neither, or it is no profile.
    """
    with ledger.reading() as con:
        saved = profiles.find(con, name)
        known = [one.name for one in profiles.listed(con)]
    if saved is not None:
        return parse(saved.body, f"profile {saved.name}")
    if not Path(name).exists():
        near = difflib.get_close_matches(name, known, 1, 0.5)
        hint = f"did you mean {findings.show(near[0])}?" if near else "offglass profile list"
        raise UseError(
            f"{findings.show(name)}: no profile of this name in the ledger and no such file; {hint}"
        )
    return parse(text_of(name), findings.show(Path(name).name))


def text_of(path: str | Path) -> str:
    """The text of a profile's file.

    Raises:
        UseError: if it cannot be read or is no UTF-8.
    """
    try:
        return snapshot.take(path).data.decode("utf-8-sig")
    except RefusedInput as problem:
        raise UseError(problem.message.replace("nothing to import", "no profile")) from None
    except UnicodeDecodeError:
        name = findings.show(Path(path).name)
        raise UseError(f"{name}: no profile, it is not written in UTF-8; save it so") from None


def keep(ledger: LedgerFile, text: str, where: str) -> profiles.Saved:
    """Check a profile and keep it in the ledger under its own name.

    Raises:
        UseError: if it is no profile, or has questions open.
    """
    profile = parse(text, where)
    if profile.ask:
        raise UseError(
            f"{findings.show(where)}: a question is open: {findings.show(profile.ask[0])}; answer"
            " it, take it out of ask, and save again"
        )
    with ledger.changing("offglass profile save") as con:
        return profiles.save(con, ledger, profile.name, profile.body)
