"""Cells and details of what was written down."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from tui import figures
from tui.listed.held import Held
from tui.widgets.columns import ShownColumn
from tui.widgets.drawings import Row

if TYPE_CHECKING:
    from ledger.store.listed import HeldConsent
    from ledger.store.notes import Decision

# The most cells that a text takes: it is read whole when its row is opened.
LONG = 60


def column(
    name: str, title: str, *, least: int = 4, most: int = 28, right: bool = False, drop: int = 0
) -> ShownColumn:
    """A column of words or of whole numbers."""

    def words(row: Any) -> str:
        value = row[name]
        return figures.cell(value, "attempts") if isinstance(value, int) else str(value)

    # A number is never cut: half of one is a wrong one.
    return ShownColumn(title, words, least=most if right else least, most=most, right=right,
                       drop=drop, sorts=name)  # fmt: skip


def again_column(drop: int = 0) -> ShownColumn:
    """The column of reviews: the day, or only that it is due where there is no room for both."""

    def short(row: Row) -> str:
        return "due" if row["due"] else str(row["again"])

    whole = column("again", "look again", least=10, drop=drop)
    return replace(whole, short=short)


def day_words(value: date | datetime | None) -> str:
    """A day as it is written, nothing where there is none."""
    return "" if value is None else f"{value:%Y-%m-%d}"


def by_words(who: str, when: datetime) -> str:
    """When something was written down, and by whom."""
    return f"{day_words(when)} by {who}"


def again_words(decision: Decision, due: Container[int]) -> str:
    """When a decision is to be looked at again, in words."""
    if decision.review is None or not decision.stands:
        return ""
    day = day_words(decision.review)
    return f"due since {day}" if decision.number in due else day


def state_of(consent: HeldConsent, today: date) -> str:
    """Whether a consent holds on a day, in words."""
    if consent.holds(today):
        return "holds"
    return "not yet" if consent.given_on > today else "ended"


def consent_of(held: Held, player: str) -> str:
    """How it stands with the consent to records of a player's practice."""
    his = [state_of(c, held.today) for c in held.consents if c.player == player]
    return next((s for s in ("holds", "not yet", "ended") if s in his), "none yet")


def detail_lines(*pairs: tuple[str, Any]) -> str:
    """What is read of a row: a line for each thing that is there."""
    said = [
        f"{label}: {value}" if label else str(value)
        for label, value in pairs
        if value not in ("", None)
    ]
    return "\n".join(said)
