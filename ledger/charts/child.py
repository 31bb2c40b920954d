"""The drawing process: answers come in by standard input, finished pictures go out.

Drawing holds the interpreter's lock for a second and, fed with the wrong text, ends the whole
process; so it has a process of its own. One request is one line of JSON: an errand, a chart laid
out already (`spec`, `kind`, `title`, `description`, `look`, `width`), or the word to get ready. The
reply is one line of JSON (`bytes` or `error`) followed by so many bytes. Without a request for a
minute, or when its parent is gone, it ends.
"""

from __future__ import annotations

import json
import os
import sys
import threading
from functools import cache
from typing import Any, BinaryIO

from ledger.charts.errand import Errand, Pictures
from ledger.charts.html import page
from ledger.charts.metadata import told_png, told_svg
from ledger.charts.specification import alt_text, specification
from ledger.charts.theme import FONT, FONT_FOLDER, SCALE, size_of, theme_of
from ledger.errors import UseError
from ledger.safe_text import safe

IDLE_SECONDS = 60.0


def main() -> None:
    """Answer requests until there are no more."""
    replies = _own_output()
    idle = _end_when_idle()
    for line in sys.stdin.buffer:
        idle.cancel()
        try:
            picture = served(json.loads(line))
        except Exception as error:
            _reply(replies, {"error": _words(error)}, b"")
        else:
            _reply(replies, {"bytes": len(picture)}, picture)
        idle = _end_when_idle()


def served(request: dict[str, Any]) -> bytes:
    """What one request asks for."""
    if "ready" in request:
        _get_ready()
        return b""
    if "answer" in request:
        return drawn(Errand.of(request)).packed()
    return paint(request)


def drawn(errand: Errand) -> Pictures:
    """The pictures of an errand.

    Raises:
        ValueError: if a kind is unknown.
    """
    answer = errand.answer
    spec = specification(answer, theme=errand.theme, size=errand.size)
    looks, meta = theme_of(errand.theme), spec.get("usermeta", {})
    request = {
        "spec": spec,
        "title": safe(answer.headline),
        "description": alt_text(answer),
        "look": {"paper": looks.paper, "ink": looks.ink, "font": FONT},
        "width": size_of(errand.size).width,
    }
    if {"png", "svg", "pdf"} & set(errand.kinds):
        request["drawing"] = _svg(spec)
    files = tuple(paint(request | {"kind": kind}) for kind in errand.kinds)
    return Pictures(files, tuple(meta.get("caption", ())), bool(meta.get("blank")))


def paint(request: dict[str, Any]) -> bytes:
    """One picture.

    Args:
        request: `kind` is png, svg, pdf, html or json; the rest as the module says. Where the chart
            was drawn already for another kind, that SVG stands under `drawing`.

    Raises:
        ValueError: if the chart is none, or the kind is unknown.
    """
    import vl_convert

    _fonts()
    spec, kind = request["spec"], request["kind"]
    title, description = request["title"], request["description"]
    if kind in ("png", "svg", "pdf"):
        svg: str = request.get("drawing") or _svg(spec)
        if kind == "png":
            return told_png(vl_convert.svg_to_png(svg, scale=SCALE), title, description)
        if kind == "pdf":
            pdf: bytes = vl_convert.svg_to_pdf(svg)
            return pdf
        return told_svg(svg, title, description).encode()
    if kind == "html":
        return page(
            spec,
            bundle=_bundle(),
            title=title,
            description=description,
            look=request["look"],
            width=request["width"],
        ).encode()
    if kind == "json":
        return json.dumps(spec, ensure_ascii=False, allow_nan=False, indent=1).encode() + b"\n"
    raise ValueError(f"no picture is called {kind}")


def _svg(spec: dict[str, Any]) -> str:
    import vl_convert

    _fonts()
    svg: str = vl_convert.vegalite_to_svg(spec, allowed_base_urls=[])
    return svg


def _get_ready() -> None:
    """Load what every picture needs, so that the first one need not wait for it."""
    import altair  # noqa: F401

    _svg({"data": {"values": [{"x": 1}]}, "mark": "point", "encoding": {}})


def _words(error: Exception) -> str:
    """What went wrong, in a line; a fault of the program by its name."""
    words = " ".join(str(error).split())[:300]
    told = isinstance(error, UseError | ValueError)
    return words if told else f"{type(error).__name__}: {words}"


@cache
def _fonts() -> None:
    import vl_convert

    vl_convert.register_font_directory(str(FONT_FOLDER))


@cache
def _bundle() -> str:
    import vl_convert

    bundle: str = vl_convert.javascript_bundle("window.vegaEmbed = vegaEmbed;")
    return bundle


def _end_when_idle() -> threading.Timer:
    timer = threading.Timer(IDLE_SECONDS, os._exit, (0,))
    timer.daemon = True
    timer.start()
    return timer


def _own_output() -> BinaryIO:
    # A library that prints must not be able to garble the replies.
    replies = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    return replies


def _reply(replies: BinaryIO, head: dict[str, Any], picture: bytes) -> None:
    replies.write(json.dumps(head).encode() + b"\n" + picture)
    replies.flush()


if __name__ == "__main__":
    main()
