"""The page that holds a brief: one file that asks nobody for anything and runs nothing."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from ledger.charts.brief.markup import Markup, joined, tag

# Styles of the page and pictures that are part of it, and nothing else, ever.
POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; "
    "form-action 'none'"
)
_LINE = Markup("\n")
_STYLE = Path(__file__).resolve().parent / "page.css"


def page(title: str, *parts: Markup) -> str:
    """The whole file.

    Args:
        title: of its window.
        *parts: what stands in it.
    """
    head = joined(
        [
            Markup('<meta charset="utf-8">'),
            Markup(f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">'),
            Markup('<meta name="viewport" content="width=device-width, initial-scale=1">'),
            # A telephone takes figures for numbers to call, a server for a place with an icon.
            Markup('<meta name="format-detection" content="telephone=no">'),
            Markup('<link rel="icon" href="data:,">'),
            tag("title", title),
            tag("style", Markup(_style())),
        ],
        _LINE,
    )
    inside = joined([_LINE, head, _LINE])
    body = joined([_LINE, joined(parts, _LINE), _LINE])
    whole = tag("html", tag("head", inside), _LINE, tag("body", body), lang="en")
    return f"<!DOCTYPE html>\n{whole}\n"


@cache
def _style() -> str:
    return _STYLE.read_text(encoding="utf-8")
