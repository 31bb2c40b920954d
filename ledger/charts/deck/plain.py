"""The project's own template: 16:9, a headline at the top, the colours of the pictures."""

from __future__ import annotations

from typing import Any

from pptx import Presentation
from pptx.opc.constants import RELATIONSHIP_TYPE as RT
from pptx.opc.oxml import serialize_part_xml
from pptx.oxml import parse_xml
from pptx.oxml.ns import qn
from pptx.oxml.xmlchemy import OxmlElement
from pptx.util import Emu, Inches, Pt

from ledger.charts.deck.parcel import without
from ledger.charts.theme import Theme

# A face that every machine with an office program has; its letters are no wider than those that
# lengths are measured with.
FACE = "Arial"
NAME = "offglass"
_LAYOUT = "Title Only"
_WIDTH, _HEIGHT = Inches(40 / 3), Inches(7.5)
_MARGIN = Inches(0.5)
_TITLE = (_MARGIN, Inches(0.32), _WIDTH - 2 * _MARGIN, Inches(1.08))
_NUMBER = (_WIDTH - _MARGIN - Inches(1), Inches(7.06), Inches(1), Inches(0.3))
_TITLE_SIZE = Pt(26)


def plain(theme: Theme) -> Any:
    """An empty presentation in a theme, with one layout: a title and room below it."""
    presentation = Presentation()
    presentation.slide_width, presentation.slide_height = Emu(_WIDTH), Emu(_HEIGHT)
    size = presentation.element.find(qn("p:sldSz"))
    # The size carries the name of the old one.
    size.attrib.pop("type", None)
    for layout in list(presentation.slide_layouts):
        if layout.name != _LAYOUT:
            presentation.slide_layouts.remove(layout)
    master = presentation.slide_master
    for holder in (presentation.slide_layouts[0], master):
        for shape in list(holder.placeholders):
            if shape.element.ph.get("type") in ("dt", "ftr"):
                shape.element.getparent().remove(shape.element)
    for shape in master.placeholders:
        kind = shape.element.ph.get("type")
        if kind in ("title", "sldNum"):
            place = _TITLE if kind == "title" else _NUMBER
            shape.left, shape.top, shape.width, shape.height = map(Emu, place)
    _headline(master)
    _colours(master, theme)
    without(presentation, RT.THUMBNAIL, RT.EXTENDED_PROPERTIES, RT.PRINTER_SETTINGS)
    return presentation


def _headline(master: Any) -> None:
    style = master.element.find(f".//{qn('p:titleStyle')}/{qn('a:lvl1pPr')}")
    style.set("algn", "l")
    letters = style.find(qn("a:defRPr"))
    letters.set("sz", str(int(_TITLE_SIZE.pt * 100)))
    letters.set("b", "1")
    for shape in master.placeholders:
        if shape.element.ph.get("type") == "title":
            shape.element.find(f".//{qn('a:bodyPr')}").set("anchor", "t")


def _colours(master: Any, theme: Theme) -> None:
    dark = theme.name == "dark"
    text, ground = ("lt", "dk") if dark else ("dk", "lt")
    named = {f"{text}1": theme.ink, f"{ground}1": theme.paper}
    named |= {f"{text}2": theme.muted, f"{ground}2": theme.grid}
    named |= {f"accent{i}": colour for i, colour in enumerate(theme.series[:6], start=1)}
    named |= {"hlink": theme.states["adopter"], "folHlink": theme.muted}
    part = master.part.part_related_by(RT.THEME)
    tree: Any = parse_xml(part.blob)
    tree.set("name", NAME)
    for scheme in (*tree.iter(qn("a:clrScheme")), *tree.iter(qn("a:fontScheme"))):
        scheme.set("name", NAME)
    for name, colour in named.items():
        slot = tree.find(f".//{qn('a:clrScheme')}/{qn(f'a:{name}')}")
        value = OxmlElement("a:srgbClr")
        value.set("val", colour[1:].upper())
        slot[:] = [value]
    for fonts in ("a:majorFont", "a:minorFont"):
        tree.find(f".//{qn(fonts)}/{qn('a:latin')}").set("typeface", FACE)
    part.blob = serialize_part_xml(tree)
    if dark:
        mapping = master.element.find(qn("p:clrMap"))
        for name, other in (("bg1", "dk1"), ("tx1", "lt1"), ("bg2", "dk2"), ("tx2", "lt2")):
            mapping.set(name, other)
