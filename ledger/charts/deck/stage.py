"""The stage: which layout a slide has, and where on it there is room for what."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pptx.enum.shapes import PP_PLACEHOLDER as KIND
from pptx.oxml.ns import qn
from pptx.util import Emu, Pt

from ledger.charts.deck.plain import plain
from ledger.charts.deck.template import opened
from ledger.charts.theme import theme_of

_TITLES = (KIND.TITLE,)
_CONTENT = (KIND.BODY, KIND.OBJECT, KIND.PICTURE, KIND.CHART, KIND.TABLE)
_AT_THE_FOOT = (KIND.DATE, KIND.FOOTER, KIND.SLIDE_NUMBER)
# Letters are chosen for a slide so many points high.
_HEIGHT = 540.0
# A placeholder that holds less of the slide is no room for a picture.
_LEAST_PART = 0.3
_USUAL_TITLE = 44.0


@dataclass(frozen=True, slots=True)
class Box:
    """A place on a slide, in the library's own units."""

    left: int
    top: int
    width: int
    height: int

    @property
    def right(self) -> int:
        """Its right edge."""
        return self.left + self.width

    @property
    def bottom(self) -> int:
        """Its lower edge."""
        return self.top + self.height

    @property
    def points(self) -> tuple[float, float]:
        """Width and height in points."""
        return Emu(self.width).pt, Emu(self.height).pt

    def above(self, height: int, gap: int) -> tuple[Box, Box]:
        """Cut in two: what is left above, and a foot of that height."""
        foot = Box(self.left, self.bottom - height, self.width, height)
        rest = self.height - height - gap
        return Box(self.left, self.top, self.width, max(rest, 1)), foot


@dataclass(frozen=True, slots=True)
class Stage:
    """A presentation to put slides into.

    Attributes:
        presentation: the library's object.
        layout: the layout of every slide.
        title: where the headline stands.
        title_size: its letters in points, as the template has them.
        titled: whether the layout has a place for it.
        body: the room for everything else, the caption included.
        scale: letters are so much larger than on a usual slide.
        quiet: the template's colour for words that matter less.
    """

    presentation: Any
    layout: Any
    title: Box
    title_size: float
    titled: bool
    body: Box
    scale: float
    quiet: str

    @property
    def picture_size(self) -> str:
        """The size of picture that fits the room best."""
        return "slide" if self.body.width >= 2.0 * self.body.height else "narrow-slide"

    def letters(self, size: float) -> float:
        """A size of letters for this slide, in points."""
        return size * self.scale


def stage(theme: str, template: Path | None) -> Stage:
    """The stage of a template, or of the project's own.

    Raises:
        UseError: if the theme is unknown or the template cannot be used.
    """
    look = theme_of(theme)
    presentation = opened(template) if template else plain(look)
    width, height = int(presentation.slide_width), int(presentation.slide_height)
    layouts = [layout for m in presentation.slide_masters for layout in m.slide_layouts]
    layout = min(layouts, key=lambda one: _rank(one, width * height))
    title = next((p for p in layout.placeholders if _kind(p) in _TITLES), None)
    margin = width // 24
    place = _box(title) if title is not None else None
    titled = place is not None
    if place is None:
        place = Box(margin, height // 24, width - 2 * margin, height // 6)
    return Stage(
        presentation=presentation,
        layout=layout,
        title=place,
        title_size=_title_size(layout, title) if titled else _USUAL_TITLE,
        titled=titled,
        body=_body(layout, place, width, height),
        scale=Emu(height).pt / _HEIGHT,
        quiet="tx1" if template else "tx2",
    )


def _rank(layout: Any, slide: int) -> int:
    """How well a layout suits: a title and one large place, a title alone, a title and more."""
    if not any(_kind(p) in _TITLES for p in layout.placeholders):
        return 3
    content = _content(layout)
    if not content:
        return 1
    box = _box(content[0])
    large = box is not None and box.width * box.height >= _LEAST_PART * slide
    upright = content[0].element.ph.get("orient") == "vert"
    return 0 if len(content) == 1 and large and not upright else 2


def _content(layout: Any) -> list[Any]:
    return [p for p in layout.placeholders if _kind(p) in _CONTENT]


def _kind(placeholder: Any) -> Any:
    return placeholder.placeholder_format.type


def _box(shape: Any) -> Box | None:
    sides = (shape.left, shape.top, shape.width, shape.height)
    if any(side is None for side in sides) or shape.width <= 0 or shape.height <= 0:
        return None
    return Box(*map(int, sides))


def _body(layout: Any, title: Box, width: int, height: int) -> Box:
    content = _content(layout)
    if len(content) == 1 and _rank(layout, width * height) == 0:
        found = _box(content[0])
        if found is not None:
            return found
    gap = height // 60
    feet = [
        box.top
        for holder in (layout, layout.slide_master)
        for shape in holder.placeholders
        if _kind(shape) in _AT_THE_FOOT
        if (box := _box(shape)) is not None and box.top > height * 0.8
    ]
    floor = min([*feet, height - height // 30])
    if title.top + title.height / 2 > height / 2:
        return Box(title.left, gap, title.width, max(title.top - 2 * gap, 1))
    top = title.bottom + gap
    return Box(title.left, top, title.width, max(floor - top, 1))


def _title_size(layout: Any, title: Any) -> float:
    """The letters of a title as the layout has them, else the master, else its styles."""
    master = layout.slide_master
    shapes = [title.element]
    shapes += [p.element for p in master.placeholders if _kind(p) in _TITLES]
    levels: Iterable[Any] = [
        *(s.find(f".//{qn('a:lstStyle')}/{qn('a:lvl1pPr')}/{qn('a:defRPr')}") for s in shapes),
        master.element.find(
            f".//{qn('p:titleStyle')}/{qn('a:lvl1pPr')}/{qn('a:defRPr')}",
        ),
    ]
    for level in levels:
        if level is not None and level.get("sz"):
            return int(level.get("sz")) / 100
    return _USUAL_TITLE


def points(size: float) -> Any:
    """A size of letters as the library wants it, in half points."""
    return Pt(round(size * 2) / 2)
