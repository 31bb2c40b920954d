"""The door of the terminal program: looks at the terminal, then opens the screens.

Nothing heavy is imported here, so that `offglass --help` stays quick.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path

USAGE = "usage: offglass-terminal [LEDGER]"
# Terminals that can only print, by their names in terminfo.
_ONLY_PRINT = ("dumb", "unknown")


def main(
    argv: Sequence[str] | None = None,
    ledger: str | None = None,
    focus: Sequence[str] | None = None,
) -> int:
    """Open the terminal program on a ledger; its exit code.

    Args:
        argv: arguments, if it is started by itself: the ledger's path or nothing.
        ledger: the ledger's path; else `OFFGLASS_LEDGER`, else the user's data folder.
        focus: the techniques that are studied; board-assisted unless given.

    Returns:
        0 when the user left, 2 without a terminal or with wrong arguments, 3 where the ledger
        cannot be used, 128 + the signal's number when a signal ended it.
    """
    given = list(argv or ())
    if len(given) > 1 or (given and given[0].startswith("-")):
        return _refuse(USAGE)
    # The screens are drawn on stderr and the keys come from stdin: both have to be a terminal.
    if os.environ.get("TERM") in _ONLY_PRINT:
        return _refuse(
            "the terminal program needs a terminal that can place its cursor, and TERM is "
            f"{os.environ['TERM']}: type `offglass --help` for the commands that work on this one"
        )
    for stream, what in ((sys.__stdin__, "its input"), (sys.__stderr__, "its screen (stderr)")):
        if stream is None or not stream.isatty():
            return _refuse(
                f"the terminal program needs a terminal for {what}: type `offglass --help` for "
                "the commands that work without one"
            )
    named = ledger or (given[0] if given else None) or os.environ.get("OFFGLASS_LEDGER")
    path = Path(named) if named else _own_ledger()
    if named and not path.exists():
        return _refuse(f"there is no ledger {_shown(path)}: type `offglass new PATH`", code=3)
    from tui.app import run

    return run(path, create=not named, focus=tuple(focus or ()))


def _own_ledger() -> Path:
    from platformdirs import user_data_path

    folder = user_data_path("offglass", appauthor=False)
    folder.mkdir(parents=True, exist_ok=True)
    return folder / "offglass.duckdb"


def _shown(path: Path) -> str:
    from ledger.safe_text import safe

    return safe(str(path))


def _refuse(line: str, *, code: int = 2) -> int:
    print(f"offglass: {line}", file=sys.stderr)
    return code
