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

    demo = resources.demo_module()
    said = {k: v for k, v in (("seed", seed), ("attempts", attempts)) if v is not None}
    manifest = demo.generate(folder / FILES, **said)
    book = ledger.open(folder / LEDGER, create=True, who=WHO)
    life = _Life(book, manifest)
    steps = len(manifest.steps) + 1
    try:
        for number, step in enumerate(manifest.steps, 1):
            progress(number, steps, life.take(step))
        life.hear()
        progress(steps, steps, "the rumour")
    except BaseException:
        book.close()
        raise
    return book, manifest, life.reports


class _Life:
    """The scenario's steps as they happen to one ledger."""

    def __init__(self, book: Book, manifest: Any) -> None:
        self.reports: list[Report] = []
        self._book = book
        self._manifest = manifest
        self._watched: dict[str, list[tuple[str, str, str]]] = {}

    def take(self, step: Any) -> str:
        """Do one step; what it was, in a few words."""
        demo = resources.demo_module()
        if isinstance(step, demo.Lot):
            self._draw(step)
            return f"lot {step.name}"
        if isinstance(step, demo.TagsForLot):
            step = self._manifest.write(step, self._watched[step.lot])
        self._bring(step)
        return self.reports[-1].file

    def hear(self) -> None:
        """Store what raised the question."""
        heard = self._manifest.rumour
        self._book.rumour(
            heard.text,
            season=heard.season,
            league=heard.league,
            player=heard.player,
            seen=heard.seen,
            where=heard.where,
        )

    def _draw(self, step: Any) -> None:
        lot = self._book.lot(
            step.name,
            league=step.league,
            season=step.season,
            players=step.players,
            seed=step.seed,
        )
        self._watched[step.name] = [(lot.league, lot.season, p.name) for p in lot.players]

    def _bring(self, step: Any) -> None:
        from ledger.intake.options import typed

        given = step.options
        options = typed(
            given.get("map", ()),
            given.get("set", ()),
            given.get("word", ()),
            **{k: v for k, v in given.items() if k not in ("map", "set", "word")},
        )
        self.reports.append(self._book.import_file(step.path, step.kind, options))
