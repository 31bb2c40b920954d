"""`technique`, `lot`, `rumour`, `list`: what the ledger is told beside the records."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from ledger.cli.notices import say
from ledger.cli.settings import Settings, common_options
from ledger.errors import UseError
from ledger.safe_text import safe

if TYPE_CHECKING:
    from ledger.book import Book


@click.group()
@common_options
def technique(settings: Settings) -> None:
    """Techniques of the ledger beside straight, board, underhand and other."""


@technique.command("add")
@click.argument("name")
@click.option("--board", is_flag=True, help="It uses the board on purpose.")
@click.option("--group", "groups", multiple=True, metavar="G", help="A group it belongs to.")
@click.option("--rule", metavar="TEXT", help="What the rules of the game say about it.")
@common_options
def add_technique(
    settings: Settings, name: str, board: bool, groups: tuple[str, ...], rule: str | None
) -> int:
    """Add a technique called NAME."""
    with settings.open() as book:
        book.add_technique(name, uses_board=board, groups=groups, rule=rule)
        back = _way_back(book)
    uses = "uses the board" if board else "does not use the board"
    say(f"technique {name} added: it {uses}{back}", quiet=settings.quiet)
    return 0


@technique.command("rule")
@click.argument("name")
@click.argument("text")
@common_options
def write_rule(settings: Settings, name: str, text: str) -> int:
    """Write down TEXT, what the rules say about the technique NAME: the brief says it."""
    with settings.open() as book:
        called = book.write_rule(name, text)
        back = _way_back(book)
    say(f"noted what the rules say about {called}{back}", quiet=settings.quiet)
    return 0


@click.command()
@click.argument("name")
@click.option("--league", required=True, metavar="NAME")
@click.option("--season", required=True, metavar="S")
@click.option("--players", type=click.IntRange(min=1), required=True, metavar="N")
@click.option("--seed", type=int, metavar="K", help="For the same list again; drawn unless given.")
@common_options
def lot(
    settings: Settings, name: str, league: str, season: str, players: int, seed: int | None
) -> int:
    """Draw NAME, a saved random list of players to watch; the list on stdout.

    A share of a league is honest only where the watched players were drawn, not picked.
    """
    with settings.open() as book:
        drawn = book.lot(name, league=league, season=season, players=players, seed=seed)
        back = _way_back(book)
    sys.stdout.write("".join(f"{safe(p.name)}\n" for p in drawn.players))
    say(
        f"{len(drawn.players)} of the {drawn.frame} players of {drawn.league}, {drawn.season}, "
        f"without a tag yet, drawn with seed {drawn.seed}: watch all of them, in this order{back}",
        quiet=settings.quiet,
    )
    return 0


@click.command()
@click.argument("text")
@click.option("--season", required=True, metavar="S", help="The season that raised the question.")
@click.option("--league", metavar="NAME", help="The league it was seen in.")
@click.option("--player", metavar="P", help="Who was noticed.")
@click.option("--seen", metavar="DATE", help="When it was seen.")
@click.option("--where", metavar="TEXT", help="Where it was seen or read.")
@common_options
def rumour(
    settings: Settings,
    text: str,
    season: str,
    league: str | None,
    player: str | None,
    seen: str | None,
    where: str | None,
) -> int:
    """Store TEXT, what raised the question: shown first, never used as its own proof."""
    with settings.open() as book:
        book.rumour(text, season=season, league=league, player=player, seen=seen, where=where)
        back = _way_back(book)
    say(
        f"stored; {season} suggested the question and will not be used to test it{back}",
        quiet=settings.quiet,
    )
    return 0


@click.command("list")
@click.argument("name")
@click.argument("change", required=False, type=click.Choice(["add", "drop"]))
@click.argument("players", nargs=-1, metavar="PLAYER...")
@click.option("--league", metavar="NAME", help="Where a name is more than one player's.")
@common_options
def shortlist(
    settings: Settings, name: str, change: str | None, players: tuple[str, ...], league: str | None
) -> int:
    """Show the list NAME, or add players to the shortlist NAME or drop them from it."""
    if change is None:
        from ledger.cli.table import listing

        with settings.open() as book:
            rows = book.players_of_list(name)
        sys.stdout.write(listing(rows, empty=f"nobody is on {safe(name)}"))
        return 0
    if not players:
        raise UseError(f"list {name!r} {change} needs a player: type his name after it")
    with settings.open() as book:
        before = book.last_source()
        done = book.shortlist(name, players, add=change == "add", league=league)
        done += _way_back(book) if book.last_source() > before else ""
    say(done, quiet=settings.quiet)
    return 0


def _way_back(book: Book) -> str:
    return f"; to take it back: offglass undo {book.last_source()}"
