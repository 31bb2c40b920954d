"""Drawings as part of a page: only shapes and words get in, and nothing in two of them collides."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING
from xml.etree import ElementTree

from ledger.charts.brief.markup import Markup, tag
from ledger.charts.theme import MARGIN

if TYPE_CHECKING:
    from ledger.charts.export import Figure

# Letters that are smaller on a telephone cannot be read.
SMALLEST = 12.0
_SVG = "{http://www.w3.org/2000/svg}"
_SHAPES = frozenset(
    ("g", "defs", "clipPath", "path", "rect", "line", "circle", "text", "tspan", "title", "desc")
)
_KEPT = {
    *("id", "d", "x", "y", "x1", "x2", "y1", "y2", "dx", "dy", "cx", "cy", "r", "width", "height"),
    *("transform", "opacity", "fill", "fill-opacity", "fill-rule", "clip-path"),
    *("stroke", "stroke-width", "stroke-opacity", "stroke-dasharray", "stroke-dashoffset"),
    *("stroke-linecap", "stroke-linejoin", "stroke-miterlimit"),
    *("text-anchor", "font-size", "font-weight", "font-style"),
}
_LINK = re.compile(r"url\(#([\w-]+)\)")
_OUTWARD = ("fill", "stroke", "clip-path")
# So much of a drawing's own margin is not shown: the page has one. Figures at the right may reach
# a little into it.
_LEFT, _RIGHT, _LEVEL = MARGIN - 6, MARGIN - 14, MARGIN - 6
# Below the lowest words of a drawing, which may leave much of its height free.
_AIR = 8.0
_MOVED = re.compile(r"translate\(([-\d.]+),([-\d.]+)\)")
# The ground of a plot as it is drawn, whose last figure is its height.
_GROUND = re.compile(r"M[-\d.]+,[-\d.]+h[-\d.]+v([\d.]+)h[-\d.]+Z")


@dataclass(frozen=True, slots=True)
class _Named:
    """What the ids of one drawing become, so that no two drawings share one."""

    prefix: str
    ids: dict[str, str]

    def of(self, name: str) -> str:
        return self.ids.setdefault(name, f"{self.prefix}-{len(self.ids) + 1}")


def inlined(figure: Figure, name: str) -> Markup:
    """A drawing as an element of the page, with its title and description.

    Args:
        figure: the drawing, as it is exported.
        name: of the question, one in the page.

    Raises:
        ValueError: if there is anything else in it than shapes and words.
    """
    # The drawing is the program's own, written a moment ago: no stranger's file.
    root = ElementTree.fromstring(figure.svg)
    if root.tag != f"{_SVG}svg":
        raise ValueError("the drawing is none")
    named = _Named(name, {})
    inside = "".join(_shape(child, named) for child in root)
    width = figure.width - _LEFT - _RIGHT
    whole = figure.height - _LEVEL
    height = min(whole, math.ceil(_lowest(root) + _AIR) or whole) - _LEVEL
    least = math.ceil(width * SMALLEST / min(_sizes(root), default=SMALLEST))
    view = f"{_LEFT} {_LEVEL} {width} {height}"
    return tag(
        "svg",
        Markup(inside),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=view,
        role="img",
        aria_labelledby=f"{name}-title",
        aria_describedby=f"{name}-desc",
        style=f"min-width:{least}px",
    )


def _shape(element: ElementTree.Element, named: _Named) -> str:
    name = element.tag.removeprefix(_SVG)
    if name not in _SHAPES:
        raise ValueError(f"the drawing holds {name}")
    # What is never seen, such as the ground of each group, is half of a drawing.
    if element.get("display") == "none" or (name == "path" and _unseen(element)):
        return ""
    words = (element.text or "").strip("\n")
    inside = [words] if words else []
    inside += [Markup(_shape(child, named)) for child in element]
    if name in ("g", "text") and not any(inside):
        return ""
    if name in ("title", "desc"):
        return tag(name, *inside, id=f"{named.prefix}-{name}")
    return tag(name, *inside, **_attributes(element, named))


def _unseen(path: ElementTree.Element) -> bool:
    ground = path.get("class") == "background" and not (path.get("fill") or path.get("stroke"))
    return not path.get("d") or ground


def _attributes(element: ElementTree.Element, named: _Named) -> dict[str, str | None]:
    kept: dict[str, str | None] = {}
    for name, value in element.attrib.items():
        if name not in _KEPT or (name, value) in (("opacity", "1"), ("fill-opacity", "1")):
            continue
        if name == "id":
            kept[name] = named.of(value)
        elif name in _OUTWARD and "(" in value:
            link = _LINK.fullmatch(value)
            if link is None:
                raise ValueError(f"the drawing refers to {value}")
            kept[name] = f"url(#{named.of(link[1])})"
        else:
            kept[name] = value
    return kept


def _lowest(element: ElementTree.Element, above: float = 0.0) -> float:
    """How far down the plots and words of a drawing reach."""
    moved = _MOVED.match(element.get("transform", ""))
    here = above + (float(moved[2]) if moved else 0.0)
    ground = _GROUND.fullmatch(element.get("d", "")) if element.tag == f"{_SVG}path" else None
    own = [here + float(ground[1])] if ground else []
    own += [here] if element.tag == f"{_SVG}text" else []
    return max([*own, *(_lowest(child, here) for child in element)], default=-_AIR)


def _sizes(root: ElementTree.Element) -> list[float]:
    sizes = (element.get("font-size", "") for element in root.iter(f"{_SVG}text"))
    return [float(size.removesuffix("px")) for size in sizes if size]
