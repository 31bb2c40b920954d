"""`merge`: a colleague's ledger into one's own."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from ledger.cli.notices import say
from ledger.cli.settings import Settings, common_options
from ledger.safe_text import safe

_SHOWN = 20


@click.command()
@click.argument("other", metavar="OTHER.duckdb")
@click.option("--json", "as_json", is_flag=True, help="The whole report as JSON.")
@common_options
def merge(settings: Settings, other: str, as_json: bool) -> int:
    """Bring a colleague's ledger in: what is there already is recognised, tags keep their taggers.

    What contradicts is listed on stdout, a line each, and not taken. The other ledger is only read.
    """
    with settings.open() as book:
        report = book.merge(Path(other))
    if as_json:
        json.dump(report.as_dict(), sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    else:
        for line in report.contradictions:
            sys.stdout.write(safe(line) + "\n")
    say(report.words(), quiet=settings.quiet)
    for title, lines in (("note", report.told()), ("not taken", report.not_taken)):
        for line in lines[:_SHOWN]:
            say(f"{title}: {line}", quiet=settings.quiet)
        if len(lines) > _SHOWN:
            say(f"{title}: {len(lines) - _SHOWN} more, with --json", quiet=settings.quiet)
    return report.exit_code
