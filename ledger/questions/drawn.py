"""Whose tags came about by lot, and from which frame the lot was drawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from ledger.questions.player_seasons import PERSON_SEASON

if TYPE_CHECKING:
    from ledger.store.reads import Reads


def drawn_players(reads: Reads) -> pl.DataFrame:
    """Drawn player-seasons, one row each: `league_id, season_id, person_id`.

    On a saved random list before the first tag, or declared as drawn when the tags came in.
    """
    lots = reads.lots().filter(pl.col("drawn")).select(PERSON_SEASON)
    return pl.concat([lots, reads.declared()]).unique(maintain_order=True)


def frames(reads: Reads) -> pl.DataFrame:
    """Everybody a lot could have drawn: `league_id, season_id, person_id`, one row each."""
    return reads.lots().select(PERSON_SEASON).unique(maintain_order=True)
