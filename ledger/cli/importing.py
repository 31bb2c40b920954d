"""`import`: files in, each its own source and transaction, each with its report."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.cli.notices import complain, say
from ledger.cli.row_options import row_options
from ledger.cli.settings import Settings, common_options
from ledger.errors import OffglassError

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.intake.read import ReadOptions
    from ledger.intake.report import Report

KINDS = ("attempts", "box", "totals", "tags", "players", "shortlist")


@click.command("import")
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.option(
    "--as",
    "kind",
    type=click.Choice(KINDS),
    help="What a row is; attempts, or what the profile says, unless given.",
)
@click.option("--profile", metavar="NAME|FILE", help="How the file maps to fields.")
@row_options
@click.option("--encoding", metavar="NAME", help="The file's letters, where they are not UTF-8.")
@click.option("--sheet", metavar="NAME", help="Which sheet of a workbook; else the first.")
@click.option("--path", metavar="PATH", help="Where a JSON document's rows are: $.games[*].")
@click.option(
    "--trips",
    type=click.Choice(["written", "by-clock"]),
    default="written",
    help="Trips as written, or grouped by the clock and marked so.",
)
@click.option(
    "--trip-seconds", type=float, metavar="N", help="How far apart attempts of one such trip lie."
)
@click.option("--check", is_flag=True, help="Say what would happen and store nothing.")
@click.option(
    "--rejects", metavar="FILE", help="Write the refused rows, to be mended and imported."
)
@common_options
def import_(
    settings: Settings,
    files: tuple[str, ...],
    kind: str | None,
    profile: str | None,
    maps: tuple[str, ...],
    sets: tuple[str, ...],
    words: tuple[str, ...],
    encoding: str | None,
    dates: str | None,
    drawn: bool,
    tagger: str | None,
    sheet: str | None,
    path: str | None,
    trips: str,
    trip_seconds: float | None,
    check: bool,
    rejects: str | None,
    as_json: bool,
) -> int:
    """Bring files into the ledger; nothing of a row is stored that is not understood.

    The ledger is made where there is none. Columns are the project's own names (see README) or
    mapped with --map, or by a profile; unknown words are told with --word.
    """
    from ledger.intake.options import typed

    if rejects and len(files) > 1:
        raise click.UsageError("--rejects takes one file at a time")
    options = typed(
        maps,
        sets,
        words,
        encoding=encoding,
        dates=dates,
        drawn=drawn,
        tagger=tagger,
        sheet=sheet,
        path=path,
        trips=trips,
        trip_seconds=trip_seconds,
    )
    told = None if as_json else settings.quiet
    with settings.open_for_records() as book:
        if profile is not None:
            options = replace(options, profile=book.profile(profile))
        reports, worst = _bring_all(book, files, kind, options, check, rejects, told)
    if as_json:
        out = [r.as_dict() for r in reports]
        json.dump(out if len(files) > 1 else out[0], sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    return worst


def _bring_all(
    book: Book,
    files: tuple[str, ...],
    kind: str | None,
    options: ReadOptions,
    check: bool,
    rejects: str | None,
    told: bool | None,
) -> tuple[list[Report], int]:
    """The reports, each said as it comes (`told`: quietly; `None`: not at all), and the code."""
    reports: list[Report] = []
    worst = 0
    for file in files:
        try:
            report = _bring(book, file, kind, options, check=check, rejects=rejects)
        except OffglassError as error:
            if len(files) == 1:
                raise
            complain(error.message)
            worst = max(worst, error.exit_code)
            continue
        reports.append(report)
        worst = max(worst, report.exit_code)
        if told is not None:
            say(report.words(), quiet=told)
    return reports, worst


def _bring(
    book: Book,
    file: str,
    kind: str | None,
    options: ReadOptions,
    *,
    check: bool,
    rejects: str | None,
) -> Report:
    return book.import_file(
        Path(file), kind, options, check=check, rejects=Path(rejects) if rejects else None
    )
