"""Whose tags came about by lot, and whom the lot could have drawn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from ledger.questions.player_seasons import LEAGUE_SEASON, PERSON_SEASON

if TYPE_CHECKING:
    from ledger.store.reads import Reads


@dataclass(frozen=True, slots=True)
class Lots:
    """How player-seasons stand to the lots of their league-season.

    Drawn: on a saved random list before the first tag, or first tagged by a file that was declared
    as drawn by lot. In the frame: the lot could have drawn him, because he had no tag then; of a
    declared lot nothing is stored but when its tags came in, so everybody first tagged later counts
    as in its frame.

    Attributes:
        players: `league_id, season_id, person_id, by_lot, framed`, one row each, only players in
            some frame.
        listed: league-seasons with a saved random list, whose frame is known.
        declared: league-seasons whose players count as drawn because their tags were declared so.
    """

    players: pl.DataFrame
    listed: frozenset[tuple[int, int]]
    declared: frozenset[tuple[int, int]]

    @classmethod
    def of(cls, reads: Reads) -> Lots:
        """All lots of a ledger."""
        saved = reads.lots()
        of_lots = saved.select(*PERSON_SEASON, by_lot="drawn", framed=pl.lit(True))
        tags = reads.first_tags()
        began = (
            tags.filter(pl.col("drawn"))
            .group_by(LEAGUE_SEASON, maintain_order=True)
            .agg(pl.col("first_tag").min().alias("began"))
        )
        declared = tags.join(began, on=LEAGUE_SEASON, how="inner", maintain_order="left")
        declared = declared.filter(pl.col("first_tag") >= pl.col("began"))
        of_files = declared.select(*PERSON_SEASON, by_lot="drawn", framed=pl.lit(True))
        players = (
            pl.concat([of_lots, of_files])
            .group_by(PERSON_SEASON, maintain_order=True)
            .agg(pl.col("by_lot").any(), pl.col("framed").any())
        )
        return cls(players, _pairs(saved), _pairs(began))


def _pairs(frame: pl.DataFrame) -> frozenset[tuple[int, int]]:
    return frozenset(frame.select(LEAGUE_SEASON).unique().iter_rows())
