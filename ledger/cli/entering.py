"""`add`, `settle`: attempts, trips and tags typed by hand."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING

import click

from ledger.cli.notices import say
from ledger.cli.row_options import row_options
from ledger.cli.settings import Settings, common_options
from ledger.errors import UseError

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.intake.entry import Entered
    from ledger.intake.read import ReadOptions

_KINDS = ("attempts", "box", "totals", "tags", "players", "shortlist")
_ONE = {"attempt": "attempts", "tag": "tags", "trip": "attempts"}
_MANY = {"attempt": "attempts", "tag": "tags", "total": "totals", "player": "players"}


@click.command()
@click.argument("what", metavar="attempt|trip|tag|...")
@click.argument("values", nargs=-1, metavar="[ATTEMPT] FIELD=VALUE...")
@click.option("--stdin", "piped", is_flag=True, help="Read CSV rows with a header instead.")
@row_options
@common_options
def add(
    settings: Settings,
    what: str,
    values: tuple[str, ...],
    piped: bool,
    maps: tuple[str, ...],
    sets: tuple[str, ...],
    words: tuple[str, ...],
    dates: str | None,
    tagger: str | None,
    drawn: bool,
    as_json: bool,
) -> int:
    r"""Add an attempt, a trip to the line or a tag by hand; the rules are those of files.

    \b
    offglass add attempt league=L season=S date=D game=G team=T player=P made=yes
    offglass add trip made=yes,no league=L season=S date=D game=G team=T player=P
    offglass add tag 12 technique=board miss_depth=long
    offglass add attempts --stdin < rows.csv

    With --stdin also tags, box, totals, players and shortlist. The ledger is made where there is
    none. Each call is a source: offglass undo takes it back.
    """
    from ledger.intake.options import typed

    kind = _kind(what, piped)
    options = typed(maps, sets, words, dates=dates, drawn=drawn, tagger=tagger)
    if piped and values:
        raise UseError(
            "--stdin takes its rows from standard input: leave FIELD=VALUE out, or --set"
        )
    with settings.open_for_records() as book:
        if piped:
            done = book.add_lines(kind, sys.stdin.buffer.read(), options)
        else:
            done = _typed(book, what, values, options)
    if as_json:
        json.dump(done.as_dict(), sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    else:
        say(done.report.words() if piped else done.words(), quiet=settings.quiet)
    return done.report.exit_code


@click.command()
@click.argument("attempt", type=int)
@click.argument("technique")
@common_options
def settle(settings: Settings, attempt: int, technique: str) -> int:
    """Settle the TECHNIQUE of a disputed ATTEMPT: your word stands above its other tags."""
    with settings.open() as book:
        say(book.settle(attempt, technique), quiet=settings.quiet)
    return 0


def _kind(what: str, piped: bool) -> str:
    if piped:
        kind = _MANY.get(what, what)
        if kind not in _KINDS:
            raise UseError(f"add {what} --stdin: rows may be {', '.join(_KINDS)}")
        return kind
    if what not in _ONE:
        if what in _KINDS:
            raise UseError(f"add {what} takes rows: type offglass add {what} --stdin < FILE")
        raise UseError(f"add {what}: type add attempt, add trip or add tag, or rows with --stdin")
    return _ONE[what]


def _typed(book: Book, what: str, values: tuple[str, ...], options: ReadOptions) -> Entered:
    attempt = None
    if what == "tag" and values and "=" not in values[0]:
        if not values[0].isdecimal():
            raise UseError(
                f"add tag {values[0]!r}: an attempt has a number (offglass ask attempts shows it), "
                "or attempt_id=ID, or league, season, date, game, player and nth"
            )
        attempt, values = int(values[0]), values[1:]
    fields = _fields(what, values)
    if what == "trip":
        made = fields.pop("made", "")
        return book.add_trip(made, fields, options)
    return book.add(_ONE[what], [fields], options, attempt=attempt)


def _fields(what: str, values: tuple[str, ...]) -> dict[str, str]:
    fields: dict[str, str] = {}
    for text in values:
        name, sign, value = text.partition("=")
        if not sign or not name.strip():
            raise UseError(f"add {what}: {text!r} is no field: write FIELD=VALUE, such as made=yes")
        if name.strip() in fields:
            raise UseError(f"{name.strip()} is given twice: leave one out")
        fields[name.strip()] = value
    return fields
