"""A colleague's ledger in: read under limits, matched like a file, taken back like one."""

from __future__ import annotations
