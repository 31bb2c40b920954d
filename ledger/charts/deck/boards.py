"""Pages on slides: each body in its room, its caption under it, its words for the speaker."""

from __future__ import annotations

import copy
import io
from typing import TYPE_CHECKING, Any

from pptx.enum.shapes import PP_PLACEHOLDER as KIND
from pptx.opc.constants import RELATIONSHIP_TYPE as RT
from pptx.opc.package import Part
from pptx.oxml import parse_xml
from pptx.util import Pt

from ledger.charts.deck import words
from ledger.charts.deck.figures import Figures
from ledger.charts.deck.grid import Grid
from ledger.charts.deck.pages import Lines, Page
from ledger.charts.deck.plots import put_plot
from ledger.charts.deck.stage import Box, Stage
from ledger.charts.deck.tables import put_table
from ledger.charts.export import Drawing
from ledger.charts.theme import MARGIN

if TYPE_CHECKING:
    from datetime import date

_GAP = 8.0
# So much of a picture's own margin is not shown, in its units: left, right, above and below; the
# figures at the right may reach a little into it.
_EDGES = (MARGIN - 6, MARGIN - 14, MARGIN - 6)
_SVG = "image/svg+xml"
_SHARP = """\
<a:extLst xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main" \
xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">
<a:ext uri="{{96DAC541-7B7A-43D3-8B79-37D633B846F1}}"><asvg:svgBlip \
xmlns:asvg="http://schemas.microsoft.com/office/drawing/2016/SVG/main" r:embed="{}"/></a:ext>
</a:extLst>"""


def put(stage: Stage, page: Page, day: date | None) -> int:
    """A page on a slide of its own, or on several where its table may not be cut.

    Args:
        stage: the presentation.
        page: what stands on it.
        day: when the ledger was last changed.

    Returns:
        How many slides it took.
    """
    rest: Grid | None = None
    body = page.body
    number = 0
    while number == 0 or rest is not None:
        slide = _slide(stage, page)
        room, foot = stage.body.above(
            Pt(words.caption_height(stage, page.caption)), Pt(stage.letters(_GAP))
        )
        words.put_caption(slide, stage, foot, page.caption)
        if isinstance(body, Drawing):
            _put_picture(slide, room, body, page.alt)
        elif isinstance(body, Figures):
            put_plot(slide, stage, room, body, page.alt, day)
        elif isinstance(body, Grid):
            rest = put_table(slide, stage, room, rest or body, page.alt)
        elif isinstance(body, Lines):
            words.put_lines(slide, stage, room, body.lines)
        words.put_notes(slide, page.notes)
        number += 1
    return number


def _slide(stage: Stage, page: Page) -> Any:
    slide = stage.presentation.slides.add_slide(stage.layout)
    for shape in list(slide.placeholders):
        if not stage.titled or shape.shape_id != slide.shapes.title.shape_id:
            shape.element.getparent().remove(shape.element)
    words.put_title(slide, stage, page.title)
    _number(slide, stage)
    if page.hidden:
        slide.element.set("show", "0")
    return slide


def _number(slide: Any, stage: Stage) -> None:
    """The number of the slide, where the template has a place for it."""
    for shape in stage.layout.placeholders:
        if shape.placeholder_format.type == KIND.SLIDE_NUMBER:
            element = copy.deepcopy(shape.element)
            element.nvSpPr.cNvPr.set("id", str(max(s.shape_id for s in slide.shapes) + 1))
            slide.shapes._spTree.append(element)
            return


def _put_picture(slide: Any, room: Box, drawn: Drawing, alt: str) -> None:
    first, last, level = _EDGES
    seen = drawn.width - first - last, drawn.height - 2 * level
    part = min(room.width / seen[0], room.height / seen[1])
    width, height = int(seen[0] * part), int(seen[1] * part)
    left = room.left + (room.width - width) // 2
    shape = slide.shapes.add_picture(io.BytesIO(drawn.png), left, room.top, width, height)
    shape.name = "Picture"
    # The slide has a margin of its own.
    shape.crop_left, shape.crop_right = first / drawn.width, last / drawn.width
    shape.crop_top = shape.crop_bottom = level / drawn.height
    shape._element.nvPicPr.cNvPr.set("descr", alt)
    package = slide.part.package
    name = package.next_partname("/ppt/media/drawing%d.svg")
    number = slide.part.relate_to(Part(name, _SVG, package, drawn.svg), RT.IMAGE)
    shape._element.blipFill.blip.append(parse_xml(_SHARP.format(number)))
