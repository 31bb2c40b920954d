"""The rows of a player's page: their columns, each described once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import date
from typing import TYPE_CHECKING, Any

from ledger.questions import columns
from ledger.questions.answer import Column
from ledger.questions.player_seasons import joined
from ledger.stats.intervals import wilson

if TYPE_CHECKING:
    from ledger.questions.answer import Part
    from ledger.questions.player import Found
    from ledger.store.notes import Decision, Note

_LOW = columns.share("low", "Low", "Lower limit of the rate (Wilson, 95 %)")
_HIGH = columns.share("high", "High", "Upper limit of the rate (Wilson, 95 %)")
_RATE = columns.share("rate", "Rate", "Makes of attempts")


def _day(name: str, title: str, description: str) -> Column:
    return Column(name, title, "date", "", description)


COLUMNS = (
    _day("date", "Date", "Day of the game"),
    columns.text("game", "Game", "The game's label, or its teams"),
    columns.number_of("made", "Made", "makes", "Makes in this game"),
    columns.text("technique", "Technique", "Seen in this game; empty where nobody could tell"),
    columns.share("running_rate", "Running rate", "Made of the last 50 attempts up to this game"),
    columns.share("low", "Low", "Lower limit of it (Wilson, 95 %); a description"),
    columns.share("high", "High", "Upper limit of it (Wilson, 95 %); a description"),
    columns.number_of("attempts", "Attempts", "attempts", "Attempts in this game"),
    columns.number_of("running_attempts", "Of", "attempts", "Attempts behind the running rate"),
    columns.text("running_why", "Why none", "Why there is no running rate"),
    columns.number_of(
        "tagged", "Watched", "attempts", "Attempts of this game whose technique is known"
    ),
    columns.LEAGUE,
    columns.SEASON,
    columns.TEAM,
    columns.FOCUS_TAGS,
)
FACTS_COLUMNS = (
    columns.PLAYER,
    columns.TEAM,
    columns.LEAGUE,
    columns.text("position", "Position", "In the league's own word"),
    columns.figure("height_cm", "Height", "cm", "Height; empty where no file says it"),
    columns.figure("mass_kg", "Mass", "kg", "Mass; empty where no file says it"),
    columns.number_of("birth_year", "Born", "year", "Year of birth; empty where no file says it"),
    columns.text("hand", "Hand", "The hand he shoots with; empty where no file says it"),
    columns.number_of("seasons", "Seasons", "seasons", "League-seasons in the cohort"),
    columns.number_of("games", "Games", "games", "Games with an attempt"),
    columns.MADE,
    columns.ATTEMPTS,
    _RATE,
    _LOW,
    _HIGH,
    columns.TAGGED,
    columns.COVERAGE,
    columns.number_of(
        "unclear", "Could not be told", "attempts", "Looked at, and not to be told or not on film"
    ),
    columns.number_of(
        "disputed", "Told differently", "attempts", "Looked at, by people who differ"
    ),
    columns.text("unknown_why", "Not known", "Which facts no file tells"),
)
TECHNIQUE_COLUMNS = (
    columns.text("technique", "Technique", "The agreed one"),
    columns.number_of("made", "Made", "makes", "Makes with it, watched attempts of games only"),
    columns.number_of("attempts", "Attempts", "attempts", "Watched attempts with it"),
    _RATE,
    _LOW,
    _HIGH,
    _day("first", "First", "First day it was seen"),
    _day("last", "Last", "Last day it was seen"),
)
SEASON_COLUMNS = (
    columns.LEAGUE,
    columns.SEASON,
    columns.TEAM,
    columns.MADE,
    columns.ATTEMPTS,
    _RATE,
    _LOW,
    _HIGH,
    columns.TAGGED,
    columns.COVERAGE,
    columns.FOCUS_TAGS,
    columns.share("share", "Share", "Of his watched attempts of the season, with the technique"),
    columns.STATE,
    columns.text("share_why", "Why no share", "Why there is neither share nor state"),
    columns.START_YEAR,
)
NOTE_COLUMNS = (
    _day("date", "Date", "The day it is about; empty where none was named"),
    columns.text("text", "Note", "What was written"),
    columns.text("who", "By", "Who wrote it"),
    columns.text("when", "When", "When it was written (UTC)"),
    columns.number_of("source", "Source", "", "What to take back"),
)
DECISION_COLUMNS = (
    columns.text("choice", "Decision", "try, wait or stop"),
    columns.text("why", "Why", "The reason"),
    _day("review", "Look again", "When to look again; empty where none was set"),
    Column("due", "Due", "boolean", "", "That day is not after the ledger's last source"),
    columns.text("who", "By", "Who decided"),
    columns.text("when", "When", "When it was written (UTC)"),
    columns.number_of("source", "Source", "", "What to take back"),
)
_BODY = {
    "position": "position",
    "height_cm": "height",
    "mass_kg": "mass",
    "birth_year": "birth year",
    "hand": "hand",
}


def facts(known: Mapping[str, Any], found: Found) -> Part:
    """One row: who he is, and his figures over the cohort, season totals filled in."""
    seasons = found.seasons
    made, attempts = int(seasons["made"].sum()), int(seasons["attempts"].sum())
    tagged = int(seasons["tagged"].sum())
    missing = [word for name, word in _BODY.items() if known[name] is None]
    teams = found.attempts.select(joined("team")).item() if found.attempts.height else None
    row = {
        **known,
        "league": known["leagues"],
        "team": teams,
        "seasons": seasons.height,
        "games": found.games.height,
        "made": made,
        "attempts": attempts,
        "tagged": tagged,
        "coverage": tagged / attempts if attempts else None,
        **{name: int(found.table.rows[name].sum()) for name in ("unclear", "disputed")},
        "unknown_why": f"no file tells {', '.join(missing)}" if missing else None,
        **_rate(made, attempts),
    }
    return columns.part(FACTS_COLUMNS, [row])


def by_season(found: Found) -> Part:
    """His league-seasons in order of year."""
    rows = [
        {
            **row,
            **_rate(row["made"], row["attempts"]),
            "coverage": row["tagged"] / row["attempts"],
            "share_why": row["refused"] or ("no watched attempt" if row["share"] is None else None),
        }
        for row in found.seasons.sort("start_year", "season", "league").iter_rows(named=True)
    ]
    return columns.part(SEASON_COLUMNS, rows)


def notes(there: Sequence[Note]) -> Part:
    """What was written about him."""
    return columns.part(NOTE_COLUMNS, [_written(asdict(note)) for note in there])


def decisions(there: Sequence[Decision], day: date | None) -> Part:
    """What was decided about him, with what is due on the day of the ledger's last source."""
    rows = [
        {
            **_written(asdict(made)),
            "due": made.review is not None and day is not None and made.review <= day,
        }
        for made in there
    ]
    return columns.part(DECISION_COLUMNS, rows)


def _written(row: dict[str, Any]) -> dict[str, Any]:
    return {**row, "when": f"{row['at_time']:%Y-%m-%d %H:%M:%S}"}


def _rate(made: int, attempts: int) -> dict[str, float | None]:
    if not attempts:
        return {"rate": None, "low": None, "high": None}
    limits = wilson(made, attempts)
    return {"rate": made / attempts, "low": limits.low, "high": limits.high}
