"""Reading slides back: with the library that office programs' files are read with, and as raw XML.

What is looked for in the XML is named after the open standard ECMA-376 (Office Open XML), part 1.
"""

from __future__ import annotations

import io
import struct
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from pptx import Presentation
from pptx.oxml.ns import qn

from ledger.charts.export import Drawing
from ledger.charts.unbroken import BLANK

SVG = "{http://schemas.microsoft.com/office/drawing/2016/SVG/main}svgBlip"
EMBED = qn("r:embed")


def opened(path: Path) -> Any:
    """The presentation."""
    return Presentation(str(path))


def titles(path: Path) -> list[str]:
    """The headlines of the slides that are shown."""
    return [title(slide) for slide in shown(opened(path))]


def title(slide: Any) -> str:
    """The headline of a slide, its blanks like any other."""
    return _plain(str(slide.shapes.title.text_frame.text))


def shown(presentation: Any) -> list[Any]:
    """The slides that a show does not pass over."""
    return [s for s in presentation.slides if s.element.get("show") != "0"]


def hidden(presentation: Any) -> list[Any]:
    """The slides that a show passes over."""
    return [s for s in presentation.slides if s.element.get("show") == "0"]


def named(slide: Any, name: str) -> Any:
    """The one shape of that name, or None."""
    found = [shape for shape in slide.shapes if shape.name == name]
    assert len(found) < 2
    return found[0] if found else None


def description(shape: Any) -> str:
    """What is said to those who cannot see it (`descr` of ECMA-376, 20.1.2.2.8)."""
    return str(shape._element.xpath(".//p:cNvPr")[0].get("descr"))


def notes(slide: Any) -> str:
    """The speaker's notes."""
    return str(slide.notes_slide.notes_text_frame.text)


def words(slide: Any) -> str:
    """Every word on the slide."""
    texts = [shape.text_frame.text for shape in slide.shapes if shape.has_text_frame]
    for shape in slide.shapes:
        if shape.has_table:
            texts += [cell.text for row in shape.table.rows for cell in row.cells]
    return _plain("\n".join(texts))


def _plain(text: str) -> str:
    return text.replace(BLANK, " ")


def parts(path: Path) -> Iterator[tuple[str, bytes]]:
    """Every part of the file, those of embedded workbooks too."""
    with zipfile.ZipFile(path) as zipped:
        for name in zipped.namelist():
            body = zipped.read(name)
            yield name, body
            if name.endswith(".xlsx"):
                with zipfile.ZipFile(io.BytesIO(body)) as inner:
                    for one in inner.namelist():
                        yield f"{name}/{one}", inner.read(one)


def sheet(chart: Any) -> list[list[Any]]:
    """The workbook behind a chart, formulas as they stand."""
    book = load_workbook(io.BytesIO(chart.part.chart_workbook.xlsx_part.blob))
    return [list(row) for row in book["Sheet1"].iter_rows(values_only=True)]


def amounts(series: Any, which: str) -> list[float | None]:
    """The distances to the ends of the intervals (`errBars`, ECMA-376, 21.2.2.55)."""
    bars = series._element.find(qn("c:errBars"))
    kept = bars.find(f"{qn(f'c:{which}')}/{qn('c:numRef')}/{qn('c:numCache')}")
    count = int(kept.find(qn("c:ptCount")).get("val"))
    found: list[float | None] = [None] * count
    for point in kept.findall(qn("c:pt")):
        found[int(point.get("idx"))] = float(point.find(qn("c:v")).text)
    return found


def drawn(words: str = "A caption.") -> Drawing:
    """A picture of a few points, for tests of where it goes."""
    return Drawing(png(), b'<svg xmlns="http://www.w3.org/2000/svg"/>', 940, 386, (words,))


def png() -> bytes:
    """The smallest picture (PNG specification, third edition)."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        check = struct.pack(">I", zlib.crc32(kind + body))
        return struct.pack(">I", len(body)) + kind + body + check

    head = struct.pack(">IIBBBBB", 1, 1, 8, 2, 0, 0, 0)
    data = zlib.compress(b"\0\xff\xff\xff")
    start = b"\x89PNG\r\n\x1a\n"
    return start + chunk(b"IHDR", head) + chunk(b"IDAT", data) + chunk(b"IEND", b"")
