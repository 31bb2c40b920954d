"""Pieces of a page: every text that goes in becomes inert, whoever wrote it."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from ledger.charts.unbroken import unbroken
from ledger.safe_text import safe


class Markup(str):
    """Text that is a piece of a page already."""

    __slots__ = ()


def tag(name: str, *inside: str, **attributes: str | None) -> Markup:
    """An element of the page.

    Args:
        name: of the element.
        *inside: what stands in it; what is no `Markup` is text and becomes inert.
        **attributes: without those that are None; a trailing `_` is dropped, others become `-`.

    >>> tag("p", "<b> & co", class_="lead")
    '<p class="lead">&lt;b&gt; &amp; co</p>'
    """
    return Markup(f"<{name}{_written(attributes)}>{joined(inside)}</{name}>")


def joined(pieces: Iterable[str], between: str = "") -> Markup:
    """Pieces one after the other; what is no `Markup` is text and becomes inert."""
    return Markup(_inert(between).join(_inert(piece) for piece in pieces))


def _inert(text: str) -> str:
    if isinstance(text, Markup):
        return text
    return escape(unbroken(safe(text)))


def _written(attributes: dict[str, str | None]) -> str:
    return "".join(
        f' {name.rstrip("_").replace("_", "-")}="{escape(safe(value))}"'
        for name, value in attributes.items()
        if value is not None
    )
