"""What the ledger holds, in lines for the contents and the top line; nothing is counted here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ledger.questions.wording import count, counted, percent, shot_words
from ledger.safe_text import cut, safe, width
from tui import figures

if TYPE_CHECKING:
    from ledger.store.reads import Contents, LeagueHeld, LeagueSeason, Rumour, SourceLine
    from tui.visits import Visit

# How much of a season is watched, in eighths; a dot where nothing is.
_PARTS = "▁▂▃▄▅▆▇█"
_NAME = 24


@dataclass(frozen=True, slots=True)
class Holdings:
    """The facts of a ledger as the screens say them.

    Attributes:
        attempts: attempts in the ledger.
        tagged: of those, attempts with a technique.
        coverage: their share.
        lines: what it holds, one thing a line.
        leagues: a line for each league: how much of each season is watched.
        has_rumour: whether the rumour is noted.
    """

    attempts: int
    tagged: int
    coverage: float
    lines: tuple[str, ...]
    leagues: tuple[str, ...]
    has_rumour: bool

    def short(self) -> str:
        """One line for the top of every screen."""
        if not self.attempts:
            return "empty"
        watched = percent(self.coverage, self.attempts)
        return f"{counted(self.attempts, 'attempt')}, {watched} watched"

    def next_step(self, key: Callable[[str], str]) -> str:
        """What to do next.

        Args:
            key: gives the key of an action.
        """
        add, lists = key("intake"), key("lists")
        if not self.attempts:
            return f"Next: {add} adds a file; `offglass demo` makes an invented example."
        if not self.tagged:
            return (
                f"Next: nobody has watched yet. Lists ({lists}) draw players to watch, "
                f"{key('watch')} watches them, {add} adds tags from a file."
            )
        if not self.has_rumour:
            return (
                f"Next: Lists ({lists}) keep what raised the question, so that it proves nothing."
            )
        return f"Next: enter or a digit asks a question; Lists ({lists}) draw players to watch."

    def ways(self, key: Callable[[str], str]) -> str:
        """How records and tags are made.

        Args:
            key: gives the key of an action.
        """
        if not self.attempts:
            return f"No file: {key('scoresheet')} types a game in, by hand."
        return (
            f"{key('watch')} watches film and tags it, {key('scoresheet')} types a game in, "
            f"{key('intake')} brings in a file."
        )


def holdings_of(facts: Contents, seen: Visit | None = None) -> Holdings:
    """The holdings from what the book says about its contents.

    Args:
        facts: what it holds now.
        seen: what it held when this user last left it.
    """
    leagues = list(dict.fromkeys(row.league for row in facts.leagues))
    seasons = sorted({(row.start_year, row.season) for row in facts.leagues})
    if not facts.sources:
        return Holdings(0, 0, 0.0, ("The ledger is empty.",), (), bool(facts.rumours))
    span = [label for _, label in dict.fromkeys((seasons[0], seasons[-1]))] if seasons else []
    more = ((facts.totals, "season total"), (facts.practice, "practice attempt"))
    parts = [
        figures.listed(leagues),
        " to ".join(span),
        counted(facts.players, "player"),
        counted(facts.games, "game"),
        *(counted(number, one) for number, one in more if number),
    ]
    lines = [", ".join(part for part in parts if part)]
    lines += [_rumour_words(rumour) for rumour in facts.rumours[:1]]
    news = _news(facts, seen)
    lines += news or [f"Last in: {_source_words(source)}" for source in facts.last_sources[:1]]
    return Holdings(
        facts.attempts,
        facts.tagged,
        facts.coverage,
        tuple(lines),
        _league_lines(facts),
        bool(facts.rumours),
    )


def _rumour_words(rumour: Rumour) -> str:
    about = ", ".join(p for p in (rumour.player, rumour.league, rumour.season) if p)
    return f"Rumour: {rumour.text} ({about})"


def _source_words(source: SourceLine) -> str:
    back = ", taken back" if source.taken_back else ""
    return f"source {source.number}, {source.file}, by {source.who}, {source.when[:16]}{back}"


def _news(facts: Contents, seen: Visit | None) -> list[str]:
    """What has come since the last visit, nothing where nothing has or there was none."""
    if seen is None or seen.changes == facts.changes:
        return []
    since = f"since your last visit ({seen.day})"
    new = [source for source in facts.last_sources if source.number > seen.source]
    if not new:
        return [f"Changed {since}: the journal on Sources (s) says what."]
    # Only the newest are known one by one.
    many = "" if len(new) == 1 else " and others before it (s lists them)"
    return [f"New {since}: {_source_words(new[0])}{many}"]


def _league_lines(facts: Contents) -> tuple[str, ...]:
    held = facts.by_league()
    years = sorted({row.start_year for row in facts.leagues})
    if not years:
        return ()
    names = [_name(one) for one in held]
    wide = max(map(width, names))
    span = range(years[0], years[-1] + 1)
    lines = [f"Watched of each season, {years[0]} to {years[-1]} (· nothing, █ all):"]
    for one, name in zip(held, names, strict=True):
        by_year = {row.start_year: row for row in one.seasons}
        strip = "".join(_part(by_year.get(year)) for year in span)
        words = shot_words([one.shot], one.attempts)
        watched = percent(one.coverage, one.attempts)
        gap = " " * (wide - width(name))
        lines.append(f"  {name}{gap}  {strip}  {count(one.attempts)} {words}, {watched} watched")
    return tuple(lines)


def _name(one: LeagueHeld) -> str:
    return cut(safe(one.league), _NAME)


def _part(season: LeagueSeason | None) -> str:
    if season is None:
        return " "
    if not season.tagged:
        return "·"
    return _PARTS[min(7, 8 * season.tagged // season.attempts)]
