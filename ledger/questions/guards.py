"""Guards against how records were chosen: tags picked by result, and the rumour's own season."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from ledger.questions.player_seasons import LEAGUE_SEASON, PERSON_SEASON
from ledger.questions.wording import NOT_A_TEST as NOT_A_TEST
from ledger.questions.wording import counted
from ledger.stats.picked_by_result import LIMIT, PickedByResult
from ledger.stats.picked_by_result import picked_by_result as test_picked_by_result
from ledger.stats.rank_test import holm

if TYPE_CHECKING:
    from ledger.questions.inquiry import Inquiry

ONE_TECHNIQUE = (
    "Among attempts of one technique there is no share: leave out --technique and say with "
    "--focus what is studied."
)


@dataclass(frozen=True, slots=True)
class Refusals:
    """Player-seasons without share and class because of how their tags came about.

    Attributes:
        players: `league_id, season_id, person_id, refused` (why), one row each.
        leagues: `league_id, season_id, league, season, refused` of whole league-seasons.
    """

    players: pl.DataFrame
    leagues: pl.DataFrame

    def among(self, rows: pl.DataFrame) -> Refusals:
        """Those of some rows: of a player who is not asked for nothing is said.

        Args:
            rows: `league_id, season_id, person_id`.
        """
        return Refusals(
            self.players.join(rows, on=PERSON_SEASON, how="semi", maintain_order="left"),
            self.leagues.join(rows, on=LEAGUE_SEASON, how="semi", maintain_order="left"),
        )

    def notes(self, left_out: int = 0) -> list[str]:
        """One sentence each for whole league-seasons and for single players.

        Args:
            left_out: player-seasons that are no rows because of it.
        """
        said = [
            f"{row['league']} {row['season']}: {plain(row['refused'])}; no share, no class and "
            "no rate by technique."
            for row in self.leagues.iter_rows(named=True)
        ]
        alone = self.players.join(self.leagues, on=LEAGUE_SEASON, how="anti").height
        if left_out:
            said.append(
                f"{counted(left_out, 'player-season')} left out: no rate by technique where the "
                "watched attempts were picked by their result."
            )
        elif alone:
            said.append(
                f"{counted(alone, 'player-season')}: the watched attempts were picked by result; "
                "no share, no class and no rate by technique."
            )
        return said


def picked_by_result(people: pl.DataFrame) -> Refusals:
    """Which player-seasons, or whole league-seasons, were tagged by the result of the attempts.

    Args:
        people: one row per league, season and person, all players of the league-season.
    """
    watched = people.filter(pl.col("tagged") > 0)
    groups = watched.partition_by(LEAGUE_SEASON, maintain_order=True)
    tests = [_test(group) for group in groups]
    # One family: many clean league-seasons must not cost one of them its share by luck.
    pooled = holm([found.pooled.p for found in tests]) if tests else ()
    players: list[dict[str, object]] = []
    leagues: list[dict[str, object]] = []
    for group, found, p in zip(groups, tests, pooled, strict=True):
        together = _why(found.pooled.share_of_misses_watched, found.pooled.share_of_makes_watched)
        every = bool(p < LIMIT)
        if every:
            first = group.row(0, named=True)
            keys = (*LEAGUE_SEASON, "league", "season")
            leagues.append({**{k: first[k] for k in keys}, "refused": together})
        elif not found.flagged.any():
            continue
        for at, row in enumerate(group.select(PERSON_SEASON).iter_rows(named=True)):
            if found.flagged[at]:
                misses, makes = found.share_of_misses_watched, found.share_of_makes_watched
                players.append({**row, "refused": _why(float(misses[at]), float(makes[at]))})
            elif every:
                players.append({**row, "refused": together})
    ids = {"league_id": pl.Int32, "season_id": pl.Int32}
    return Refusals(
        pl.DataFrame(players, schema={**ids, "person_id": pl.Int32, "refused": pl.String}),
        pl.DataFrame(
            leagues,
            schema={**ids, "league": pl.String, "season": pl.String, "refused": pl.String},
        ),
    )


def _test(group: pl.DataFrame) -> PickedByResult:
    return test_picked_by_result(
        group["tagged_made"].to_numpy(),
        group["game_made"].to_numpy(),
        (group["tagged"] - group["tagged_made"]).to_numpy(),
        (group["game_attempts"] - group["game_made"]).to_numpy(),
    )


def plain(why: str) -> str:
    """A refusal as a coach reads it: watched, not tagged."""
    return why.replace("tagged attempts", "watched attempts")


def _why(misses: float, makes: float) -> str:
    return (
        f"tagged attempts were picked by result ({100 * misses:.0f} % of misses watched, "
        f"{100 * makes:.0f} % of makes)"
    )


@dataclass(frozen=True, slots=True)
class Suspicion:
    """The league-seasons that raised the question.

    Attributes:
        everywhere: seasons meant in every league.
        somewhere: league and season.
    """

    everywhere: frozenset[int]
    somewhere: frozenset[tuple[int, int]]

    @classmethod
    def of(cls, inquiry: Inquiry) -> Suspicion:
        """From the ledger's rumours."""
        everywhere, somewhere = set(), set()
        for row in inquiry.reads.rumours().iter_rows(named=True):
            if row["league_id"] is None:
                everywhere.add(row["season_id"])
            else:
                somewhere.add((row["league_id"], row["season_id"]))
        return cls(frozenset(everywhere), frozenset(somewhere))

    def raised(self, league_id: int, season_id: int) -> bool:
        """Whether this league-season raised the question."""
        return season_id in self.everywhere or (league_id, season_id) in self.somewhere

    def split(self, frame: pl.DataFrame) -> tuple[pl.DataFrame, pl.DataFrame]:
        """Rows that may test the question, and those of the season that raised it."""
        raised = pl.Series(
            [
                self.raised(league, season)
                for league, season in frame.select(LEAGUE_SEASON).iter_rows()
            ],
            dtype=pl.Boolean,
        )
        return frame.filter(~raised), frame.filter(raised)
