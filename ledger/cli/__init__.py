"""The command line: stdout carries data, stderr carries words.

`main` is the console command. Nothing heavy is imported before a command needs it.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence


def main(argv: Sequence[str] | None = None) -> None:
    """Run one command and leave with its exit code."""
    from ledger.cli.run import run

    sys.exit(run(sys.argv[1:] if argv is None else list(argv)))
