"""Mapping profiles: how one league's files map to fields, said once and used every week."""

from __future__ import annotations

from ledger.intake.profile.apply import Shaped, apply
from ledger.intake.profile.format import Profile
from ledger.intake.profile.lookups import Beside
from ledger.intake.profile.opening import open_known
from ledger.intake.profile.parse import MAX_BYTES, parse
from ledger.intake.profile.use import check_use, known_columns

__all__ = [
    "MAX_BYTES",
    "Beside",
    "Profile",
    "Shaped",
    "apply",
    "check_use",
    "known_columns",
    "open_known",
    "parse",
]
