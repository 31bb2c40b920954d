"""`sources`, `undo`, `correct`, `journal`: what came in, and the way back."""

from __future__ import annotations

import json
import sys

import click

from ledger.cli.notices import say
from ledger.cli.settings import Settings, common_options
from ledger.errors import UseError


@click.command()
@click.argument("source", type=int, required=False)
@click.option("--json", "as_json", is_flag=True, help="The whole answer as JSON.")
@click.option("--csv", "as_csv", is_flag=True, help="The rows as CSV.")
@common_options
def sources(settings: Settings, source: int | None, as_json: bool, as_csv: bool) -> int:
    """List what came in: files, sittings, changes, and what was taken back.

    With the number of a SOURCE, all of that one: counts, mapping, refused rows, what it changed.
    """
    if source is not None:
        return _source(settings, source, as_json=as_json, as_csv=as_csv)
    from ledger.cli.table import page

    with settings.open() as book:
        answer = book.ask("sources")
    text = answer.json() if as_json else answer.main.csv() if as_csv else page(answer)
    sys.stdout.write(text if text.endswith("\n") else text + "\n")
    return 0


def _source(settings: Settings, number: int, *, as_json: bool, as_csv: bool) -> int:
    from ledger.cli.tracing import refused_csv, source_page

    with settings.open() as book:
        found = book.source(number)
    if as_json:
        json.dump(found.as_dict(), sys.stdout, ensure_ascii=False, indent=1, default=str)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(refused_csv(found) if as_csv else source_page(found))
    return 0


@click.command()
@click.argument("source", type=int)
@click.option("--again", is_flag=True, help="Bring back a source that was taken back.")
@click.option("--yes", is_flag=True, help="Also where tags of others go with it.")
@common_options
def undo(settings: Settings, source: int, again: bool, yes: bool) -> int:
    """Take SOURCE back: the ledger is then as if it had never come."""
    with settings.open() as book:
        say(book.undo(source, again=again, yes=yes), quiet=settings.quiet)
    return 0


@click.command()
@click.argument("kind", type=click.Choice(["attempt", "player", "game", "team"]))
@click.argument("record", metavar="ID")
@click.argument("changes", nargs=-1, required=True, metavar="FIELD=VALUE...")
@click.option("--why", required=True, metavar="TEXT", help="The reason, kept in the journal.")
@common_options
def correct(settings: Settings, kind: str, record: str, changes: tuple[str, ...], why: str) -> int:
    """Mend a record that is wrong; kept through a re-import, undone like a source.

    ID is the ledger's number of it, or the name or label of a player, team or game that only one
    has.
    """
    pairs = {}
    for change in changes:
        field, sign, value = change.partition("=")
        if not sign:
            raise UseError(f"{change!r} is no change: write FIELD=VALUE, for example made=no")
        pairs[field.strip()] = value
    with settings.open() as book:
        say(book.correct(kind, record, pairs, why=why), quiet=settings.quiet)
    return 0


@click.command()
@click.option("--json", "as_json", is_flag=True, help="The entries as JSON.")
@click.option("--limit", type=click.IntRange(min=1), help="Only the newest entries.")
@click.option("--source", type=int, metavar="SOURCE", help="Only what a source changed.")
@click.option("--player", metavar="P", help="Only what is about a player himself.")
@common_options
def journal(
    settings: Settings, as_json: bool, limit: int | None, source: int | None, player: str | None
) -> int:
    """List who changed what, when, from what, to what; the newest last."""
    from ledger.cli.tracing import journal_page

    with settings.open() as book:
        entries = book.journal(limit=limit, source=source, player=player)
    if as_json:
        json.dump(entries, sys.stdout, ensure_ascii=False, indent=1, default=str)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(journal_page(entries))
    return 0
