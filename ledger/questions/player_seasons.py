"""Player-seasons: the one table that ranking, adopters and uptake are made of."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import polars as pl

from ledger.questions.inquiry import coverage_note, practice_note
from ledger.questions.together import once
from ledger.questions.wording import counted

if TYPE_CHECKING:
    from ledger.questions.inquiry import Inquiry
    from ledger.store.reads import Reads

LEAGUE_SEASON = ("league_id", "season_id")
PERSON_SEASON = (*LEAGUE_SEASON, "person_id")
_SUMS = (
    "made",
    "attempts",
    "game_made",
    "game_attempts",
    "filled_made",
    "filled_attempts",
    "short_totals",
    "tagged",
    "tagged_made",
    "focus_tags",
    "unclear",
    "disputed",
    "picked",
)

_MOST = 3


@dataclass(frozen=True)
class Table:
    """What the store has of a cohort, one row per league, season, person and team.

    Attributes:
        rows: of the cohort.
        whole: of all players of those league-seasons, with the cohort's shot, stage and days;
            the same as `rows` where the cohort leaves nobody out.
        practice: attempts of practice that the cohort's other filters would take in.
        twice: what may be counted twice, in words.
    """

    rows: pl.DataFrame
    whole: pl.DataFrame
    practice: int
    twice: tuple[str, ...] = ()

    @cached_property
    def people(self) -> pl.DataFrame:
        """The cohort by league, season and person, as `by_person` gives them."""
        return self.everybody if self.rows is self.whole else by_person(self.rows)

    @cached_property
    def everybody(self) -> pl.DataFrame:
        """All players of those league-seasons, by league, season and person."""
        return by_person(self.whole)

    @property
    def attempts(self) -> int:
        """Attempts of the cohort."""
        return int(self.rows["attempts"].sum())

    @property
    def tagged(self) -> int:
        """Watched attempts of the cohort."""
        return int(self.rows["tagged"].sum())

    def notes(self) -> list[str]:
        """What a reader must know about the records themselves."""
        said = [coverage_note(self.attempts, self.tagged)]
        said += practice_note(self.practice)
        filled = int(self.rows["filled_attempts"].sum())
        if filled:
            said.append(
                f"Season totals fill in {counted(filled, 'attempt')} that no game record holds."
            )
        said += self.twice
        short = int(self.rows["short_totals"].sum())
        if short:
            said.append(
                f"{counted(short, 'season total')} {'does' if short == 1 else 'do'} not fit the "
                "game records (fewer attempts, makes or misses than the games have): nothing is "
                "filled in there."
            )
        for column, words in (
            ("disputed", "with tags that disagree: not counted as watched"),
            ("picked", "watched because of the result: in no share and no class"),
        ):
            number = int(self.rows[column].sum())
            if number:
                said.append(f"{counted(number, 'attempt')} {words}.")
        return said


def gather(inquiry: Inquiry) -> Table:
    """Fetch a cohort's player-seasons, and those of everybody around them where they differ.

    Args:
        inquiry: without practice (`games_only`).
    """
    key = ("player-seasons", inquiry.facts, inquiry.cohort, inquiry.focus)
    return once(key, lambda: _gathered(inquiry))


def _gathered(inquiry: Inquiry) -> Table:
    reads, scope, focus = inquiry.reads, inquiry.scope, inquiry.focus.ids
    rows = _with_sums(reads.player_seasons(scope.counting_tags(), focus))
    whole = rows
    if scope.narrowed and rows.height:
        leagues = reads.names.written_as(rows["league_id"].unique())
        seasons = rows["season_id"].unique().sort().to_list()
        found = _with_sums(reads.player_seasons(scope.whole_rows(leagues, seasons), focus))
        asked = rows.select(LEAGUE_SEASON).unique()
        whole = found.join(asked, on=LEAGUE_SEASON, how="semi", maintain_order="left")
    return Table(rows, whole, reads.practice(scope), _twice(reads, rows))


def _twice(reads: Reads, rows: pl.DataFrame) -> tuple[str, ...]:
    """What totals fill in for teams without a game though the player's games name another team."""
    alone = rows.filter(pl.col("filled_attempts") > 0, pl.col("game_attempts") == 0)
    played = rows.filter(pl.col("game_attempts") > 0)
    if alone.join(played, on=PERSON_SEASON, how="semi").is_empty():
        return ()
    game = pl.col("team_id").alias("game_team_id")
    found = reads.doubled().join(
        played.select(*PERSON_SEASON, game), on=[*PERSON_SEASON, "game_team_id"], how="semi"
    )
    theirs = alone.rename({"team_id": "total_team_id"})
    own = [*PERSON_SEASON, "total_team_id"]
    filled = int(theirs.join(found, on=own, how="semi")["filled_attempts"].sum())
    if not filled:
        return ()
    pairs = reads.team_pairs(found.join(theirs, on=own, how="semi"))
    told = [f"if {p.total_team} is {p.game_team}, type {p.command}" for p in pairs[:_MOST]]
    rest = len(pairs) - len(told)
    told += [f"{rest} more pairs: offglass same --team"] * (rest > 0)
    return (
        f"{counted(filled, 'attempt')} of season totals may be counted twice: the totals are of "
        "teams without a game, while the player has games for a team without totals; "
        f"{'; '.join(told)}.",
    )


def _with_sums(frame: pl.DataFrame) -> pl.DataFrame:
    frame = frame.with_columns(
        made=pl.col("game_made") + pl.col("filled_made"),
        attempts=pl.col("game_attempts") + pl.col("filled_attempts"),
    )
    # A total of 0 of 0, or one that does not fit, leaves a row with nothing but the remark.
    return frame.filter((pl.col("attempts") > 0) | (pl.col("short_totals") > 0))


def by_person(frame: pl.DataFrame, *more: str) -> pl.DataFrame:
    """One row per league, season and person, in the frame's order.

    Args:
        frame: rows by team.
        more: further columns a row is parted by (`team_id` with `team`).

    Returns:
        Also `team` (joined), `teams` (a list) and `tag_games`: 0, 1, or 2 for two or more.
    """
    keys = [*LEAGUE_SEASON, "league", "season", "start_year", "person_id", "player", "position"]
    grouped = frame.with_columns(teams="team").group_by([*keys, *more], maintain_order=True)
    team = [] if "team" in more else [joined("team")]
    found = grouped.agg(
        *team,
        pl.col("teams").drop_nulls().unique(maintain_order=True),
        *(pl.col(name).sum() for name in _SUMS),
        pl.col("first_date").min(),
        pl.col("first_tag_game").min(),
        pl.col("last_tag_game").max(),
    )
    several = pl.col("first_tag_game") != pl.col("last_tag_game")
    return found.with_columns(
        tag_games=pl.when(several).then(2).when(pl.col("tagged") > 0).then(1).otherwise(0)
    ).filter(pl.col("attempts") > 0)


def joined(column: str) -> pl.Expr:
    """The different values of a group in their order, as `A, B`; null where there is none."""
    values = pl.col(column).drop_nulls().unique(maintain_order=True)
    return pl.when(values.len() > 0).then(values.str.join(", ")).alias(column)
