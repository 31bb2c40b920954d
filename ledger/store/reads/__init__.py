"""Reads: few set-based statements, frames out."""

from __future__ import annotations

from ledger.store.reads.contents import Contents, LeagueHeld, LeagueSeason, Rumour, SourceLine
from ledger.store.reads.reads import Reads
from ledger.store.reads.scope import Scope

__all__ = ["Contents", "LeagueHeld", "LeagueSeason", "Reads", "Rumour", "Scope", "SourceLine"]
