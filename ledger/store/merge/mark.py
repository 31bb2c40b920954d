"""Somebody who holds no ledger, to ask those who do to let go."""

from __future__ import annotations


class Nobody:
    """A holder that never holds."""

    def release(self) -> bool:
        """Always let go."""
        return True
