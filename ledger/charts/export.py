"""A chart into a file: png, svg, pdf, html or json, by the file's ending."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ledger.charts.files import checked, write
from ledger.charts.painter import PAINTER
from ledger.charts.theme import FONT, size_of, theme_of
from ledger.errors import UseError
from ledger.questions.answer import Answer
from ledger.safe_text import safe

# The bundled letters have no minus sign: whatever else a machine has would stand in for it.
_MINUS, _DASH = "\u2212", "\u2013"
KINDS = ("png", "svg", "pdf", "html", "json")
# How far a file is when its chart is laid out, and when it is drawn: about a second in all.
_LAID_OUT, _DRAWN = 0.3, 0.95


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
    spec = specification(answer, theme=theme, size=size)
    progress(_LAID_OUT)
    drawn = _painted(answer, kind, spec, theme=theme, size=size)
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
    specs: dict[tuple[int, str, str], dict[str, Any]] = {}
    for (answer, path, theme, size), kind in zip(jobs, kinds, strict=True):
        key = (id(answer), theme, size)
        if key not in specs:
            specs[key] = specification(answer, theme=theme, size=size)
        write(path, _painted(answer, kind, specs[key], theme=theme, size=size))
    return [path for _, path, _, _ in jobs]


def picture(answer: Answer, kind: str, *, theme: str = "light", size: str = "wide") -> bytes:
    """The bytes of such a file, for a document that holds several.

    Raises:
        UseError: if the question has no chart, kind, theme or size is unknown, or drawing failed.
    """
    if kind not in KINDS:
        raise UseError(f"no picture is called {kind!r}: use {', '.join(KINDS)}")
    spec = specification(answer, theme=theme, size=size)
    return _painted(answer, kind, spec, theme=theme, size=size)


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
    spec = specification(answer, theme=theme, size=size)
    svg = _painted(answer, "svg", spec, theme=theme, size=size)
    meta, room = spec.get("usermeta", {}), size_of(size)
    said = tuple(meta.get("caption", []))
    return Figure(svg, room.width, room.height, said, blank=bool(meta.get("blank")))


def drawing(answer: Answer, *, theme: str = "light", size: str = "slide") -> Drawing:
    """A picture for a slide, whose title is the answer's headline.

    Raises:
        UseError: if the question has no chart, theme or size is unknown, or drawing failed.
    """
    drawn = figure(answer, theme=theme, size=size)
    png = _painted(answer, "png", {"drawing": drawn.svg.decode()}, theme=theme, size=size)
    return Drawing(png, drawn.svg, drawn.width, drawn.height, drawn.caption, blank=drawn.blank)


def _painted(answer: Answer, kind: str, spec: dict[str, Any], *, theme: str, size: str) -> bytes:
    if kind == "json":
        return json.dumps(spec, ensure_ascii=False, allow_nan=False, indent=1).encode() + b"\n"
    looks = theme_of(theme)
    request = {
        "spec": spec,
        "kind": kind,
        "title": safe(answer.headline),
        "description": alt_text(answer),
        "look": {"paper": looks.paper, "ink": looks.ink, "font": FONT},
        "width": size_of(size).width,
    }
    return PAINTER.paint(request)


def alt_text(answer: Answer) -> str:
    """The picture in words, for those who cannot see it."""
    return f"{safe(answer.title)} {safe(answer.headline)} {safe(answer.cohort)}.".strip()


def specification(answer: Answer, *, theme: str = "light", size: str = "wide") -> dict[str, Any]:
    """The chart in Vega-Lite, data inside, every text in it safe to show.

    Raises:
        UseError: if the question has no chart, or theme or size is unknown.
    """
    import altair as alt

    from ledger.charts.registry import draw

    theme_of(theme), size_of(size)
    drawer: Callable[..., Any] = answer.draw or draw
    chart = drawer(answer, theme=theme, size=size)
    # Whatever theme a notebook has switched on, the picture is the same. That the charts are valid
    # is a matter of their tests; looking again at each costs as long as drawing it.
    with alt.theme.enable(f"offglass-{theme}"):
        spec: dict[str, Any] = _safe(chart.to_dict(validate=False))
    return {**spec, "description": alt_text(answer)}


def _safe(value: Any) -> Any:
    if isinstance(value, str):
        return safe(value).replace(_MINUS, _DASH)
    if isinstance(value, Mapping):
        return {str(k): _safe(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_safe(v) for v in value]
    return value
