"""Opening the terminal program, which the library does not know: it is found as an entry point."""

from __future__ import annotations

from importlib.metadata import entry_points

from ledger.cli.settings import Settings
from ledger.errors import UseError


def open_terminal(settings: Settings) -> int:
    """Open the terminal program on the ledger that is meant; its exit code.

    Raises:
        UseError: if offglass was installed without it.
    """
    found = list(entry_points(group="offglass.terminal", name="open"))
    if not found:
        raise UseError("the terminal program is not installed: see `offglass --help`")
    launch = found[0].load()
    return int(launch(ledger=str(settings.path), focus=settings.focus_names))
