"""How is the trial going?"""

from __future__ import annotations

from dataclasses import replace
from math import isnan
from typing import TYPE_CHECKING, Any

import polars as pl

from ledger.cohort import Cohort
from ledger.errors import UseError
from ledger.questions import columns, guards, miss_grid, trial_course, trial_words
from ledger.questions.answer import Column
from ledger.questions.player_seasons import LEAGUE_SEASON, gather
from ledger.questions.trial_sessions import standing
from ledger.questions.wording import listed
from ledger.stats.intervals import wilson
from ledger.stats.session_trial import looks
from ledger.stats.trial_plan import plan

if TYPE_CHECKING:
    from ledger.questions.answer import Answer, Part
    from ledger.questions.inquiry import Inquiry
    from ledger.questions.trial_sessions import Session, Standing
    from ledger.store.trials import Trial

_TECHNIQUE = columns.text("technique", "Technique", "One of the two of the plan")
_MADE = columns.number_of("made", "Made", "makes", "Makes")
_ATTEMPTS = columns.number_of("attempts", "Attempts", "attempts", "Attempts")
_RATE = columns.share("rate", "Rate", "Makes of attempts")
_LOW = columns.share("low", "Low", "Lower limit of the rate (Wilson, 95 %); a description")
_HIGH = columns.share("high", "High", "Upper limit of the rate (Wilson, 95 %); a description")

COLUMNS = (
    columns.number_of("session", "Session", "", "Place among the practice days since the plan"),
    Column("date", "Date", "date", "", "Its day"),
    _TECHNIQUE,
    _MADE,
    _ATTEMPTS,
    _RATE,
    Column("counted", "Counted", "boolean", "", "Whether the session enters the result"),
    columns.text("counted_why", "Why not", "Why the session is not counted"),
    _LOW,
    _HIGH,
    columns.number_of("planned", "Planned", "attempts", "Attempts by the plan"),
)
RESULT_COLUMNS = (
    columns.number_of("sessions", "Sessions", "", "Counted sessions"),
    columns.share("difference", "Difference", "Mean over sessions: tried minus usual rate"),
    columns.share("low", "Low", "Lower limit of it (t over sessions, 95 %)"),
    columns.share("high", "High", "Upper limit of it (t over sessions, 95 %)"),
    columns.share("p", "p", "Two-sided: how often luck alone does as much"),
    columns.share("limit", "Limit", "What p is held against at this look"),
    columns.text("verdict", "Verdict", "go_on, better, worse or undecided"),
    columns.text("why", "Why none", "Why a figure is missing"),
    columns.number_of("planned", "Planned", "", "Sessions that are counted by the plan"),
    columns.number_of("next_look", "Next look", "", "After how many counted sessions"),
    columns.text("usual", "Usual", "The technique he uses"),
    columns.text("tried", "Tried", "The technique he tries"),
    columns.PLAYER,
    columns.LEAGUE,
)
ARC_COLUMNS = (
    _TECHNIQUE,
    columns.number_of("attempts", "Attempts", "attempts", "Attempts of counted sessions"),
    columns.number_of("measured", "Measured", "attempts", "Those with a release angle"),
    columns.figure("mean_deg", "Mean", "degree", "Mean release angle above the horizontal"),
    columns.figure("sd_deg", "Spread", "degree", "Standard deviation of it"),
    columns.figure("least_deg", "Lowest", "degree", "Lowest angle"),
    columns.figure("most_deg", "Highest", "degree", "Highest angle"),
    columns.text("why", "Why none", "Why a figure is missing"),
)
GAMES_COLUMNS = (
    columns.LEAGUE,
    columns.SEASON,
    columns.text("technique", "Technique", "One of the two of the plan, other or unknown"),
    columns.number_of("made", "Made", "makes", "Makes in games"),
    columns.number_of("attempts", "Attempts", "attempts", "Attempts in games"),
    _RATE,
    _LOW,
    _HIGH,
)
PLAN_COLUMNS = (
    columns.number_of("session", "Session", "", "Session of the plan"),
    columns.number_of("block", "Block", "", "Block of the session"),
    _TECHNIQUE,
    columns.number_of("attempts", "Attempts", "attempts", "Attempts of the block"),
    Column("counted", "Counted", "boolean", "", "Whether the session is one that counts"),
)


def answer(inquiry: Inquiry) -> Answer:
    """The sessions of one trial, its result, and the games beside it."""
    trial = _chosen(inquiry)
    if trial is None:
        return inquiry.answer(
            trial_words.NO_TRIAL,
            columns.part(COLUMNS, []),
            _parts(),
            with_focus=False,
            words="No trial",
        )
    reads = inquiry.reads.trials
    practice = reads.practice(trial, inquiry.cohort.shots)
    stands = standing(trial, practice)
    games, refused = _fair(inquiry, trial, reads.games(trial, inquiry.cohort.shots))
    told = trial_words.Told(
        trial=trial,
        standing=stands,
        changes=tuple(reads.changes(trial)),
        consents=tuple(reads.consents(trial)),
        last_day=reads.last_day(),
        without_consent=practice.filter(~pl.col("consented")).height,
        aside=_aside(inquiry),
    )
    rows = [row for session in stands.sessions for row in _rows(trial, session)]
    return inquiry.answer(
        told.headline(),
        columns.part(COLUMNS, rows),
        _parts(trial, stands, games),
        [*told.notes(), *refused],
        with_focus=False,
        words=f"Trial {trial.name}: practice of {trial.player} ({trial.league})",
    )


def _chosen(inquiry: Inquiry) -> Trial | None:
    """The trial that is meant: the one of that name, else the only one, or none."""
    name = inquiry.options["name"]
    if name is not None:
        return inquiry.reads.trials.find(name)
    there = inquiry.reads.trials.planned()
    if len(there) > 1:
        names = listed([trial.name for trial in there], "or")
        raise UseError(f"there are {len(there)} trials, say which: --name {names}")
    return there[0] if there else None


def _aside(inquiry: Inquiry) -> tuple[str, ...]:
    """Filters that do not narrow a trial."""
    return tuple(name for name in inquiry.cohort.asked() if name not in ("shot", "stage"))


def _parts(
    trial: Trial | None = None, stands: Standing | None = None, games: pl.DataFrame | None = None
) -> dict[str, Part]:
    known = trial is not None and stands is not None and games is not None
    practised = _named(trial, stands.practised) if trial and stands else None
    return {
        "result": columns.part(
            RESULT_COLUMNS, [_result(trial, stands)] if trial and stands else []
        ),
        "arc": columns.part(ARC_COLUMNS, _arc(trial, practised) if trial and known else []),
        "misses": miss_grid.grid(practised, trial.techniques)
        if trial and practised is not None
        else columns.part(miss_grid.COLUMNS, []),
        "games": columns.part(
            GAMES_COLUMNS, _games(trial, games) if trial and games is not None else []
        ),
        "plan": columns.part(PLAN_COLUMNS, _plan(trial) if trial else []),
        "course": trial_course.part(trial, stands),
    }


def _rows(trial: Trial, session: Session) -> list[dict[str, Any]]:
    """A session's two rows, the usual technique first."""
    found = []
    for name, made, attempts in zip(trial.techniques, session.made, session.attempts, strict=True):
        row = {
            "session": session.number,
            "date": session.day,
            "technique": name,
            "made": made,
            "attempts": attempts,
            "counted": session.counted,
            "counted_why": session.why or None,
            "planned": trial.per_session,
        }
        found.append({**row, **_rate(made, attempts)})
    return found


def _rate(made: int, attempts: int) -> dict[str, float | None]:
    if not attempts:
        return {"rate": None, "low": None, "high": None}
    limits = wilson(made, attempts)
    return {"rate": made / attempts, "low": limits.low, "high": limits.high}


def _result(trial: Trial, stands: Standing) -> dict[str, Any]:
    found = stands.result
    ended = found.verdict != "go_on"
    following = [look for look in looks(trial.counted) if look > found.sessions]
    why = []
    if not found.sessions:
        why.append("no session is counted yet")
    elif found.sessions == 1:
        why.append("one session has neither interval nor p")
    elif isnan(found.p):
        why.append("every session has the same difference: neither interval nor p")
    if isnan(found.limit):
        why.append("no look is planned after this session")
    if ended:
        why.append("it has ended: no look follows")
    return {
        "sessions": found.sessions,
        "difference": found.mean,
        "low": found.low,
        "high": found.high,
        "p": found.p,
        "limit": found.limit,
        "verdict": found.verdict,
        "why": "; ".join(why) or None,
        "planned": trial.counted,
        "next_look": None if ended else following[0],
        "usual": trial.name_a,
        "tried": trial.name_b,
        "player": trial.player,
        "league": trial.league,
    }


def _named(trial: Trial, practised: pl.DataFrame) -> pl.DataFrame:
    names = {trial.technique_a: trial.name_a, trial.technique_b: trial.name_b}
    return practised.with_columns(
        technique=pl.col("technique_id").replace_strict(names, default=None, return_dtype=pl.String)
    )


def _arc(trial: Trial, practised: pl.DataFrame | None) -> list[dict[str, Any]]:
    assert practised is not None
    rows = []
    for name in trial.techniques:
        own = practised.filter(pl.col("technique") == name)
        angles = own["release_angle_deg"].drop_nulls()
        few = "no release angle was tagged" if own.height else "no attempt yet"
        why = few if angles.is_empty() else "one angle has no spread" if len(angles) == 1 else None
        rows.append(
            {
                "technique": name,
                "attempts": own.height,
                "measured": len(angles),
                "mean_deg": angles.mean(),
                "sd_deg": angles.std(),
                "least_deg": angles.min(),
                "most_deg": angles.max(),
                "why": why,
            }
        )
    return rows


def _fair(inquiry: Inquiry, trial: Trial, games: pl.DataFrame) -> tuple[pl.DataFrame, list[str]]:
    """His games without techniques of seasons whose tags were picked by result, and the remark."""
    if games["technique_id"].null_count() == games.height:
        return games, []
    leagues = games["league"].unique().sort().to_list()
    cohort = Cohort.of(shot=inquiry.cohort.shot, league=leagues)
    table = gather(replace(inquiry, cohort=cohort))
    his = games.select(*LEAGUE_SEASON, person_id=pl.lit(trial.person_id, pl.Int32)).unique()
    refusals = guards.picked_by_result(table.everybody).among(his)
    marked = games.join(
        refusals.players.select(*LEAGUE_SEASON, "refused"),
        on=list(LEAGUE_SEASON),
        how="left",
        maintain_order="left",
    )
    fair = pl.when(pl.col("refused").is_null()).then("technique_id")
    return marked.with_columns(technique_id=fair), refusals.notes()


def _games(trial: Trial, games: pl.DataFrame) -> list[dict[str, Any]]:
    """His games by season; attempts of another technique and those not watched stand apart."""
    names = {trial.technique_a: trial.name_a, trial.technique_b: trial.name_b}
    order = {trial.name_a: 0, trial.name_b: 1, "other": 2, "unknown": 3}
    technique = (
        pl.when(pl.col("technique_id").is_null())
        .then(pl.lit("unknown"))
        .otherwise(
            pl.col("technique_id").replace_strict(names, default="other", return_dtype=pl.String)
        )
    )
    summed = (
        games.with_columns(technique=technique)
        .group_by("league", "season", "start_year", "technique")
        .agg(pl.col("made").sum(), pl.col("attempts").sum())
        .with_columns(place=pl.col("technique").replace_strict(order, default=2))
        .sort("start_year", "season", "league", "place")
    )
    return [{**row, **_rate(row["made"], row["attempts"])} for row in summed.iter_rows(named=True)]


def _plan(trial: Trial) -> list[dict[str, Any]]:
    return [
        {
            "session": number,
            "block": place,
            "technique": trial.techniques[block.technique],
            "attempts": block.attempts,
            "counted": number > trial.practice_only,
        }
        for number, blocks in enumerate(
            plan(trial.sessions, trial.per_session, trial.seed), start=1
        )
        for place, block in enumerate(blocks, start=1)
    ]
