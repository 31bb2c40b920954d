"""How the rows of an answer are laid out in a line: for the text table and the terminal program.

A layout names columns and says what kind of cell they make together; it computes nothing. The
words and numbers of a cell come from `wording`, the drawing of an interval is the shower's own.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from ledger.questions import wording
from ledger.questions.answer import Column

Kind = Literal[
    "text",
    "count",
    "rank",
    "made_of",
    "interval",
    "bounds",
    "difference",
    "amount",
    "tenths",
    "share",
    "luck",
    "claim",
    "state",
    "words",
]


@dataclass(frozen=True, slots=True)
class Shown:
    """One column on a screen or in a text table.

    Attributes:
        title: the heading, short.
        kind: what the cell is: text (one column, and its short form where there is one), count
            (one column), rank (shared ranks get a sign), made_of (makes, attempts), interval
            (figure, low, high), bounds (figure, low, high, least, most), difference (of rates,
            with its limits where it has any, in makes per 100), amount (figure, low, high of no
            share), tenths (one figure of no share), share (one share without limits), luck (how
            often luck does as much), claim (shown or not), state (a code in plain words), words (a
            figure or why there is none).
        columns: the columns of the answer it is made from, in the order of its kind.
        why: the column that says why a figure is missing, or empty.
        count: the column with the number behind a rate, which decides its digits, or empty.
        drop: in what order columns leave a narrow screen; 0 never leaves.
    """

    title: str
    kind: Kind
    columns: tuple[str, ...]
    why: str = ""
    count: str = ""
    drop: int = 0


LAYOUTS: Mapping[str, tuple[Shown, ...]] = {
    "ranking": (
        Shown("", "rank", ("rank",)),
        Shown("player", "text", ("player",)),
        Shown("team", "text", ("team",), drop=3),
        Shown("season", "text", ("season", "seasons_shown"), drop=4),
        Shown("made", "made_of", ("made", "attempts"), drop=2),
        Shown("allowing for luck", "interval", ("shrunken_rate", "low", "high"), count="attempts"),
        Shown("technique", "state", ("state",), drop=1),
    ),
    "adopters": (
        Shown("player", "text", ("player",)),
        Shown("team", "text", ("team",), drop=3),
        Shown("season", "text", ("season",)),
        Shown("does it", "state", ("state",)),
        Shown("seen", "made_of", ("focus_tags", "tagged")),
        Shown("share of attempts", "interval", ("share", "low", "high"), count="tagged"),
        Shown("to call it", "words", ("more_tags",), drop=2),
        Shown("watched", "text", ("how_tagged",), drop=1),
    ),
    "uptake": (
        Shown("league", "text", ("league",)),
        Shown("season", "text", ("season",)),
        Shown(
            "share",
            "bounds",
            ("share", "low", "high", "least_share", "most_share"),
            why="share_why",
            count="tagged",
        ),
        Shown("watched", "made_of", ("tagged", "attempts"), drop=1),
        Shown("players", "made_of", ("tagged_players", "players"), drop=2),
        Shown("adopters", "count", ("adopters",), drop=3),
    ),
    "switches": (
        Shown("player", "text", ("player",)),
        Shown("team", "text", ("team",), drop=4),
        Shown("change", "state", ("direction",), drop=3),
        Shown("found", "state", ("finding",), drop=2),
        Shown("from", "text", ("date",), why="date_why"),
        Shown("before", "made_of", ("made_before", "attempts_before")),
        Shown("after", "made_of", ("made_after", "attempts_after")),
        Shown(
            "more per 100",
            "difference",
            ("gain", "gain_low", "gain_high"),
            why="gain_why",
            count="attempts_after",
        ),
        Shown("a rise", "claim", ("claim",), drop=1),
    ),
    "trial": (
        Shown("session", "count", ("session",)),
        Shown("date", "text", ("date",)),
        Shown("technique", "text", ("technique",)),
        Shown("made", "made_of", ("made", "attempts")),
        Shown("rate", "interval", ("rate", "low", "high"), why="counted_why", count="attempts"),
        Shown("not counted", "text", ("counted_why",), drop=1),
    ),
    "watchlist": (
        Shown("game", "text", ("game",)),
        Shown("date", "text", ("date",), drop=3),
        Shown("film", "text", ("video",), why="video_why", drop=2),
        Shown("to watch", "count", ("attempts_to_watch",)),
        Shown("open", "count", ("undecided_players",)),
        Shown("settled so far", "tenths", ("expected_so_far",)),
        Shown("whom", "text", ("watch",), drop=4),
        Shown("for", "text", ("for_tagger",), drop=1),
    ),
    "player": (
        Shown("date", "text", ("date",)),
        Shown("game", "text", ("game",), drop=2),
        Shown("made", "made_of", ("made", "attempts")),
        Shown("technique", "text", ("technique",), drop=1),
        Shown(
            "last 50",
            "interval",
            ("running_rate", "low", "high"),
            why="running_why",
            count="running_attempts",
        ),
    ),
    "misses": (
        Shown("technique", "text", ("technique",)),
        Shown("player", "text", ("player",), why="player_why"),
        Shown("depth", "text", ("depth",)),
        Shown("side", "text", ("side",)),
        Shown("misses", "made_of", ("count", "seen")),
        Shown("share", "interval", ("share", "low", "high"), count="seen"),
    ),
    "agreement": (
        Shown("one", "text", ("tagger_a",)),
        Shown("other", "text", ("tagger_b",)),
        Shown("alike", "made_of", ("alike", "attempts")),
        Shown("beyond chance", "text", ("kappa_shown",), why="kappa_why"),
    ),
    "worth": (
        Shown("trip", "state", ("trip",)),
        Shown("points", "amount", ("points", "low", "high")),
        Shown("made of", "text", ("counted",), drop=2),
        Shown("trips", "count", ("trips",), drop=1),
    ),
    "candidates": (
        Shown("player", "text", ("player",)),
        Shown("team", "text", ("team",), drop=3),
        Shown("allowing for luck", "interval", ("shrunken_rate", "low", "high"), count="attempts"),
        Shown(
            "more per 100",
            "difference",
            ("predicted_gain", "predicted_low", "predicted_high"),
            why="why",
        ),
        Shown("points a season", "amount", ("points_per_season", "points_low", "points_high")),
        Shown("a season", "text", ("attempts_per_season",), drop=1),
        Shown("does it", "state", ("state",), drop=2),
    ),
    "attempts": (
        Shown("attempt", "count", ("attempt",), drop=6),
        Shown("date", "text", ("date",)),
        Shown("game", "text", ("game",), drop=4),
        Shown("player", "text", ("player",)),
        Shown("team", "text", ("team",), drop=3),
        Shown("period", "count", ("period",), drop=5),
        Shown("made", "state", ("made",)),
        Shown("technique", "text", ("technique",)),
        Shown("source", "count", ("source",), drop=2),
    ),
    "sources": (
        Shown("source", "count", ("source",)),
        Shown("file", "text", ("file",)),
        Shown("kind", "text", ("kind",), drop=1),
        Shown("rows", "count", ("rows",)),
        Shown("stored", "count", ("stored",)),
        Shown("refused", "count", ("rejected",)),
        Shown("there", "count", ("already_there",), drop=4),
        Shown("differ", "count", ("contradicting",), drop=4),
        Shown("who", "text", ("who",), drop=3),
        Shown("when", "text", ("when",), drop=2),
        Shown("taken back", "text", ("taken_back",)),
    ),
}

STATE_WORDS = {
    "adopter": "yes",
    "occasional": "now and then",
    "not": "no",
    "undecided": "not called",
    "untagged": "not watched",
    "to_focus": "took it up",
    "from_focus": "gave it up",
    "switch": "found",
    "possible": "possible",
    "declared": "declared",
    "one": "one shot",
    "two": "two shots",
    "three": "three shots",
    "one_and_one": "one-and-one",
    "mix": "as recorded",
    "below_top_line": "below the top line",
    "at_top_line": "at the top line",
    "above_top_line": "above the top line",
    "cannot_tell": "cannot tell",
    "not_seen": "not seen",
    "rate": "make rate",
    "offensive_rebound": "offensive rebounds",
    "per_possession": "points a possession",
    True: "made",
    False: "missed",
}


# Of a share that stands alone: one decimal.
_DETAILED = 100


def usual_layout(columns: Sequence[Column]) -> tuple[Shown, ...]:
    """The layout of a frame that has none of its own: its columns as they come."""
    return tuple(
        Shown(c.title, "count" if c.type == "integer" and c.unit != "year" else "text", (c.name,))
        for c in columns
    )


def cell(shown: Shown, row: Mapping[str, Any], *, tied: bool = False) -> str:
    """The words of one cell; empty columns become a reason or a dash, never nothing.

    Args:
        shown: the column.
        row: the answer's row by column names.
        tied: for a rank, whether others share it.
    """
    values = [row.get(name) for name in shown.columns]
    first = values[0]
    if shown.kind == "rank":
        return "-" if first is None else f"{first}{'=' if tied else ''}"
    if shown.kind == "made_of":
        # Where there is no one count of them, none is made up.
        part = "-" if first is None and values[1] else wording.count(first or 0)
        return f"{part}/{wording.count(values[1] or 0)}"
    if shown.kind == "state":
        return STATE_WORDS.get(first, "-" if first is None else str(first))
    if shown.kind in ("interval", "bounds"):
        return _rate_cell(shown, row, values)
    if shown.kind == "difference" and first is not None:
        limits = [value for value in values[1:] if value is not None]
        return wording.per_hundred(first, *limits) if len(limits) == 2 else wording.signed(first)
    if shown.kind == "share" and first is not None:
        return wording.percent(first, _DETAILED)
    if shown.kind == "luck" and first is not None:
        return wording.by_luck(first)
    if shown.kind == "tenths" and first is not None:
        return f"{first:.1f}"
    if shown.kind == "amount" and first is not None:
        return wording.amount(first, *values[1:3])
    if shown.kind == "claim":
        return "shown" if first else "not shown"
    if first is None:
        why = row.get(shown.why) if shown.why else None
        return str(why) if why else "-"
    if shown.kind == "count":
        return wording.count(first)
    if shown.kind == "text":
        first = next((value for value in reversed(values) if value is not None), first)
    return f"{first:.4g}" if isinstance(first, float) else str(first)


def _rate_cell(shown: Shown, row: Mapping[str, Any], values: list[Any]) -> str:
    figure, low, high = values[:3]
    # Without the number that it rests on a figure has no decimals.
    behind = row.get(shown.count) if shown.count else 100
    number = 10 if behind is None else int(behind)
    if shown.kind == "bounds":
        # The share of a league is weighed over players: no count of so many.
        number = max(number, 10)
    if figure is not None and low is not None:
        return wording.rate_with_interval(figure, low, high, number)
    if figure is not None:
        return wording.rate(figure, number)
    if len(values) == 5 and values[3] is not None:
        return wording.between(values[3], values[4])
    why = row.get(shown.why) if shown.why else None
    return str(why) if why else "-"
