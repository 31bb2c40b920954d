"""What was decided and what was noted."""

from __future__ import annotations

from ledger.questions.wording import counted
from tui.listed.cells import (
    LONG,
    again_column,
    again_words,
    by_words,
    column,
    day_words,
    detail_lines,
)
from tui.listed.held import Held, Key, Part, review_words
from tui.widgets.columns import EARLY


def decisions(held: Held, key: Key) -> Part:
    """What was decided: reviews that are due first, what was replaced last."""
    due = {d.number for d in held.due}
    standing = [d for d in reversed(held.decisions) if d.stands and d.number not in due]
    replaced = [d for d in reversed(held.decisions) if not d.stands]
    rows = tuple(
        {
            "title": d.player, "player": d.player, "league": d.league,
            "decided": d.choice if d.stands else f"{d.choice} (replaced)",
            "again": again_words(d, due), "why": d.why, "who": d.who, "when": day_words(d.at_time),
            "due": d.number in due, "source": d.source,
            "details": detail_lines(
                ("League", d.league), ("Decided", d.choice), ("Because", d.why),
                ("Look again", again_words(d, due)), ("Written down", by_words(d.who, d.at_time)),
                ("", "" if d.stands else "Something else was decided since."),
                ("Source", d.source),
            ),
        }
        for d in (*held.due, *standing, *replaced)
    )  # fmt: skip
    said = "Nothing is decided yet: try, wait or stop."
    if rows:
        stand = counted(len(standing) + len(due), "decision")
        said = f"{review_words(held.due) or 'No review is due'}; {stand} in force."
    helps = (
        f"enter reads why, {key('decide')} decides anew about the chosen player: that ends its "
        "review."
    )
    columns = (
        column("player", "player", least=8),
        column("decided", "decided", least=4),
        again_column(),
        column("why", "why", least=8, most=LONG, drop=1),
        column("when", "decided on", least=10, drop=EARLY + 1),
        column("who", "by", drop=EARLY + 3),
        column("league", "league", drop=EARLY + 2),
    )
    return Part("decisions", said, helps, rows, columns, "decision")


def notes(held: Held, key: Key) -> Part:
    """What was noted, the last first."""
    rows = tuple(
        {
            "title": n["player"] or "A note", "player": n["player"] or "",
            "league": n["league"] or "", "day": day_words(n["date"]), "text": n["said"],
            "who": n["who"], "when": day_words(n["when"]), "source": n["source"],
            "details": detail_lines(
                ("", n["said"]), ("League", n["league"]), ("The day it is about", n["date"]),
                ("Written", by_words(n["who"], n["when"])), ("Source", n["source"]),
            ),
        }
        for n in reversed(held.notes)
    )  # fmt: skip
    said = "No note yet: what a number cannot say."
    if rows:
        said = f"{counted(len(rows), 'note')}, the last first: what a number cannot say."
    helps = f"enter reads it whole, {key('note')} writes one about the chosen player."
    columns = (
        column("player", "player", least=8),
        column("text", "note", least=12, most=LONG),
        column("day", "about", least=10, drop=3),
        column("when", "written", least=10, drop=EARLY + 1),
        column("who", "by", drop=EARLY + 3),
        column("league", "league", drop=EARLY + 2),
    )
    return Part("notes", said, helps, rows, columns, "note")
