"""Words for the user, on stderr, safe for the terminal."""

from __future__ import annotations

import sys

from ledger.safe_text import safe


def say(text: str, *, quiet: bool = False) -> None:
    """News on stderr, line by line, unless the user asked for quiet."""
    if not quiet:
        for line in text.split("\n"):
            print(safe(line), file=sys.stderr)


def complain(text: str) -> None:
    """One line about what went wrong, on stderr, always."""
    print(safe(f"offglass: {text}"), file=sys.stderr)
