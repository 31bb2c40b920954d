"""What the ledger holds, in lines for the contents and the top line; nothing is counted here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tui import figures

if TYPE_CHECKING:
    from ledger.store.reads import Contents, Rumour, SourceLine


@dataclass(frozen=True, slots=True)
class Holdings:
    """The facts of a ledger as the screens say them.

    Attributes:
        attempts: attempts in the ledger.
        tagged: of those, attempts with a technique.
        lines: what it holds, one thing a line.
        has_rumour: whether the rumour is noted.
    """

    attempts: int
    tagged: int
    lines: tuple[str, ...]
    has_rumour: bool

    def short(self) -> str:
        """One line for the top of every screen."""
        if not self.attempts:
            return "empty"
        return f"{figures.count(self.attempts)} attempts, {figures.count(self.tagged)} watched"

    def next_step(self) -> str:
        """What to do next."""
        if not self.attempts:
            return "Next: i brings in a file; `offglass demo` makes an invented example."
        if not self.tagged:
            return (
                "Next: nobody has watched yet. `offglass lot` draws players to watch, i brings "
                "in their tags."
            )
        if not self.has_rumour:
            return (
                "Next: `offglass rumour` notes what raised the question, so that it proves nothing."
            )
        return "Next: choose a question; `offglass lot` draws more players to watch."


def holdings_of(facts: Contents) -> Holdings:
    """The holdings from what the book says about its contents."""
    leagues = list(dict.fromkeys(row.league for row in facts.leagues))
    seasons = sorted({(row.start_year, row.season) for row in facts.leagues})
    if not facts.sources:
        return Holdings(0, 0, ("The ledger is empty.",), bool(facts.rumours))
    span = [label for _, label in dict.fromkeys((seasons[0], seasons[-1]))] if seasons else []
    more = ((facts.totals, "season total"), (facts.practice, "practice attempt"))
    parts = [
        figures.listed(leagues),
        " to ".join(span),
        figures.plural(facts.players, "player"),
        figures.plural(facts.games, "game"),
        *(figures.plural(number, one) for number, one in more if number),
    ]
    lines = [", ".join(part for part in parts if part)]
    lines += [_rumour_words(rumour) for rumour in facts.rumours[:1]]
    lines += [_source_words(source) for source in facts.last_sources[:1]]
    return Holdings(facts.attempts, facts.tagged, tuple(lines), bool(facts.rumours))


def _rumour_words(rumour: Rumour) -> str:
    about = ", ".join(p for p in (rumour.player, rumour.league, rumour.season) if p)
    return f"Rumour: {rumour.text} ({about})"


def _source_words(source: SourceLine) -> str:
    back = ", taken back" if source.taken_back else ""
    return (
        f"Last in: source {source.number}, {source.file}, by {source.who}, {source.when[:16]}{back}"
    )
