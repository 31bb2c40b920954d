"""How a profile goes with what was typed, and what it knows of a file before it is opened."""

from __future__ import annotations

from ledger.errors import UseError
from ledger.intake import findings
from ledger.intake.mapping import header_form
from ledger.intake.options import ReadOptions
from ledger.intake.profile.format import Profile


def check_use(profile: Profile, kind: str, options: ReadOptions) -> None:
    """Refuse a profile that is not finished, or what was typed beside it and does not go with it.

    Raises:
        UseError: in one line.
    """
    name = findings.show(profile.name)
    if profile.ask:
        raise UseError(
            f"the profile {name} has a question open: {findings.show(profile.ask[0])}; answer it,"
            " take it out of ask, and try again"
        )
    if kind != profile.kind:
        raise UseError(
            f"--as {kind}: the profile {name} is one of {profile.kind}; leave --as out, or take"
            " another profile"
        )
    if options.map:
        raise UseError(
            f"--map goes without a profile: say it in the profile {name} under fields instead"
        )


def known_columns(profile: Profile) -> tuple[dict[str, str], int]:
    """What tells the header of a file: header form to column as the profile names it.

    Beside it the highest place, where all columns go by place; else 0.
    """
    known: dict[str, str] = {}
    highest = 0
    for _, ref in profile.references():
        if isinstance(ref, int):
            highest = max(highest, ref)
            continue
        text, hash_, number = ref.rpartition("#")
        written = text if hash_ and number.isdecimal() else ref
        known.setdefault(header_form(ref), ref)
        known.setdefault(header_form(written), ref)
    known.pop("", None)
    return known, 0 if known else highest
