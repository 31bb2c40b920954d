"""A first profile from a file, with its reasons and its open questions.

What words and values show is proposed; what they leave open is asked beside a disabled line, and
the profile is neither saved nor used until it is answered: better ask than guess.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import PurePath

from ledger.errors import RefusedInput, UseError
from ledger.intake.draft import (
    attempts,
    counts,
    evidence,
    facts,
    file_name,
    layout,
    register,
    roles,
    side_by_side,
)
from ledger.intake.draft.plan import Plan, Proposal, comment, literal
from ledger.intake.forms import Form
from ledger.intake.snapshot import Snapshot

KINDS = ("attempts", "box", "totals", "tags", "players")


@dataclass(frozen=True, slots=True)
class Draft:
    """A drafted profile.

    Attributes:
        text: the profile as TOML with comments.
        kind: what a record is.
        proposals: field by field where it is to come from.
        questions: what a person has to answer before it is used.
    """

    text: str
    kind: str
    proposals: tuple[Proposal, ...]
    questions: tuple[str, ...]


def draft(taken: Snapshot, kind: str | None = None, form: Form | None = None) -> Draft:
    """Draft a profile for a file.

    Args:
        taken: the file.
        kind: one of `KINDS`; found from the file unless said.
        form: what the user said about its layout.

    Raises:
        RefusedInput: if it holds no table, no free throws or no players.
        UseError: if no profile is drafted for the kind.
    """
    if kind is not None and kind not in KINDS:
        raise UseError(f"no profile is drafted for {kind}: use {', '.join(KINDS)}")
    laid = layout.lay_out(taken, form or Form())
    if laid.table.frame.is_empty():
        raise RefusedInput(f"{taken.name}: no row of it can be read; nothing to draft")
    found = roles.assign(evidence.columns_of(laid.table))
    why = "said by --as"
    if kind is None:
        kind, why = _kind(taken.name, laid, found)
    plan = Plan(kind, PurePath(taken.name).stem[:100] or "profile")
    drafting = facts.of(taken.name, laid, found, plan)
    by_kind = {"attempts": attempts.draft, "box": counts.draft, "totals": counts.draft}
    by_kind.get(kind, register.draft)(drafting)
    _no_player(drafting)
    _form(drafting)
    _fits(drafting)
    heading = [
        f"Drafted from {taken.name}: read it, answer what it asks, then type",
        "offglass profile try THIS_FILE DATA_FILE",
        f"A row is read as {kind}: {why}.",
    ]
    return Draft(plan.text(heading), kind, tuple(plan.proposals), tuple(plan.questions))


def _kind(name: str, laid: layout.Laid, found: roles.Roles) -> tuple[str, str]:
    by = found.by
    if "technique" in by and "made" not in by and ("attempt_id" in by or "nth" in by):
        return "tags", "a technique for each attempt's id or place"
    sides = side_by_side.find(found.columns)
    makes = "ft_made" in by or ("made" in by and "attempts" in by)
    counted = (
        "ft_pair" in by or (makes and ("ft_attempts" in by or "attempts" in by)) or bool(sides)
    )
    told = [
        c for c in roles.text_columns(found) if c.place not in _places(by, "ft_made", "ft_pair")
    ]
    silent = not told and "made" not in by and "event" not in by
    if silent and not counted:
        # Without a word for it the values decide only what is asked.
        counted = bool(roles.pairs_by_value(found)) or bool(
            counts.likely_counts(found, laid.table.frame)
        )
    if counted and not told:
        dated = "date" in by or "game" in by or file_name.look(name).date is not None
        dated = dated or file_name.look(name).doubtful is not None or bool(sides)
        if dated:
            return "box", "makes and attempts of a player in a game"
        return "totals", "makes and attempts of a player, and nothing of a single game"
    facts_of_players = {"height_cm", "mass_kg", "birth_year", "position", "hand"} & by.keys()
    if facts_of_players and "made" not in by and not told and not counted:
        return "players", "facts about players and no attempts"
    return "attempts", "a row tells of one event"


def _places(by: dict[str, evidence.Column], *parts: str) -> set[int]:
    return {by[p].place for p in parts if p in by}


def _no_player(d: facts.Drafting) -> None:
    """A file of teams holds nobody who shoots."""
    asked = {p.field for p in d.plan.proposals if p.asked}
    ids = d.roles.get("player_id") is not None
    if (
        "player" in asked
        and not ids
        and not any(c.share(evidence.is_name) > 0.5 for c in d.roles.free())
    ):
        raise RefusedInput(
            f"{d.file}: no column of names beside the teams: it holds no players, so nothing of it"
            " can be stored"
        )


def _form(d: facts.Drafting) -> None:
    form, reasons = d.laid.form, d.laid.reasons
    default = Form()
    null_words = facts.nulls(d)
    said = {
        "type": form.type,
        "encoding": form.encoding,
        "separator": form.separator,
        "quote": form.quote if form.quote != default.quote else None,
        "escape": form.escape if form.escape != default.escape else None,
        "header": form.header,
        "skip": list(form.skip) or None,
        "nulls": list(null_words) or None,
        "path": form.path,
        "sheet": form.sheet,
    }
    lines = d.plan.block("form")
    for key, value in said.items():
        if value is None:
            continue
        if key in reasons:
            lines.append(f"# {comment(reasons[key])}")
        lines.append(f"{key} = {literal(value)}")
    if d.laid.sheets:
        d.plan.ask(
            "form",
            f"which sheet holds the records: {', '.join(d.laid.sheets)}?",
            [f"sheet = {literal(s)}" for s in d.laid.sheets if s != form.sheet],
        )
    if form.columns:
        listed = [{"name": c.name, "from": c.first, "to": c.last} for c in form.columns]
        lines += ["columns = [", *(f"  {literal(column)}," for column in listed), "]"]


def _fits(d: facts.Drafting) -> None:
    columns = list(dict.fromkeys(d.plan.used.values()))
    if columns:
        d.plan.put("fits", "columns", columns, "a file without one of these columns is refused")


__all__ = ["KINDS", "Draft", "Proposal", "draft"]
