"""The drawing process: charts come in by standard input, finished pictures go out.

Drawing holds the interpreter's lock for a second and, fed with the wrong text, ends the whole
process; so it has a process of its own. One request is one line of JSON (`spec`, `kind`, `title`,
`description`, `look`, `width`); the reply is one line of JSON (`bytes` or `error`) followed by so
many bytes. Without a request for a minute, or when its parent is gone, it ends.
"""

from __future__ import annotations

import json
import os
import sys
import threading
from functools import cache
from typing import Any, BinaryIO

from ledger.charts.html import page
from ledger.charts.metadata import told_png, told_svg
from ledger.charts.theme import FONT_FOLDER, SCALE

IDLE_SECONDS = 60.0


def main() -> None:
    """Answer requests until there are no more."""
    replies = _own_output()
    idle = _end_when_idle()
    for line in sys.stdin.buffer:
        idle.cancel()
        try:
            picture = paint(json.loads(line))
        except Exception as error:
            _reply(replies, {"error": " ".join(str(error).split())[:300]}, b"")
        else:
            _reply(replies, {"bytes": len(picture)}, picture)
        idle = _end_when_idle()


def paint(request: dict[str, Any]) -> bytes:
    """One picture.

    Args:
        request: `kind` is png, svg, pdf or html; the rest as the module says. For png `spec` may be
            a picture already drawn, its SVG under `drawing`.

    Raises:
        ValueError: if the chart is none, or the kind is unknown.
    """
    import vl_convert

    _fonts()
    spec, kind = request["spec"], request["kind"]
    title, description = request["title"], request["description"]
    if kind == "png":
        # Drawn once already, as when both are wanted: then only the points are missing.
        picture = (
            vl_convert.svg_to_png(spec["drawing"], scale=SCALE)
            if "drawing" in spec
            else vl_convert.vegalite_to_png(spec, scale=SCALE, allowed_base_urls=[])
        )
        return told_png(picture, title, description)
    if kind == "svg":
        drawing = vl_convert.vegalite_to_svg(spec, allowed_base_urls=[])
        return told_svg(drawing, title, description).encode()
    if kind == "pdf":
        pdf: bytes = vl_convert.vegalite_to_pdf(spec, allowed_base_urls=[])
        return pdf
    if kind == "html":
        return page(
            spec,
            bundle=_bundle(),
            title=title,
            description=description,
            look=request["look"],
            width=request["width"],
        ).encode()
    raise ValueError(f"no picture is called {kind}")


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
