"""`demo`: the main job from files to pictures, on an invented scenario."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ledger.cli.notices import say
from ledger.cli.settings import Settings, common_options

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.cli.demo_ledger import Progress
    from ledger.questions.answer import Answer

USUAL_FOLDER = "offglass-demo"
BRIEF, SLIDES = "brief.html", "slides.pptx"
PICTURES = (("light", "png"), ("light", "svg"))


@click.command()
@click.argument("folder", default=USUAL_FOLDER, metavar="[DIR]")
@click.option(
    "--attempts", type=click.IntRange(6_000, 1_000_000), help="How many; 150,000 unless given."
)
@click.option("--seed", type=int, help="Of the invented scenario.")
@common_options
def demo(settings: Settings, folder: str, attempts: int | None, seed: int | None) -> int:
    """Build the invented demo in DIR, ask every question, write charts, tables, brief and slides.

    The headlines go to stdout. On a terminal it then offers to open the ledger.
    """
    from ledger.cli.demo_ledger import LEDGER, build, make_room

    home = Path(folder)
    make_room(home)
    with click.progressbar(
        length=100, label="building the demo", file=sys.stderr, hidden=settings.quiet
    ) as bar:
        book, manifest, reports = build(home, seed=seed, attempts=attempts, progress=_to(bar))
    refused = sum(r.rejected for r in reports)
    say(f"{len(reports)} files read, {refused} rows refused", quiet=settings.quiet)
    with book:
        answers, pictures = _ask_and_draw(book, settings, home, _asked(manifest))
        _write_tables(answers, home / "tables")
    for answer in answers:
        sys.stdout.write(f"{answer.question}: {answer.headline}\n")
    say(f"ledger: {home / LEDGER}", quiet=settings.quiet)
    say(f"tables: {home / 'tables'}; {pictures} pictures: {home / 'charts'}", quiet=settings.quiet)
    say(f"for a staff: {home / BRIEF}, {home / SLIDES}", quiet=settings.quiet)
    return _offer(home / LEDGER, settings)


def _to(bar: object) -> Progress:
    state = {"at": 0}

    def progress(done: int, of: int, what: str) -> None:  # noqa: ARG001
        now = 100 * done // of
        bar.update(now - state["at"])  # type: ignore[attr-defined]
        state["at"] = now

    return progress


def _asked(manifest: Any) -> dict[str, dict[str, Any]]:
    """What some questions need to be asked of somebody: as a person of the scenario would."""
    return {
        "candidates": {"list": manifest.shortlist[0].list},
        "worth": {"per_possession": 1.0},
        "player": {"player": manifest.rumour.player},
    }


def _ask_and_draw(
    book: Book, settings: Settings, home: Path, asked: dict[str, dict[str, Any]]
) -> tuple[list[Answer], int]:
    """Every answer, and the number of pictures; one is drawn while the next is asked.

    Brief and slides ask much of the same once more, so all of it is asked together.
    """
    from concurrent.futures import ThreadPoolExecutor

    from ledger.questions.registry import QUESTIONS
    from ledger.questions.together import asked_together

    folder, focus = home / "charts", settings.focus_names
    folder.mkdir()
    answers = []
    with ThreadPoolExecutor(max_workers=1) as beside, asked_together():
        drawing = []
        for name in QUESTIONS:
            answer = book.ask(name, focus=focus, **asked.get(name, {}))
            answers.append(answer)
            wanted = [(answer, folder / f"{name}-{t}.{e}", t) for t, e in PICTURES]
            drawing.append(beside.submit(book.export_charts, wanted))
        book.export_brief(home / BRIEF, focus=focus)
        book.export_deck(home / SLIDES, focus=focus)
        for done in drawing:
            done.result()
    return answers, len(PICTURES) * len(drawing)


def _write_tables(answers: list[Answer], folder: Path) -> None:
    folder.mkdir()
    for answer in answers:
        parts = {"": answer.main, **{f"-{name}": part for name, part in answer.parts.items()}}
        for name, part in parts.items():
            (folder / f"{answer.question}{name}.csv").write_text(part.csv(), encoding="utf-8")
        if answer.question != "attempts":
            (folder / f"{answer.question}.json").write_text(answer.json(), encoding="utf-8")


def _offer(path: Path, settings: Settings) -> int:
    if settings.quiet or not (sys.stdin.isatty() and sys.stderr.isatty()):
        return 0
    if not click.confirm("Open it in the terminal program?", default=True, err=True):
        return 0
    from dataclasses import replace

    from ledger.cli.terminal import open_terminal

    return open_terminal(replace(settings, ledger=str(path)))
