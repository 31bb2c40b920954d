"""`note`, `decide`: what a number cannot say, and what was decided."""

from __future__ import annotations

import json
import sys

import click

from ledger.cli.notices import say
from ledger.cli.settings import Settings, common_options
from ledger.errors import UseError


@click.command()
@click.argument("text", required=False)
@click.option("--player", metavar="P", help="Whom it is about.")
@click.option("--league", metavar="NAME", help="Where a name is more than one player's.")
@click.option("--date", "day", metavar="D", help="The day it is about.")
@click.option("--list", "listed", is_flag=True, help="List the notes and decisions there are.")
@click.option("--json", "as_json", is_flag=True, help="With --list: as JSON.")
@common_options
def note(
    settings: Settings,
    text: str | None,
    player: str | None,
    league: str | None,
    day: str | None,
    listed: bool,
    as_json: bool,
) -> int:
    """Write TEXT down: what a number cannot say, of a player or of nobody in particular."""
    if not listed:
        if text is None:
            raise UseError(
                "a note needs its text: offglass note --player P TEXT; "
                "offglass note --list shows what was written"
            )
        with settings.open() as book:
            say(book.note(text, player=player, league=league, date=day), quiet=settings.quiet)
        return 0
    if text is not None:
        raise UseError("--list shows what was written: leave the text out")

    from ledger.cli.tracing import notes_page

    with settings.open() as book:
        rows = book.notes(player, league=league)
    if as_json:
        json.dump(rows, sys.stdout, ensure_ascii=False, indent=1, default=str)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(notes_page(rows))
    return 0


@click.command()
@click.argument("player", required=False)
@click.argument("choice", required=False, metavar="try|wait|stop")
@click.option("--why", metavar="TEXT", help="The reason.")
@click.option("--review", metavar="DATE", help="When to look again.")
@click.option("--league", metavar="NAME", help="Where a name is more than one player's.")
@common_options
def decide(
    settings: Settings,
    player: str | None,
    choice: str | None,
    why: str | None,
    review: str | None,
    league: str | None,
) -> int:
    """Write down what was decided about PLAYER: to try it, to wait, or to stop."""
    if player is None or choice is None or why is None:
        raise UseError(
            "a decision needs a player, a choice and a reason: offglass decide PLAYER "
            "try|wait|stop --why TEXT; offglass note --list shows those there are"
        )
    with settings.open() as book:
        done = book.decide(player, choice, why=why, review=review, league=league)
    say(done, quiet=settings.quiet)
    return 0
