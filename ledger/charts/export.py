"""A chart into a file: png, svg, pdf, html or json, by the file's ending."""

from __future__ import annotations

import json
import os
import secrets
import stat
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any

from ledger.charts.painter import PAINTER
from ledger.charts.theme import FONT, size_of, theme_of
from ledger.errors import UseError
from ledger.questions.answer import Answer
from ledger.safe_text import safe

KINDS = ("png", "svg", "pdf", "html", "json")


def export(answer: Answer, path: Path, *, theme: str = "light", size: str = "wide") -> Path:
    """Draw an answer into a file.

    The file appears whole or not at all; a regular file that is there is replaced.

    Args:
        answer: complete.
        path: its ending decides the kind: .png (twice as many pixels as chart units), .svg, .pdf,
            .html (one file, works offline) or .json (the chart in Vega-Lite).
        theme: light or dark.
        size: wide, square or tall.

    Returns:
        The path.

    Raises:
        UseError: if the question has no chart, theme, size or ending is unknown, the file cannot
            be written, or drawing failed; then nothing is written.
    """
    kind = _checked(path)
    _write(path, picture(answer, kind, theme=theme, size=size))
    return path


def export_many(jobs: Iterable[tuple[Answer, Path, str, str]]) -> list[Path]:
    """Draw several answers into files with one drawing process; each a path, theme and size.

    Every path is looked at before the first picture is drawn.

    Raises:
        UseError: as `export`, at the first that fails; those before it are written.
    """
    jobs = list(jobs)
    kinds = [_checked(path) for _, path, _, _ in jobs]
    specs: dict[tuple[int, str, str], dict[str, Any]] = {}
    for (answer, path, theme, size), kind in zip(jobs, kinds, strict=True):
        key = (id(answer), theme, size)
        if key not in specs:
            specs[key] = specification(answer, theme=theme, size=size)
        _write(path, _painted(answer, kind, specs[key], theme=theme, size=size))
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
        return safe(value)
    if isinstance(value, Mapping):
        return {str(k): _safe(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_safe(v) for v in value]
    return value


def _checked(path: Path) -> str:
    """The kind of a file that can be written.

    Raises:
        UseError: if its ending is unknown, its folder is missing, or something else is there.
    """
    kind = path.suffix[1:].lower()
    if kind not in KINDS:
        endings = ", ".join(f".{k}" for k in KINDS)
        raise UseError(f"{path.name!r} has no ending of a picture: use one of {endings}")
    if not path.parent.is_dir():
        raise UseError(f"there is no folder {str(path.parent)!r}: make it first")
    try:
        there = path.lstat()
    except FileNotFoundError:
        return kind
    except OSError as error:
        raise UseError(f"{str(path)!r} cannot be written: {error.strerror}") from None
    if not stat.S_ISREG(there.st_mode):
        raise UseError(f"{str(path)!r} is there and no ordinary file: give another name")
    return kind


def _write(path: Path, content: bytes) -> None:
    """The whole file in one step, so that nobody ever sees half a picture."""
    part = path.parent / f".offglass-{secrets.token_hex(8)}.part"
    try:
        with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666), "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(part, path)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise UseError(
            f"{str(path)!r} cannot be written: {error.strerror}; give another folder"
        ) from None
    except BaseException:
        part.unlink(missing_ok=True)
        raise
