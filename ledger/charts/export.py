"""A chart into a file: png, svg, pdf, html or json, by the file's ending."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from ledger.charts.errand import Errand, Pictures
from ledger.charts.files import checked, write
from ledger.charts.painter import PAINTER
from ledger.charts.theme import size_of
from ledger.errors import UseError
from ledger.questions.answer import Answer

KINDS = ("png", "svg", "pdf", "html", "json")
# How far a file is when its drawing begins, and when it is drawn: about a second in all.
_BEGUN, _DRAWN = 0.1, 0.95


def export(
    answer: Answer,
    path: Path,
    *,
    theme: str = "light",
    size: str = "wide",
    progress: Callable[[float], None] = lambda _part: None,
) -> Path:
    """Draw an answer into a file.

    The file appears whole or not at all; a regular file that is there is replaced.

    Args:
        answer: complete.
        path: its ending decides the kind: .png (twice as many pixels as chart units), .svg, .pdf,
            .html (one file, works offline) or .json (the chart in Vega-Lite).
        theme: light or dark.
        size: wide, square or tall.
        progress: is told how far it is, 0..1; raises where the file is no longer wanted.

    Returns:
        The path.

    Raises:
        UseError: if the question has no chart, theme, size or ending is unknown, the file cannot
            be written, or drawing failed; then nothing is written.
    """
    kind = checked(path, KINDS)
    progress(_BEGUN)
    (drawn,) = _fetched(answer, [kind], theme=theme, size=size).files
    progress(_DRAWN)
    write(path, drawn)
    return path


def export_many(jobs: Iterable[tuple[Answer, Path, str, str]]) -> list[Path]:
    """Draw several answers into files with one drawing process; each a path, theme and size.

    Every path is looked at before the first picture is drawn.

    Raises:
        UseError: as `export`, at the first that fails; those before it are written.
    """
    jobs = list(jobs)
    kinds = [checked(path, KINDS) for _, path, _, _ in jobs]
    wanted: dict[tuple[int, str, str], list[int]] = {}
    for place, (answer, _, theme, size) in enumerate(jobs):
        wanted.setdefault((id(answer), theme, size), []).append(place)
    for (_, theme, size), places in wanted.items():
        # One drawing serves every kind of file.
        answer = jobs[places[0]][0]
        drawn = _fetched(answer, [kinds[place] for place in places], theme=theme, size=size)
        for place, file in zip(places, drawn.files, strict=True):
            write(jobs[place][1], file)
    return [path for _, path, _, _ in jobs]


def picture(answer: Answer, kind: str, *, theme: str = "light", size: str = "wide") -> bytes:
    """The bytes of such a file, for a document that holds several.

    Raises:
        UseError: if the question has no chart, kind, theme or size is unknown, or drawing failed.
    """
    if kind not in KINDS:
        raise UseError(f"no picture is called {kind!r}: use {', '.join(KINDS)}")
    (drawn,) = _fetched(answer, [kind], theme=theme, size=size).files
    return drawn


@dataclass(frozen=True, slots=True)
class Figure:
    """One picture without headline and caption, for a document that has both beside it.

    Attributes:
        svg: sharp at any size.
        width: in chart units.
        height: in chart units.
        caption: the sentences that belong under it.
        blank: whether it only says why there is nothing to draw.
    """

    svg: bytes
    width: int
    height: int
    caption: tuple[str, ...]
    blank: bool = False


@dataclass(frozen=True, slots=True)
class Drawing:
    """One picture in both ways a slide wants it, without headline and caption.

    Attributes:
        png: for every program.
        svg: the same, sharp at any size.
        width: in chart units.
        height: in chart units.
        caption: the sentences that belong under it.
        blank: whether it only says why there is nothing to draw.
    """

    png: bytes
    svg: bytes
    width: int
    height: int
    caption: tuple[str, ...]
    blank: bool = False


def figure(answer: Answer, *, theme: str = "light", size: str = "page") -> Figure:
    """A picture for a page that says its headline and caption in words.

    Raises:
        UseError: if the question has no chart, theme or size is unknown, or drawing failed.
    """
    drawn = _fetched(answer, ["svg"], theme=theme, size=size)
    room = size_of(size)
    return Figure(drawn.files[0], room.width, room.height, drawn.caption, blank=drawn.blank)


def drawing(answer: Answer, *, theme: str = "light", size: str = "slide") -> Drawing:
    """A picture for a slide, whose title is the answer's headline.

    Raises:
        UseError: if the question has no chart, theme or size is unknown, or drawing failed.
    """
    drawn = _fetched(answer, ["png", "svg"], theme=theme, size=size)
    (png, svg), room = drawn.files, size_of(size)
    return Drawing(png, svg, room.width, room.height, drawn.caption, blank=drawn.blank)


def _fetched(answer: Answer, kinds: Sequence[str], *, theme: str, size: str) -> Pictures:
    errand = Errand(answer, tuple(kinds), theme, size)
    return Pictures.of(PAINTER.paint(errand.request()))
