"""The draft for players and for tags: columns that name the project's own fields."""

from __future__ import annotations

from ledger.intake.draft import evidence, facts
from ledger.intake.draft.facts import Drafting
from ledger.intake.words import STARTER


def draft(d: Drafting) -> None:
    """Draft a profile of players or of tags."""
    facts.people(d, team=d.roles.get("team") is not None)
    for part in ("league", "season"):
        column = d.roles.get(part)
        if column is not None:
            d.plan.take(part, column.ref, f"its header and values such as {column.example()}")
    if d.plan.kind == "tags" and d.roles.get("date") is not None:
        facts.date_column(d, d.roles.by["date"])
    for name in sorted(d.fields()):
        column = d.roles.get(name)
        if column is None or d.plan.has(name) or name == "date":
            continue
        d.plan.take(name, column.ref, f"its header and values such as {column.example()}")
        if name in STARTER and name != "technique":
            facts.coded(d, name, column)
    if d.plan.kind == "players" and not d.plan.has("league"):
        d.plan.ask(
            "constants",
            "league stands in no column: write it where a name may be several players'",
            ['league = ""'],
            ["league"],
        )
    _units(d)


def _units(d: Drafting) -> None:
    """Heights in metres or feet are no centimetres."""
    for name, low, unit in (("height_cm", 100, "centimetres"), ("mass_kg", 30, "kilograms")):
        column = d.roles.get(name)
        if column is None or not d.plan.has(name):
            continue
        wrong = column.share(lambda v: not evidence.is_number(v))
        small = sum(
            n for v, n in column.counts.items() if evidence.is_number(v) and _figure(v) < low
        )
        if wrong > 0.5 or 2 * small > column.filled:
            d.plan.ask(
                "fields",
                f"{column.name} is not in {unit} ({column.example()}): leave it out?",
                [],
                [name],
            )


def _figure(value: str) -> float:
    return float(value.replace(",", ".").rstrip("% "))
