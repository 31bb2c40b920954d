"""How the further frames of an answer are laid out, those that are read beside its rows."""

from __future__ import annotations

from collections.abc import Mapping

from ledger.questions.layout import LAYOUTS, Shown

_RATE = Shown("rate", "interval", ("rate", "low", "high"), count="attempts")
_BY = Shown("by", "text", ("who",), drop=1)
_WRITTEN = Shown("written", "text", ("when",), drop=2)
_GAIN = Shown("more per 100", "difference", ("gain", "gain_low", "gain_high"), why="why")
_MADE = Shown("made", "made_of", ("made", "attempts"))

_DISPUTED = (
    Shown("attempt", "count", ("attempt",), drop=1),
    Shown("player", "text", ("player",)),
    Shown("told differently", "text", ("values",)),
    Shown("of", "text", ("field",), drop=4),
    Shown("date", "text", ("date",), drop=2),
    Shown("game", "text", ("game",), drop=3),
)

# By the question and the name of the frame.
PART_LAYOUTS: Mapping[str, tuple[Shown, ...]] = {
    "player.by_season": (
        Shown("season", "text", ("season",)),
        Shown("league", "text", ("league",), drop=4),
        Shown("team", "text", ("team",), drop=3),
        _MADE,
        _RATE,
        Shown("seen doing it", "made_of", ("focus_tags", "tagged"), drop=1),
        Shown("does it", "state", ("state",), drop=2),
    ),
    "player.by_technique": (
        Shown("technique", "text", ("technique",)),
        _MADE,
        _RATE,
        Shown("first seen", "text", ("first",), drop=2),
        Shown("last seen", "text", ("last",), drop=1),
    ),
    "player.switches": tuple(
        shown for shown in LAYOUTS["switches"] if shown.columns[0] not in ("player", "team")
    ),
    "player.misses": tuple(s for s in LAYOUTS["misses"] if s.columns[0] != "player"),
    "player.notes": (
        Shown("about", "text", ("date",), drop=3),
        Shown("note", "text", ("text",)),
        _BY,
        _WRITTEN,
    ),
    "player.decisions": (
        Shown("decision", "text", ("choice",)),
        Shown("why", "text", ("why",)),
        Shown("look again", "text", ("review",)),
        _BY,
        _WRITTEN,
    ),
    "attempts.by_season": (
        Shown("league", "text", ("league",)),
        Shown("season", "text", ("season",)),
        Shown("watched", "made_of", ("tagged", "attempts")),
    ),
    "sources.refused": (
        Shown("source", "count", ("source",)),
        Shown("line", "count", ("line",)),
        Shown("column", "text", ("column",)),
        Shown("value", "text", ("value",), drop=1),
        Shown("why", "text", ("reason",)),
        Shown("what to do", "text", ("fix",), drop=2),
    ),
    "sources.journal": (
        Shown("when", "text", ("when",)),
        Shown("who", "text", ("who",), drop=3),
        Shown("what", "text", ("what",)),
        Shown("of", "text", ("of",), drop=2),
        Shown("field", "text", ("field",)),
        Shown("was", "text", ("was",), drop=1),
        Shown("is", "text", ("is",)),
        Shown("why", "text", ("why",), drop=4),
        Shown("source", "count", ("source",), drop=5),
    ),
    "switches.tried": (
        Shown("player", "text", ("player",)),
        Shown("league", "text", ("league",), drop=2),
        Shown("seen doing it", "made_of", ("focus_tags", "tagged")),
        Shown("made so", "made_of", ("made", "focus_tags"), drop=1),
        Shown("first", "text", ("first",)),
        Shown("last", "text", ("last",)),
    ),
    "switches.drift": (
        Shown("player", "text", ("player",)),
        Shown("season", "text", ("season",), drop=2),
        Shown("others", "count", ("controls",), drop=1),
        _GAIN,
    ),
    "switches.earlier": (
        Shown("player", "text", ("player",)),
        Shown("season", "text", ("season",), drop=2),
        Shown("before", "made_of", ("made_before", "attempts_before"), drop=1),
        Shown("after", "made_of", ("made_after", "attempts_after"), drop=1),
        Shown("more per 100", "difference", ("gain", "gain_low", "gain_high")),
    ),
    "switches.judged": (
        Shown("player", "text", ("player",)),
        Shown("watched", "made_of", ("tagged", "attempts")),
        Shown("why not looked for", "text", ("why",)),
    ),
    "misses.rebound_zones": (
        Shown("technique", "text", ("technique",)),
        Shown("zone", "text", ("zone",)),
        Shown("rebounds", "made_of", ("count", "seen")),
        Shown("share", "interval", ("share", "low", "high"), count="seen"),
    ),
    "misses.zones": (
        Shown("technique", "text", ("technique",)),
        Shown("missed", "text", ("miss_side",)),
        Shown("zone", "text", ("zone",)),
        Shown("rebounds", "made_of", ("count", "seen")),
        Shown("share", "interval", ("share", "low", "high"), count="seen"),
    ),
    "misses.rebounds": (
        Shown("technique", "text", ("technique",)),
        Shown("offence", "made_of", ("offensive", "live_misses")),
        Shown("share", "interval", ("share", "low", "high"), why="share_why", count="live_misses"),
        Shown("not noted", "count", ("not_noted",), drop=2),
        Shown("dead", "count", ("dead",), drop=1),
    ),
    "misses.contact": (
        Shown("technique", "text", ("technique",)),
        Shown("met the board", "state", ("contact_height",)),
        Shown("falling", "state", ("down_at_board",)),
        _MADE,
        _RATE,
    ),
    "misses.tests": (
        Shown("what", "text", ("what",)),
        Shown("of these", "made_of", ("focus_count", "focus_misses"), drop=2),
        Shown("of those", "made_of", ("other_count", "other_misses"), drop=2),
        Shown("more per 100", "difference", ("difference", "low", "high"), why="difference_why"),
        Shown("by luck", "luck", ("p_holm",), why="p_why", drop=1),
    ),
    "agreement.disputed": _DISPUTED,
    "agreement.disputed_misses": _DISPUTED,
    "worth.break_even": (
        Shown("trip", "state", ("trip",)),
        Shown("a foul pays below", "share", ("rate",), why="why"),
        Shown("chance that he is below", "share", ("chance_below",), why="why", drop=1),
    ),
    "worth.known": (
        Shown("what", "state", ("what",)),
        Shown("value", "amount", ("value", "low", "high"), why="given"),
        Shown("counted", "made_of", ("count", "of"), drop=1),
        Shown("from", "text", ("given",)),
    ),
    "candidates.assumed": (
        Shown("player", "text", ("player",)),
        Shown("if he gained, per 100", "difference", ("gain",)),
        Shown("points a season", "amount", ("points_per_season",), why="why"),
        Shown("a season", "tenths", ("attempts_per_season",), drop=1),
    ),
    "candidates.pooled": (
        Shown("players who changed", "count", ("players",)),
        _GAIN,
        Shown("odds ratio", "amount", ("odds_ratio", "low", "high"), why="why", drop=1),
    ),
    "candidates.prior": (
        Shown("league", "text", ("league",)),
        Shown("season", "text", ("season",)),
        Shown("common make rate", "share", ("mean",), why="a_why"),
        Shown("players", "count", ("rows",)),
    ),
    "watchlist.players": (
        Shown("player", "text", ("player",)),
        Shown("team", "text", ("team",), drop=3),
        Shown("season", "text", ("season",)),
        Shown("does it", "state", ("state",), drop=1),
        Shown("seen doing it", "made_of", ("focus_tags", "tagged")),
        Shown("unwatched", "count", ("unwatched",), drop=2),
        Shown("more to call it", "text", ("more_tags",), why="why"),
    ),
    "watchlist.second_opinions": (
        Shown("attempt", "count", ("attempt",), drop=3),
        Shown("date", "text", ("date",)),
        Shown("game", "text", ("game",)),
        Shown("player", "text", ("player",)),
        Shown("period", "count", ("period",), drop=1),
        Shown("film", "text", ("video",), drop=2),
        Shown("for", "text", ("for_tagger",)),
    ),
    "trial.games": (
        Shown("season", "text", ("season",)),
        Shown("league", "text", ("league",), drop=2),
        Shown("technique", "text", ("technique",)),
        _MADE,
        _RATE,
    ),
    "trial.arc": (
        Shown("technique", "text", ("technique",)),
        Shown("measured", "made_of", ("measured", "attempts")),
        Shown("mean angle", "tenths", ("mean_deg",), why="why"),
        Shown("spread", "tenths", ("sd_deg",), drop=1),
        Shown("lowest", "tenths", ("least_deg",), drop=2),
        Shown("highest", "tenths", ("most_deg",), drop=2),
    ),
    "trial.misses": tuple(s for s in LAYOUTS["misses"] if s.columns[0] != "player"),
    "trial.plan": (
        Shown("session", "count", ("session",)),
        Shown("block", "count", ("block",)),
        Shown("technique", "text", ("technique",)),
        Shown("attempts", "count", ("attempts",)),
    ),
}
