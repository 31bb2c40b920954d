"""`brief` and `deck`: the whole story as a page, or as slides for a staff."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING, Any

import click

from ledger.cli.cohort_options import cohort_options
from ledger.cli.notices import say
from ledger.cli.progress import shown
from ledger.cli.settings import Settings, common_options
from ledger.errors import UseError

if TYPE_CHECKING:
    from ledger.telling import DeckItem


@click.command()
@click.option("-o", "--output", metavar="FILE.html", required=True, help="Where to write the page.")
@cohort_options
@common_options
def brief(settings: Settings, cohort: dict[str, Any], output: str) -> int:
    """Write the whole story as one page, for people who were not in the room.

    The rumour first, then the answer in five sentences, each question with its picture and rows,
    who to watch next, clips to show, and at the end what you will be asked. The page needs no
    network; print it from any browser.
    """
    from ledger.cohort import Cohort

    with settings.open() as book, shown(quiet=settings.quiet) as progress:
        written = book.export_brief(
            output,
            cohort=Cohort.of(**cohort) if cohort else None,
            focus=settings.focus_names,
            progress=progress,
        )
    say(f"written: {written}", quiet=settings.quiet)
    return 0


@click.command()
@click.option("-o", "--output", metavar="FILE.pptx", help="Where to write the slides.")
@click.option(
    "--questions",
    metavar="A,B,...",
    help="Which, in this order; the deck, or else the usual ones unless given.",
)
@click.option(
    "--template", metavar="FILE.pptx", help="A template of yours: its sizes, letters and colours."
)
@click.option("--theme", type=click.Choice(["light", "dark"]), default="light")
@click.option("--show", "listed", is_flag=True, help="Show the answers that are in the deck.")
@click.option("--json", "as_json", is_flag=True, help="With --show: as JSON.")
@cohort_options
@common_options
def deck(
    settings: Settings,
    cohort: dict[str, Any],
    output: str | None,
    questions: str | None,
    template: str | None,
    theme: str,
    listed: bool,
    as_json: bool,
) -> int:
    """Write slides: the answer in short, one message a slide, and what you will be asked.

    Answers are put into the deck in the terminal program. With --questions they are asked anew, of
    the attempts that the other options say.
    """
    if listed == (output is not None):
        raise UseError("say where to write the slides: -o FILE.pptx; or --show what is in the deck")
    if as_json and not listed:
        raise UseError("--json goes with --show")
    if output is None:
        with settings.open() as book:
            items = book.deck()
        sys.stdout.write(_as_json(items) if as_json else _page(items))
        return 0

    from ledger.cohort import Cohort

    with settings.open() as book, shown(quiet=settings.quiet) as progress:
        written = book.write_deck(
            output,
            questions=_names(questions),
            cohort=Cohort.of(**cohort) if cohort else None,
            focus=settings.focus_names,
            theme=theme,
            template=template,
            progress=progress,
        )
    say(f"written: {written.words()}", quiet=settings.quiet)
    return 0


def _names(questions: str | None) -> list[str] | None:
    if questions is None:
        return None
    names = [name.strip() for name in questions.split(",") if name.strip()]
    if not names:
        raise UseError("--questions takes names parted by commas, such as uptake,adopters")
    return names


def _page(items: list[DeckItem]) -> str:
    """A line an answer: its place, the question, which attempts, and its number."""
    if not items:
        return "nothing is in the deck: the usual questions make the slides\n"
    from ledger.safe_text import safe

    lines = [f"{i.place}  {i.title}  {i.cohort}  (item {i.number})" for i in items]
    return "".join(f"{safe(line)}\n" for line in lines)


def _as_json(items: list[DeckItem]) -> str:
    rows = [
        {
            "item": item.number,
            "place": item.place,
            "question": item.question,
            "asked": dict(item.asked),
        }
        for item in items
    ]
    return json.dumps(rows, ensure_ascii=False, indent=1) + "\n"
