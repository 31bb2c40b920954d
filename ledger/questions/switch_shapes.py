"""The rows of switches and of its further frames: their columns, each described once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from math import exp
from typing import TYPE_CHECKING, Any

from ledger.questions import columns
from ledger.questions.answer import Column
from ledger.stats.pooled_change import LEAST_PLAYERS

if TYPE_CHECKING:
    from ledger.questions.answer import Part
    from ledger.questions.switch_finding import Judged
    from ledger.questions.switch_pool import Pool
    from ledger.questions.switches import Effect

NO_POOL = f"fewer than {LEAST_PLAYERS} players changed: no pooled effect"


def _day(name: str, title: str, description: str) -> Column:
    return Column(name, title, "date", "", description)


def _flag(name: str, title: str, description: str) -> Column:
    return Column(name, title, "boolean", "", description)


_GAIN = (
    columns.share("gain", "Gain", "Difference of rates, the bad start taken out"),
    columns.share("gain_low", "Gain low", "Lower limit of it, 95 %"),
    columns.share("gain_high", "Gain high", "Upper limit of it, 95 %"),
    columns.share("chance_of_gain", "Chance of a gain", "Posterior chance that it is above 0"),
)
_EXPECTED = (
    columns.figure("expected_after", "Expected", "makes", "Makes after it, had nothing changed"),
    columns.figure("expected_low", "Expected low", "makes", "Lower end of the range of 95 %"),
    columns.figure("expected_high", "Expected high", "makes", "Upper end of the range of 95 %"),
    columns.share("surprise", "Surprise", "Chance of more makes than seen, had nothing changed"),
)
MAIN = (
    columns.PLAYER,
    columns.text("team", "Team", "Team of the first game after the change"),
    columns.LEAGUE,
    columns.number_of("number", "Change", "", "1 for his first change here, 2 for the next"),
    columns.text("direction", "Direction", "to_focus or from_focus"),
    columns.text(
        "finding",
        "Finding",
        "switch, possible (he may mix from game to game) or declared (somebody said so)",
    ),
    columns.text("shape", "Shape", "sharp, gradual, or unclear where it cannot be told"),
    _day("date", "Date", "First game after the likeliest place of the change"),
    _day("date_low", "Not before", "Last game before the range that holds it with 90 %"),
    _day("date_high", "Not after", "First game after that range"),
    columns.text("season", "Season", "Season of the change"),
    _flag("over_summer", "Over the summer", "Before the season's tenth attempt"),
    columns.figure("log_evidence", "Evidence", "", "Changes over no change, in natural logs"),
    columns.share("shuffle_p", "By mixing", "How often his games shuffled look as much like it"),
    columns.share("share_before", "Share before", "Of watched attempts before, with the technique"),
    columns.share("share_after", "Share after", "Of watched attempts after, with the technique"),
    columns.number_of("made_before", "Made before", "makes", "Makes before the range"),
    columns.number_of("attempts_before", "Attempts before", "attempts", "Attempts before it"),
    columns.share("rate_before", "Rate before", "Makes of them"),
    columns.number_of("made_after", "Made after", "makes", "Makes behind the range, same season"),
    columns.number_of("attempts_after", "Attempts after", "attempts", "Attempts behind it"),
    columns.share("rate_after", "Rate after", "Makes of them"),
    columns.number_of("left_out", "Left out", "attempts", "Attempts inside the range of dates"),
    columns.share("raw_gain", "Raw rise", "Difference of rates; includes luck and bad start"),
    columns.share("raw_low", "Raw low", "Lower limit of it, 95 %"),
    columns.share("raw_high", "Raw high", "Upper limit of it, 95 %"),
    *_EXPECTED,
    columns.figure(
        "bad_start_points",
        "Bad start",
        "makes per 100",
        "Part of the raw rise that his bad start explains",
    ),
    *_GAIN,
    _flag("claim", "Rose", "The gain is above 0 with 97.5 %, also with the league's drift out"),
    columns.number_of(
        "attempts_needed", "Needed", "attempts", "Attempts after it that would show the difference"
    ),
    columns.number_of(
        "placebo_players", "Comparable", "players", "Who started as badly and changed nothing"
    ),
    columns.number_of("placebo_as_much", "Rose as much", "players", "Of them, who rose as much"),
    columns.number_of("attempts", "Attempts", "attempts", "All his attempts here"),
    columns.TAGGED,
    columns.COVERAGE,
    columns.text("date_why", "Why no date", "Why there is no date"),
    columns.text("log_evidence_why", "Why no evidence", "Why no evidence is given"),
    columns.text("gain_why", "Why not judged", "Why the change is not judged"),
    columns.text("claim_why", "Why no claim", "Why nothing is claimed whatever the figures are"),
    columns.text("attempts_needed_why", "Why no number", "Why no number is given"),
    columns.text("placebo_why", "Why nobody to compare", "Why nobody is compared"),
    columns.START_YEAR,
    columns.share("before_low", "Before low", "Lower limit of the rate before (Wilson, 95 %)"),
    columns.share("before_high", "Before high", "Upper limit of the rate before (Wilson, 95 %)"),
    columns.share("after_low", "After low", "Lower limit of the rate after (Wilson, 95 %)"),
    columns.share("after_high", "After high", "Upper limit of the rate after (Wilson, 95 %)"),
)
POOLED = (
    columns.number_of("players", "Players", "players", "Players whose changes are taken together"),
    columns.figure("odds_ratio", "Odds ratio", "", "exp of the mean effect on the logit scale"),
    columns.figure("low", "Low", "", "Lower limit of it, 95 %"),
    columns.figure("high", "High", "", "Upper limit of it, 95 %"),
    columns.share("chance_above_1", "Chance above 1", "Posterior chance that it is above 1"),
    columns.figure("new_player_low", "New player low", "", "Odds ratio of a new player, low"),
    columns.figure("new_player_high", "New player high", "", "Odds ratio of a new player, high"),
    columns.figure("tau", "Spread", "", "How far players differ, on the logit scale"),
    columns.share("gain", "Gain", "As a difference of rates at the mean level of their leagues"),
    columns.share("gain_low", "Gain low", "Lower limit of it, 95 %"),
    columns.share("gain_high", "Gain high", "Upper limit of it, 95 %"),
    columns.figure("naive_odds_ratio", "Naive odds ratio", "", "Usual pooling: bad start included"),
    columns.figure("q", "Q", "", "Heterogeneity of the naive pooling"),
    columns.share("i2", "I²", "Share of its variation that is not chance"),
    columns.share("new_player_chance", "New player gains", "Chance that a new player gains"),
    columns.text("why", "Why none", "Why there is no pooled effect"),
)
EARLIER = (
    columns.PLAYER,
    columns.SEASON,
    columns.number_of("number", "Change", "", "Which of his changes"),
    columns.number_of("made_before", "Made before", "makes", "Makes in all seasons before it"),
    columns.number_of("attempts_before", "Attempts before", "attempts", "Attempts before it"),
    columns.share("rate_before", "Rate before", "Makes of them"),
    columns.number_of("made_after", "Made after", "makes", "Makes behind the range"),
    columns.number_of("attempts_after", "Attempts after", "attempts", "Attempts behind it"),
    *_EXPECTED,
    *_GAIN,
)
DRIFT = (
    columns.PLAYER,
    columns.SEASON,
    columns.number_of("number", "Change", "", "Which of his changes"),
    columns.number_of("controls", "Controls", "players", "Who changed nothing, both sides known"),
    columns.figure("odds_ratio", "Odds ratio", "", "Theirs, after over before"),
    columns.figure("low", "Low", "", "Lower limit of it, 95 %"),
    columns.figure("high", "High", "", "Upper limit of it, 95 %"),
    *_GAIN,
    columns.text("why", "Why none", "Why the drift is not taken out"),
)
TRIED = (
    columns.PLAYER,
    columns.number_of("focus_tags", "Times", "attempts", "Watched attempts with the technique"),
    columns.number_of("made", "Made", "makes", "Makes of them"),
    _day("first", "First", "First game he was seen doing it"),
    _day("last", "Last", "Last game he was seen doing it"),
    _flag("went_back", "Went back", "He was watched afterwards and did not do it"),
    columns.LEAGUE,
    columns.TAGGED,
)
JUDGED = (
    columns.PLAYER,
    columns.TAGGED,
    _flag("judged", "Judged", "Whether a change was looked for"),
    columns.text("why", "Why not", "Why no change was looked for"),
    columns.number_of("attempts", "Attempts", "attempts", "All his attempts here"),
    columns.COVERAGE,
)


def main(rows: Iterable[Mapping[str, Any]]) -> Part:
    """One row a change."""
    return columns.part(MAIN, rows)


def pooled(pool: Pool | None) -> Part:
    """One row: the effect over several players, or why there is none."""
    if pool is None or pool.found is None or pool.gain is None or pool.naive is None:
        none = {"players": pool.players if pool else 0, "why": NO_POOL}
        return columns.part(POOLED, [none])
    found = pool.found
    row = {
        "players": found.players,
        "odds_ratio": exp(found.mean),
        "low": exp(found.low),
        "high": exp(found.high),
        "chance_above_1": found.chance,
        "new_player_low": exp(found.new_low),
        "new_player_high": exp(found.new_high),
        "new_player_chance": found.new_chance,
        "tau": found.tau,
        "gain": pool.gain.mean,
        "gain_low": pool.gain.low,
        "gain_high": pool.gain.high,
        "naive_odds_ratio": exp(pool.naive.mean),
        "q": pool.naive.q,
        "i2": pool.naive.i2,
    }
    return columns.part(POOLED, [row])


def earlier(effects: Sequence[Effect]) -> Part:
    """Each judged change again, all seasons before it on its first side."""
    rows = []
    for effect in effects:
        more = effect.earlier
        if more is None:
            continue
        made = more.expected
        rows.append(
            {
                **_named(effect),
                "made_before": more.made,
                "attempts_before": more.attempts,
                "rate_before": more.made / more.attempts,
                "made_after": effect.sides.made_after,
                "attempts_after": effect.sides.attempts_after,
                "expected_after": made.mean,
                "expected_low": made.low,
                "expected_high": made.high,
                "surprise": made.surprise,
                **_gained(more.gain),
            }
        )
    return columns.part(EARLIER, rows)


def drift(effects: Sequence[Effect]) -> Part:
    """Each judged change again, the league's drift taken out."""
    rows = []
    for effect in effects:
        moved = effect.moved
        if moved is None:
            continue
        row = {
            **_named(effect),
            "controls": moved.controls,
            "odds_ratio": moved.odds_ratio,
            "low": moved.low,
            "high": moved.high,
        }
        if moved.gain is None:
            row["why"] = "fewer than 10 players to tell the league's drift by"
        else:
            row |= _gained(moved.gain)
        rows.append(row)
    return columns.part(DRIFT, rows)


def tried(rows: Iterable[Mapping[str, Any]]) -> Part:
    """Who was seen doing it a few times."""
    return columns.part(TRIED, rows)


def judged(players: Iterable[Judged]) -> Part:
    """In whose games a change was looked for."""
    return columns.part(JUDGED, [{**asdict(one), "coverage": one.coverage} for one in players])


def _named(effect: Effect) -> dict[str, Any]:
    side = effect.sides
    return {"player": side.player, "season": side.season, "number": side.switch.number}


def _gained(gain: Any) -> dict[str, Any]:
    return {
        "gain": gain.mean,
        "gain_low": gain.low,
        "gain_high": gain.high,
        "chance_of_gain": gain.chance,
    }
