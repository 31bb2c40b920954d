"""`same` and `word`: what names and words of files mean in this ledger."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING

import click

from ledger.cli.notices import say
from ledger.cli.settings import Settings, common_options
from ledger.errors import UseError
from ledger.safe_text import safe

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ledger.store.offers import Offer


@click.command()
@click.argument("names", nargs=-1, metavar="[NAME NAME...]")
@click.option("--team", "is_team", is_flag=True, help="The names are those of a team.")
@click.option("--league", "is_league", is_flag=True, help="The names are those of a league.")
@click.option("--in", "within", metavar="LEAGUE", help="Look for the names in this league.")
@click.option("--apart", is_flag=True, help="They are not one: part them, offer them no more.")
@click.option("--json", "as_json", is_flag=True, help="The offers as JSON.")
@click.option("--limit", type=click.IntRange(min=1), help="Only the first offers.")
@common_options
def same(
    settings: Settings,
    names: tuple[str, ...],
    is_team: bool,
    is_league: bool,
    within: str | None,
    apart: bool,
    as_json: bool,
    limit: int | None,
) -> int:
    """Say that NAME and NAME are one player; without names list the pairs that may be one.

    The first name is the one shown. A name that several have is told by what stands behind it:
    "NAME (TEAM)" or "NAME (LEAGUE)". Nothing is ever joined by itself, and undo takes it back.
    """
    if is_team and is_league:
        raise UseError("--team and --league exclude each other")
    if not names:
        if is_league or within or apart:
            raise UseError("give the names: offglass same [--team|--league] NAME NAME")
        return _list(settings, as_json, limit, only="team" if is_team else None)
    kind = "team" if is_team else "league" if is_league else "player"
    with settings.open() as book:
        change = book.apart if apart else book.same
        say(change(names, kind=kind, within=within), quiet=settings.quiet)
    return 0


def _list(settings: Settings, as_json: bool, limit: int | None, *, only: str | None) -> int:
    with settings.open() as book:
        found = [o for o in book.offers() if only in (None, o.kind)]
    shown = found[:limit]
    if as_json:
        json.dump([o.as_dict() for o in shown], sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    else:
        sys.stdout.write("".join(f"{safe(line)}\n" for line in _lines(shown)))
    if not found:
        say(f"no two names look like one {only or 'player or team'}", quiet=settings.quiet)
        return 0
    option = " --team" if only == "team" else ""
    more = f" ({len(shown)} shown)" if len(shown) < len(found) else ""
    say(
        f"{len(found)} open offer{'s' * (len(found) > 1)}{more}: type offglass same{option} "
        "NAME NAME to join two, --apart NAME NAME where they are two",
        quiet=settings.quiet,
    )
    return 0


def _lines(offers: Sequence[Offer]) -> list[str]:
    """Each offer with what is known of both names and what to type."""
    out = []
    for offer in offers:
        if offer.other is None:
            out += [f"{offer.one.words()}", f"  {offer.why}: kept as one player"]
            continue
        names = " ".join(_quoted(side.name) for side in (offer.one, offer.other))
        option = "--team " if offer.kind == "team" else ""
        out += [
            f"{offer.one.words()}",
            f"{offer.other.words()}",
            f"  {offer.why}; if so: offglass same {option}{names}",
        ]
    return out


def _quoted(name: str) -> str:
    import shlex

    return f'"{name}"' if not set(name) & set('"\\$`!') else shlex.quote(name)


@click.command()
@click.argument("meanings", nargs=-1, required=True, metavar="FIELD:TEXT=VALUE...")
@common_options
def word(settings: Settings, meanings: tuple[str, ...]) -> int:
    """Say for good what a word means, for example technique:banked=board.

    Tags that were written with the word are read anew; undo takes it back.
    """
    parted = [_parted(meaning) for meaning in meanings]
    with settings.open() as book:
        for field, text, value in parted:
            before = book.last_source()
            book.add_word(field, text, value)
            number = book.last_source()
            back = f"; to take it back: offglass undo {number}" if number > before else ""
            say(f"{text} means {value} in {field} from now on{back}", quiet=settings.quiet)
    return 0


def _parted(meaning: str) -> tuple[str, str, str]:
    field, colon, rest = meaning.partition(":")
    text, sign, value = rest.rpartition("=")
    if not (colon and sign and field.strip() and text.strip() and value.strip()):
        raise UseError(f"{meaning!r} is no word: write FIELD:TEXT=VALUE, for example made:GOOD=yes")
    return field.strip(), text.strip(), value.strip()
