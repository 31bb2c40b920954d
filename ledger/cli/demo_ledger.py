"""Building the demo ledger: the invented scenario, read as its files would be in life."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ledger import resources
from ledger.errors import UseError

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.intake.report import Report

LEDGER = "demo.duckdb"
FILES = "files"
WHO = "the demo"

# done, of how many, what was done
Progress = Callable[[int, int, str], None]


def make_room(folder: Path) -> None:
    """Make the folder of a demo.

    Raises:
        UseError: if something lies there already.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise UseError(f"{folder} is not an empty folder: name a new one, `offglass demo FOLDER`")
    (folder / FILES).mkdir(parents=True)


def build(
    folder: Path, *, seed: int | None = None, attempts: int | None = None, progress: Progress
) -> tuple[Book, Any, list[Report]]:
    """Write the scenario's files into `folder`/files and bring them all into a new ledger there.

    Args:
        folder: as left by `make_room`.
        seed: of the scenario; the usual one unless given.
        attempts: how many; the usual number unless given.
        progress: is told after each step.

    Returns:
        The open book, the scenario's manifest (with the planted truth), the reports in order.
    """
    import ledger
    from ledger.intake.options import typed

    demo = resources.demo_module()
    said: dict[str, Any] = {"seed": seed, "attempts": attempts}
    manifest = demo.generate(folder / FILES, **{k: v for k, v in said.items() if v is not None})
    book = ledger.open(folder / LEDGER, create=True, who=WHO)
    steps = len(manifest.steps) + 1
    reports: list[Report] = []
    watched: dict[str, list[tuple[str, str, str]]] = {}

    def bring(step: Any) -> None:
        o = step.options
        options = typed(
            o.get("map", ()),
            o.get("set", ()),
            o.get("word", ()),
            encoding=o.get("encoding"),
            dates=o.get("dates"),
            drawn=o.get("drawn", False),
            tagger=o.get("tagger"),
        )
        reports.append(book.import_file(step.path, step.kind, options))

    try:
        heard = manifest.rumour
        for number, step in enumerate(manifest.steps, 1):
            if isinstance(step, demo.Lot):
                lot = book.lot(
                    step.name,
                    league=step.league,
                    season=step.season,
                    players=step.players,
                    seed=step.seed,
                )
                watched[step.name] = [(lot.league, lot.season, p.name) for p in lot.players]
                progress(number, steps, f"lot {step.name}")
            else:
                tags = isinstance(step, demo.TagsForLot)
                bring(manifest.write(step, watched[step.lot]) if tags else step)
                progress(number, steps, reports[-1].file)
        book.rumour(
            heard.text,
            season=heard.season,
            league=heard.league,
            player=heard.player,
            seen=heard.seen,
            where=heard.where,
        )
        progress(steps, steps, "the rumour")
    except BaseException:
        book.close()
        raise
    return book, manifest, reports
