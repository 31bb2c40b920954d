"""Words on a slide: as large as there is room for, cut with a sign where there is none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from pptx.enum.text import MSO_ANCHOR, MSO_AUTO_SIZE, PP_ALIGN
from pptx.oxml.ns import qn
from pptx.oxml.xmlchemy import OxmlElement

from ledger.charts import measure
from ledger.charts.deck.stage import Box, Stage, points
from ledger.charts.unbroken import unbroken

# Distance of lines in sizes of their letters.
LINE = 1.2
# Letters of the template may be a little wider than those that lengths are measured with.
_SLACK = 0.96
# What a placeholder keeps free inside, at one side, in points; texts of ours stand in line with it.
SIDE = 7.2
_INSET = (2 * SIDE, 7.2)
CAPTION = 10.5
CAPTION_LINES = 4
# How far a number stands out before its line, and the air below a line, in sizes of letters.
_HANG, _GAP = 1.6, 0.45


@dataclass(frozen=True, slots=True)
class Fitted:
    """Text as it fits.

    Attributes:
        text: whole, or cut with a sign.
        size: of its letters in points.
        lines: how many it takes.
    """

    text: str
    size: float
    lines: int


def fitted(
    text: str, room: tuple[float, float], sizes: Sequence[float], *, bold: bool = False
) -> Fitted:
    """The text at the first of the sizes at which all of it fits, else cut at the last.

    Args:
        text: one paragraph.
        room: width and height in points.
        sizes: of letters in points, the largest first.
        bold: whether they are bold.
    """
    for size in sizes:
        most = max(1, int(room[1] / (size * LINE)))
        lines = measure.wrap(text, room[0] * _SLACK, size, lines=most + 1, bold=bold)
        if len(lines) <= most:
            return Fitted(text, size, len(lines))
    lines = measure.wrap(text, room[0] * _SLACK, size, lines=most, bold=bold)
    return Fitted(" ".join(lines), size, len(lines))


def height_of(text: str, width: float, size: float, *, bold: bool = False) -> float:
    """How high a paragraph stands at a width, in points."""
    return len(measure.wrap(text, width * _SLACK, size, lines=99, bold=bold)) * size * LINE


def put_title(slide: Any, stage: Stage, text: str) -> None:
    """The headline where the template has it, smaller only where it would not fit."""
    width, height = stage.title.points
    room = (width - _INSET[0], height - _INSET[1])
    usual = stage.title_size
    least = min(usual, stage.letters(13))
    sizes = [usual, *(s for s in _steps(usual, least) if s < usual)]
    found = fitted(text, room, sizes, bold=True)
    shape = slide.shapes.title if stage.titled else _textbox(slide, stage.title)
    frame = shape.text_frame
    frame.word_wrap = True
    frame.text = unbroken(found.text)
    if found.size != usual or not stage.titled:
        for run in frame.paragraphs[0].runs:
            run.font.size = points(found.size)


def put_caption(slide: Any, stage: Stage, box: Box, sentences: Sequence[str]) -> None:
    """As many whole sentences as the foot has room for; the speaker's notes have the rest."""
    shape = _textbox(slide, box)
    shape.name = "Caption"
    size = stage.letters(CAPTION)
    frame = shape.text_frame
    frame.text = unbroken(_kept(sentences, box, size))
    frame.vertical_anchor = MSO_ANCHOR.BOTTOM
    for run in frame.paragraphs[0].runs:
        run.font.size = points(size)
        coloured(run, stage.quiet)


def caption_height(stage: Stage, sentences: Sequence[str]) -> float:
    """The height of the foot that the sentences want, four lines at most, in points."""
    size, width = stage.letters(CAPTION), stage.body.points[0] - 2 * SIDE
    lines = measure.wrap(" ".join(sentences), width * _SLACK, size, lines=CAPTION_LINES)
    return len(lines) * size * LINE


def put_lines(slide: Any, stage: Stage, box: Box, lines: Sequence[tuple[str, str]]) -> None:
    """Paragraphs as large as they all fit; those without room are counted."""
    width, height = box.points[0] - 2 * SIDE, box.points[1]
    for size in (stage.letters(s) for s in (20, 18, 16, 15, 14, 13, 12, 11)):
        heights = [
            height_of(text, width - (_HANG * size if lead else 0), size) + _GAP * size
            for lead, text in lines
        ]
        if sum(heights) <= height:
            break
    kept: list[tuple[str, str]] = []
    used = 0.0
    for line, tall in zip(lines, heights, strict=True):
        if used + tall > height:
            break
        kept.append(line)
        used += tall
    left = len(lines) - len(kept)
    if left and kept:
        kept[-1] = ("…", f"{left + 1} more, with the speaker's notes")
    frame = _textbox(slide, box).text_frame
    for place, (lead, text) in enumerate(kept):
        paragraph = frame.paragraphs[0] if place == 0 else frame.add_paragraph()
        run = paragraph.add_run()
        run.text = f"{lead}\t{unbroken(text)}" if lead else unbroken(text)
        run.font.size = points(size)
        paragraph.space_after = points(_GAP * size)
        if lead:
            hang = int(points(_HANG * size))
            paragraph._p.get_or_add_pPr().set("marL", str(hang))
            paragraph._p.get_or_add_pPr().set("indent", str(-hang))


def put_notes(slide: Any, text: str) -> None:
    """The speaker's notes, where the template's notes have a place for them."""
    frame = slide.notes_slide.notes_text_frame
    if frame is not None:
        frame.text = text


def coloured(run: Any, name: str) -> None:
    """Give letters one of the template's colours, by its name in the file."""
    colour(run._r.get_or_add_rPr(), name)


def colour(owner: Any, name: str) -> None:
    """A fill in one of the template's colours as the first child of letters or a line."""
    fill = OxmlElement("a:solidFill")
    named = OxmlElement("a:schemeClr")
    named.set("val", name)
    fill.append(named)
    for old in owner.findall(qn("a:solidFill")):
        owner.remove(old)
    owner.insert(0, fill)


def _textbox(slide: Any, box: Box) -> Any:
    shape = slide.shapes.add_textbox(box.left, box.top, box.width, box.height)
    frame = shape.text_frame
    frame.word_wrap = True
    frame.auto_size = MSO_AUTO_SIZE.NONE
    frame.margin_left = frame.margin_right = points(SIDE)
    frame.margin_top = frame.margin_bottom = 0
    frame.paragraphs[0].alignment = PP_ALIGN.LEFT
    return shape


def _kept(sentences: Sequence[str], box: Box, size: float) -> str:
    width, height = box.points[0] - 2 * SIDE, box.points[1]
    most = max(1, round(height / (size * LINE)))
    for number in range(len(sentences), 0, -1):
        text = " ".join(sentences[:number])
        if number == 1 or len(measure.wrap(text, width * _SLACK, size, lines=most + 1)) <= most:
            break
    return " ".join(measure.wrap(text, width * _SLACK, size, lines=most))


def _steps(first: float, last: float) -> list[float]:
    sizes, size = [], round(first)
    while size > last:
        sizes.append(float(size))
        size -= 1
    return [*sizes, last]
