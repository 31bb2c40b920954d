"""What can go wrong, each with one line for the reader and an exit code.

Every message says what failed, where, and what to type next. Nothing here is a programming
error: those stay ordinary exceptions and are never caught to be hidden.
"""

from __future__ import annotations


class OffglassError(Exception):
    """A problem that is told to the user in one line.

    Attributes:
        exit_code: what the command line returns (2 wrong use or refused input, 3 ledger trouble).
    """

    exit_code = 2

    def __init__(self, message: str) -> None:
        # One line, whatever the text was made from; control codes are taken out where it is shown.
        super().__init__(" ".join(message.split()))

    @property
    def message(self) -> str:
        """The one line."""
        return str(self.args[0])


class UseError(OffglassError):
    """A name, option or value that cannot be used; exit code 2."""


class SittingClosed(UseError):
    """A sitting of hand entry cannot go on: it was taken back, or is none."""


class RefusedInput(OffglassError):
    """A file that is refused whole, nothing of it stored; exit code 2."""


class LedgerError(OffglassError):
    """The ledger file cannot be used: busy, damaged, newer, or not writable; exit code 3."""

    exit_code = 3


class LedgerBusy(LedgerError):
    """Another process holds the ledger; the message says which."""


class LedgerDamaged(LedgerError):
    """The file is no ledger, or not a whole one."""


class LedgerNewer(LedgerError):
    """The ledger was written by a newer format than this program knows."""


class LedgerReadOnly(LedgerError):
    """The ledger or its folder cannot be written to."""


class Stopped(OffglassError):
    """The user stopped the work; nothing of it is kept. Exit code 130."""

    exit_code = 130
