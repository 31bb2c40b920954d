"""`profile new`, `try`, `save`, `list`: how the files of a league map to fields."""

from __future__ import annotations

import json
import re
import shlex
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.cli.notices import say
from ledger.cli.settings import Settings, common_options
from ledger.errors import UseError
from ledger.safe_text import safe

if TYPE_CHECKING:
    from ledger.intake.draft.preview import Preview
    from ledger.intake.profile import Profile
    from ledger.intake.words import Words

KINDS = ("attempts", "box", "totals", "tags", "players")


@click.group(no_args_is_help=False)
@common_options
def profile(settings: Settings) -> None:
    """Mapping profiles: drafted from a file, tried, saved, used with `import --profile`."""


@profile.command("new")
@click.argument("file")
@click.option("-o", "out", metavar="OUT.toml", help="Where to write it; stdout unless given.")
@click.option("--as", "kind", type=click.Choice(KINDS), help="What a row is, where you know it.")
@click.option("--encoding", metavar="NAME", help="The file's letters, where they are not UTF-8.")
@click.option("--sheet", metavar="NAME", help="The sheet of a workbook.")
@click.option("--path", metavar="JSONPATH", help="Where the records of a JSON document are.")
@common_options
def new_profile(
    settings: Settings,
    file: str,
    out: str | None,
    kind: str | None,
    encoding: str | None,
    sheet: str | None,
    path: str | None,
) -> int:
    """Draft a profile from FILE, with a reason beside every line and what stays open as questions.

    It proposes what headers and values show and asks what they do not: mend the lines marked ASK,
    then `offglass profile try`.
    """
    from ledger.intake import snapshot
    from ledger.intake.draft import draft
    from ledger.intake.forms import Form

    if out is not None and Path(out).exists():
        raise UseError(f"{out} is there already and is never overwritten: name another file")
    drafted = draft(snapshot.take(file), kind, Form(encoding=encoding, sheet=sheet, path=path))
    if out is None:
        sys.stdout.write(drafted.text.rstrip("\n") + "\n")
    else:
        _write(Path(out), drafted.text)
    for question in drafted.questions:
        say(f"to answer: {question}", quiet=settings.quiet)
    number = len(drafted.questions)
    left = (
        f"{number} question{'' if number == 1 else 's'} to answer in it" if number else "complete"
    )
    pasted = shlex.join([out or "PROFILE.toml", file])
    say(
        f"drafted as {drafted.kind}: {left}; next: offglass profile try {pasted}",
        quiet=settings.quiet,
    )
    return 0


def _write(path: Path, text: str) -> None:
    try:
        with path.open("x", encoding="utf-8", newline="\n") as out:
            out.write(text)
    except FileExistsError:
        raise UseError(
            f"{path} is there already and is never overwritten: name another file"
        ) from None


@profile.command("try")
@click.argument("name", metavar="PROFILE")
@click.argument("file")
@click.option("--limit", type=click.IntRange(min=0), default=10, help="How many records to show.")
@click.option("--json", "as_json", is_flag=True, help="All of it as JSON.")
@common_options
def try_profile(settings: Settings, name: str, file: str, limit: int, as_json: bool) -> int:
    """Show the first records of FILE as PROFILE would have them stored, and count the rest.

    PROFILE is a file, or the name of a profile in the ledger. Nothing is stored; a ledger is not
    needed, its words are used where there is one.
    """
    from ledger.intake import snapshot
    from ledger.intake.draft.preview import preview
    from ledger.intake.read import beside_of

    meant, words = _meant(settings, name)
    found = preview(meant, snapshot.take(file), beside_of(file), words=words, limit=limit)
    if as_json:
        json.dump(found.as_dict(), sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(_page(found))
    for question in found.questions:
        say(f"to answer: {question}", quiet=settings.quiet)
    return found.exit_code


def _meant(settings: Settings, name: str) -> tuple[Profile, Words | None]:
    """The profile of a file or a name, and the ledger's words where there is a ledger."""
    from ledger.intake.profile import parse
    from ledger.intake.profile.keeping import text_of

    words = None
    if settings.path.exists():
        with settings.open() as book:
            words = book.words()
            if not Path(name).is_file():
                return book.profile(name), words
    elif not Path(name).is_file():
        raise UseError(f"{name}: no such file, and no ledger that could hold a profile of the name")
    return parse(text_of(name), Path(name).name), words


def _page(found: Preview) -> str:
    from ledger.cli.table import listing

    lines = [f"{found.file} by the profile {found.profile}, a row as {found.kind}", ""]
    shown = [{n: _cell(v) for n, v in row.items()} for row in found.first]
    lines.append(listing(shown, empty="no record"))
    rejected = sum(n for n, _ in found.rejected.values())
    skipped = sum(n for n, _ in found.skipped.values())
    lines.append(
        f"{_count(found.rows, 'row')}: {_count(found.records, 'record')}, {rejected:,} rejected,"
        f" {skipped:,} skipped; nothing was stored"
    )
    for what, counted in (("rejected", found.rejected), ("skipped", found.skipped)):
        lines += [f"{what} {r}: {n:,}, {example}" for r, (n, example) in counted.items()]
    for field, words in found.words.items():
        told = ", ".join(f"{t} {n:,} ({v or 'unknown'})" for t, n, v in words)
        lines.append(f"words of {field}: {told or 'none'}")
    if found.open_fields:
        lines.append(f"left out until it is answered: {', '.join(found.open_fields)}")
    lines += [f"note: {warning}" for warning in found.warnings]
    return "".join(f"{safe(part)}\n" for line in lines for part in line.rstrip("\n").split("\n"))


def _count(number: int, what: str) -> str:
    return f"{number:,} {what}{'' if number == 1 else 's'}"


def _cell(value: object) -> object:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else value


@profile.command("save")
@click.argument("file")
@click.option("--name", metavar="NAME", help="What to call it; the name in it unless given.")
@common_options
def save_profile(settings: Settings, file: str, name: str | None) -> int:
    """Check the profile in FILE and keep it in the ledger by its name.

    The same name again replaces it; `offglass undo` brings the old one back.
    """
    from ledger.intake.profile.keeping import text_of

    text = text_of(file)
    if name is not None:
        text = _renamed(text, name, file)
    with settings.open_for_records() as book:
        saved = book.save_profile(text, Path(file).name)
    if saved.source is None:
        say(f"profile {saved.name} is in the ledger already, the same", quiet=settings.quiet)
        return 0
    typed = shlex.join(["offglass", "import", "FILE", "--profile", saved.name])
    say(
        f"profile {saved.name} saved; next: {typed}; to take it back: offglass undo {saved.source}",
        quiet=settings.quiet,
    )
    return 0


def _renamed(text: str, name: str, file: str) -> str:
    """The profile's text under another name; the rest of it stays as it was written."""
    from ledger.intake.draft.plan import literal
    from ledger.intake.profile import parse

    top = re.search(r"(?m)^[ \t]*\[", text)
    end = top.start() if top else len(text)
    line = f"name = {literal(name)}"
    renamed, times = re.subn(r"(?m)^[ \t]*name[ \t]*=.*$", lambda _: line, text[:end], count=1)
    whole = renamed + text[end:]
    if not times or parse(whole, Path(file).name).name != name.strip():
        raise UseError(f"{file}: write its name on a line of its own, name = {literal(name)}")
    return whole


@profile.command("list")
@click.argument("name", required=False)
@click.option("--json", "as_json", is_flag=True, help="The list as JSON.")
@common_options
def list_profiles(settings: Settings, name: str | None, as_json: bool) -> int:
    """List the profiles of the ledger, or print the one called NAME, to be mended and saved."""
    from ledger.cli.table import listing
    from ledger.intake.profile import parse

    with settings.open() as book:
        if name is not None:
            sys.stdout.write(book.profile(name).body.rstrip("\n") + "\n")
            return 0
        saved = book.profiles()
    rows = []
    for one in saved:
        meant = replace(parse(one.body, one.name), name=one.name)
        rows.append(
            {
                "name": one.name,
                "kind": meant.kind,
                "who": one.who,
                "when": f"{one.when:%Y-%m-%d %H:%M}",
                "fields": ", ".join(_fields(meant)),
            }
        )
    if as_json:
        json.dump(rows, sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(listing(rows, empty="no profile is saved yet: offglass profile new FILE"))
    return 0


def _fields(meant: Profile) -> list[str]:
    """The fields a profile fills, in the order of its sections."""
    from ledger.intake.profile.patterns import group_names

    found = [*meant.constants, *meant.fields]
    found += group_names(meant.file_name) if meant.file_name else []
    found += [g for text in meant.texts for g in group_names(text.pattern)]
    found += ["made", "attempts"] if meant.pair is not None else []
    return list(dict.fromkeys(found))
