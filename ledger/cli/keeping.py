"""`new`, `export`, `load`, `check`, `backup`: the ledger as a whole."""

from __future__ import annotations

import json
import sys
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import click

from ledger.cli.cohort_options import cohort_options
from ledger.cli.notices import say
from ledger.cli.settings import Settings, common_options
from ledger.errors import UseError
from ledger.safe_text import safe

FINDINGS = 1


@click.command()
@click.argument("path", required=False)
@common_options
def new(settings: Settings, path: str | None) -> int:
    """Make an empty ledger at PATH (else --ledger, else in your own data folder)."""
    meant = replace(settings, ledger=path) if path else settings
    if meant.path.exists():
        raise UseError(f"{meant.path} is there already: name another file")
    with meant.open(create=True):
        pass
    say(f"an empty ledger is at {meant.path}: next, `offglass import FILE`", quiet=settings.quiet)
    return 0


@click.command()
@click.argument("folder")
@click.option("--share", is_flag=True, help="Only attempts and tags of a cohort, for other people.")
@cohort_options
@common_options
def export(settings: Settings, folder: str, share: bool, cohort: dict[str, Any]) -> int:
    """Write the whole ledger into FOLDER as CSV and Parquet with Table Schema, nothing lost.

    With --share only attempts and tags of a cohort, taggers as A, B and so on, for other people.
    """
    if cohort and not share:
        first = next(iter(cohort))
        raise UseError(f"the whole ledger is exported: --{first} goes with --share only")
    if share:
        return _share(settings, folder, cohort)
    with settings.open() as book:
        written = book.export(Path(folder))
    say(
        f"the whole ledger is in {written}; `offglass load` makes a ledger of it again",
        quiet=settings.quiet,
    )
    return 0


def _share(settings: Settings, folder: str, cohort: dict[str, Any]) -> int:
    from ledger.cohort import Cohort

    meant = Cohort.of(**cohort)
    with settings.open() as book:
        shared = book.export_share(Path(folder), cohort=meant)
    for line in shared.lines:
        if line:
            say(line, quiet=settings.quiet)
    say(f"all of this stands in {shared.folder / 'contents.txt'}", quiet=settings.quiet)
    return 0


@click.command()
@click.argument("folder")
@common_options
def load(settings: Settings, folder: str) -> int:
    """Make a new ledger from an exported FOLDER."""
    from ledger.book import load_package

    made = load_package(Path(folder), settings.path)
    say(f"a ledger made from {folder} is at {made}", quiet=settings.quiet)
    return 0


@click.command()
@click.option("--json", "as_json", is_flag=True, help="The findings as JSON.")
@common_options
def check(settings: Settings, as_json: bool) -> int:
    """Say whether the ledger is whole; a finding a line."""
    with settings.open() as book:
        findings = book.check()
    if as_json:
        json.dump([asdict(f) for f in findings], sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    else:
        for finding in findings:
            sys.stdout.write(safe(finding.line()) + "\n")
    if not findings:
        say("the ledger is whole", quiet=settings.quiet)
    return FINDINGS if findings else 0


@click.command()
@click.argument("file")
@common_options
def backup(settings: Settings, file: str) -> int:
    """Write a safe copy of the ledger to FILE."""
    with settings.open() as book:
        copy = book.backup(Path(file))
    say(f"a whole copy is at {copy}", quiet=settings.quiet)
    return 0
