"""Reading what the charts made: the parts of a Vega-Lite chart, and the pixels of a small PNG."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from ledger.charts.measure import width
from ledger.charts.registry import draw
from ledger.charts.specification import specification
from ledger.charts.theme import SIZES
from ledger.questions.answer import Answer

Spec = dict[str, Any]
_MADE: dict[tuple[Any, ...], tuple[Answer, Spec]] = {}


def spec_of(answer: Answer, **options: Any) -> Spec:
    """The chart as it goes into a file; made once of each answer, so never to be changed."""
    room = SIZES.get(options.get("size", "wide"))
    key = (id(answer), room, *sorted(options.items()))
    if key not in _MADE:
        # The answer is kept too, so that no other can come to have its number.
        _MADE[key] = (answer, specification(answer, **options))
    return _MADE[key][1]


def layers(spec: Spec) -> list[Spec]:
    """Every layer of a chart, of all its panels."""
    if "concat" in spec:
        return [layer for panel in spec["concat"] for layer in layers(panel)]
    found: list[Spec] = spec["layer"]
    return found


def marks(spec: Spec, kind: str) -> list[Spec]:
    """The layers with one kind of mark."""
    return [layer for layer in layers(spec) if layer["mark"]["type"] == kind]


def rows(spec: Spec, layer: Spec) -> list[dict[str, Any]]:
    """The data of a layer."""
    found: list[dict[str, Any]] = spec["datasets"][layer["data"]["name"]]
    return found


def drawn_from(spec: Spec, kind: str, field: str) -> list[dict[str, Any]]:
    """The rows of the layers of one kind of mark that place `field`."""
    return [
        row
        for layer in marks(spec, kind)
        if any(
            isinstance(channel, dict) and channel.get("field") == field
            for channel in layer["encoding"].values()
        )
        for row in rows(spec, layer)
    ]


def words(spec: Spec) -> list[str]:
    """Every text that stands on the sheet beside the title."""
    return [
        str(row[layer["encoding"]["text"]["field"]])
        for layer in marks(spec, "text")
        for row in rows(spec, layer)
    ]


def caption(spec: Spec) -> str:
    """The lines at the foot."""
    lines = next(
        rows(spec, layer)
        for layer in marks(spec, "text")
        if layer["mark"].get("fontSize") == 11.0 and layer["encoding"]["text"]["field"] == "words"
    )
    return " ".join(line["words"] for line in lines)


def fields(spec: Spec) -> Iterator[str]:
    """Every field that an encoding names."""
    for layer in layers(spec):
        for channel in layer["encoding"].values():
            for one in channel if isinstance(channel, list) else [channel]:
                if "field" in one:
                    yield one["field"]


def chunks(png: bytes) -> Iterator[tuple[bytes, bytes]]:
    """The chunks of a PNG, each with a right check sum."""
    assert png.startswith(b"\x89PNG\r\n\x1a\n")
    at = 8
    while at < len(png):
        (length,) = struct.unpack(">I", png[at : at + 4])
        kind, body = png[at + 4 : at + 8], png[at + 8 : at + 8 + length]
        (check,) = struct.unpack(">I", png[at + 8 + length : at + 12 + length])
        assert check == zlib.crc32(kind + body)
        yield kind, body
        at += 12 + length


def size_of(png: bytes) -> tuple[int, int]:
    """Width and height in pixels."""
    width, height = struct.unpack(">II", png[16:24])
    return width, height


def pixels(png: bytes) -> list[list[tuple[int, ...]]]:
    """The pixels of a small PNG of 8 bits a channel, row by row (PNG specification, filters)."""
    found = list(chunks(png))
    width, height, depth, colour = struct.unpack(">IIBB", found[0][1][:10])
    assert depth == 8
    step = {2: 3, 6: 4}[colour]
    data = zlib.decompress(b"".join(body for kind, body in found if kind == b"IDAT"))
    stride = width * step
    above = bytearray(stride)
    image = []
    for y in range(height):
        start = y * (stride + 1)
        line = bytearray(data[start + 1 : start + 1 + stride])
        _unfilter(data[start], line, above, step)
        image.append([tuple(line[i : i + step]) for i in range(0, stride, step)])
        above = line
    return image


def _unfilter(kind: int, line: bytearray, above: bytearray, step: int) -> None:
    for i in range(len(line)):
        left = line[i - step] if i >= step else 0
        up = above[i]
        if kind == 1:
            line[i] = (line[i] + left) & 255
        elif kind == 2:
            line[i] = (line[i] + up) & 255
        elif kind == 3:
            line[i] = (line[i] + (left + up) // 2) & 255
        elif kind == 4:
            corner = above[i - step] if i >= step else 0
            guess = left + up - corner
            ways = (abs(guess - left), abs(guess - up), abs(guess - corner))
            best = (left, up, corner)[ways.index(min(ways))]
            line[i] = (line[i] + best) & 255


@dataclass(frozen=True)
class Box:
    """Where a text stands, in chart units from the upper left corner of the whole picture."""

    words: str
    left: float
    top: float
    right: float
    bottom: float

    def touches(self, other: Box, by: float = 1.0) -> bool:
        """Whether both share more than a hair's breadth of room."""
        return (
            self.left + by < other.right
            and other.left + by < self.right
            and self.top + by < other.bottom
            and other.top + by < self.bottom
        )


def boxes(spec: Spec) -> list[Box]:
    """Every text that a layer of text marks draws; labels of Vega's own axes are not known."""
    x, y = spec["padding"]["left"], spec["padding"]["top"]
    if "layer" in spec:
        return _boxes(spec, spec, x, y)
    found = []
    for place, panel in enumerate(spec["concat"]):
        column, row = place % spec["columns"], place // spec["columns"]
        before, above = spec["concat"][:column], spec["concat"][:row]
        across = x + sum(p["width"] + spec["spacing"]["column"] for p in before)
        down = y + sum(p["height"] + spec["spacing"]["row"] for p in above)
        found += _boxes(spec, panel, across, down)
    return found


def _boxes(spec: Spec, plot: Spec, x: float, y: float) -> list[Box]:
    found = []
    for layer in plot["layer"]:
        if layer["mark"]["type"] != "text":
            continue
        size, align = layer["mark"]["fontSize"], layer["mark"].get("align", "center")
        bold = layer["mark"].get("fontWeight") == "bold"
        encoding = layer["encoding"]
        for row in rows(spec, layer):
            words = str(row[encoding["text"]["field"]])
            if not words:
                continue
            wide = width(words, size, bold=bold)
            at = x + _place(encoding["x"], row, plot["width"])
            left = at - {"left": 0.0, "center": wide / 2, "right": wide}[align]
            middle = y + _place(encoding["y"], row, plot["height"])
            # Letters without the room that a font keeps above and below them.
            found.append(Box(words, left, middle - 0.42 * size, left + wide, middle + 0.42 * size))
    return found


def _place(channel: dict[str, Any], row: dict[str, Any], room: float) -> float:
    if "value" in channel:
        return float(channel["value"])
    value = float(row[channel["field"]])
    scale = channel.get("scale")
    if not scale:
        return value
    low, high = scale["domain"]
    return (value - float(low)) / (float(high) - float(low)) * room


def valid(answer: Answer, **options: Any) -> None:
    """The chart against Altair's schema; raises where it does not fit."""
    draw(answer, **options).to_dict(validate=True)


def marked(spec: Spec, kind: str, field: str) -> list[Spec]:
    """The layers of one kind of mark that place a field."""
    return [
        layer
        for layer in marks(spec, kind)
        if any(
            isinstance(channel, dict) and channel.get("field") == field
            for channel in layer["encoding"].values()
        )
    ]


def domain(layer: Spec, channel: str = "x") -> tuple[float, float]:
    """Both ends of a layer's scale."""
    low, high = layer["encoding"][channel]["scale"]["domain"]
    return low, high
