"""From arguments to an exit code: every failure becomes one line.

Exit codes: 0 done; 1 done, with rejected rows, no rows or findings; 2 wrong use or refused input;
3 ledger trouble; 130 interrupted.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence

import click

from ledger.cli.notices import complain
from ledger.errors import OffglassError

INTERRUPTED = 130
TROUBLE = 3


def run(argv: Sequence[str]) -> int:
    """Run the command in `argv` and give its exit code; nothing is raised."""
    from ledger.cli.commands import offglass

    try:
        code = offglass.main(args=list(argv), prog_name="offglass", standalone_mode=False)
        sys.stdout.flush()
    except OffglassError as error:
        complain(error.message)
        return error.exit_code
    except click.exceptions.Exit as leave:
        return leave.exit_code
    except (KeyboardInterrupt, click.exceptions.Abort):
        complain("stopped; nothing of the unfinished work is kept")
        return INTERRUPTED
    except click.ClickException as error:
        complain(_one_line(error))
        return 2
    except BrokenPipeError:
        # Whoever read our output has seen enough; python must not complain about it at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except OSError as error:
        complain(f"{error.strerror or error}: {error.filename or 'the disk'}")
        return TROUBLE
    except Exception as error:
        if os.environ.get("OFFGLASS_DEBUG"):
            raise
        kind = type(error).__name__
        complain(
            f"a fault of the program ({kind}: {error}); nothing was stored by this command; "
            "run it again with OFFGLASS_DEBUG=1 for its makers"
        )
        return TROUBLE
    return code if isinstance(code, int) else 0


def _one_line(error: click.ClickException) -> str:
    # A missing choice lists its words on lines of their own.
    text = " ".join(error.format_message().split()).rstrip(".")
    if isinstance(error, click.UsageError) and error.ctx is not None:
        return f"{text}: see `{error.ctx.command_path} --help`"
    return text
