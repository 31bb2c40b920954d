"""Drawings inside a page: shapes and words only, ids of their own, letters large enough."""

from __future__ import annotations

import re

import pytest

from ledger.charts.brief.pictures import inlined
from ledger.charts.export import Figure, figure
from tests.brief.reading import SVG, Element, drawn, read
from tests.charts import answers, real
from tests.charts.test_drawn import LONG

SHAPES = {"svg", "title", "desc", "g", "defs", "clippath", "path", "rect", "line", "text", "circle"}


def inside(found: Figure, name: str = "ranking") -> Element:
    return read(f"<!DOCTYPE html>{inlined(found, name)}").one("svg")


@pytest.mark.parametrize("question", ["misses", "switches", "player"])
def test_a_drawing_says_the_same_inside_the_page(question: str) -> None:
    found = figure(real.real(question))

    svg = inside(found, question)

    assert {element.name for element in svg.all()} <= SHAPES
    texts = re.findall(r"<text[^>]*>([^<]*)</text>", found.svg.decode())
    assert [t.words() for t in svg.all("text")] == [" ".join(t.split()) for t in texts if t.strip()]
    assert svg.one("title").words() == real.real(question).headline
    assert real.real(question).headline in svg.one("desc").words()
    assert len(svg.all("rect")) == found.svg.count(b"<rect")
    assert len(svg.all("line")) == found.svg.count(b"<line")


def test_title_and_description_are_what_the_drawing_is_called_by() -> None:
    svg = inside(drawn())

    assert svg.attributes["role"] == "img"
    assert svg.attributes["aria-labelledby"] == svg.one("title").attributes["id"]
    assert svg.attributes["aria-describedby"] == svg.one("desc").attributes["id"]


def test_ids_are_a_drawings_own_whatever_was_drawn_before_it() -> None:
    clip = (
        '<defs><clipPath id="clip{0}"><rect x="1"/></clipPath></defs>'
        '<g clip-path="url(#clip{0})"><text>a</text></g>'
    )
    first, second = (drawn(shapes=clip.format(number)) for number in (1, 7))

    assert inlined(first, "uptake") == inlined(second, "uptake")
    one, other = inside(first, "uptake"), inside(second, "uptake-narrow")
    ids = [e.attributes["id"] for svg in (one, other) for e in svg.all() if "id" in e.attributes]
    assert len(set(ids)) == len(ids) == 6
    for svg in (one, other):
        own = svg.one("clippath").attributes["id"]
        assert svg.one("g").attributes["clip-path"] == f"url(#{own})"


@pytest.mark.parametrize(
    "shape",
    [
        "<script>alert(1)</script>",
        '<image href="http://example.invalid/x.png"/>',
        '<foreignObject><body xmlns="http://www.w3.org/1999/xhtml"/></foreignObject>',
        '<a href="javascript:alert(1)"><text>a</text></a>',
        '<use href="#x"/>',
        "<style>@import url(http://example.invalid/)</style>",
        "<animate/>",
        '<rect fill="url(http://example.invalid/#x)"/>',
        '<g clip-path="url(//example.invalid)"><text>a</text></g>',
    ],
)
def test_a_drawing_that_could_do_anything_is_refused(shape: str) -> None:
    with pytest.raises(ValueError, match="the drawing"):
        inlined(drawn(shapes=shape), "uptake")


def test_what_a_shape_could_do_is_not_taken_over() -> None:
    acting = '<text onclick="alert(1)" style="x" href="y" class="z" font-size="12px">a</text>'

    text = inside(drawn(shapes=acting)).one("text")

    assert text.attributes == {"font-size": "12px"}


def test_words_of_a_drawing_stay_words() -> None:
    text = inside(drawn(shapes="<text>&lt;/svg&gt;&lt;script&gt;alert(1)&lt;/script&gt;</text>"))

    assert text.one("text").words() == "</svg><script>alert(1)</script>"


@pytest.mark.parametrize(("smallest", "least"), [(12, 604), (10, 725), (13, 558)])
def test_letters_have_twelve_pixels_at_least_however_narrow_the_screen(
    smallest: float, least: int
) -> None:
    low = 'transform="translate(9,400)"'
    shapes = f'<text {low} font-size="{smallest}px">a</text><text font-size="17px">b</text>'

    svg = inside(drawn(shapes=shapes))

    # 640 units wide, of whose own margin 22 and 14 are not shown.
    assert svg.attributes["style"] == f"min-width:{least}px"
    assert svg.attributes["viewbox"] == "22 22 604 386"
    assert least / 604 * smallest >= 12


def test_a_picture_for_a_telephone_fits_its_screen_with_letters_of_twelve_pixels() -> None:
    many = {
        "ranking": answers.ranking(40, names=LONG),
        "adopters": answers.adopters(40, names=LONG),
        "uptake": answers.uptake(3, 10),
        "player": real.games(400, seasons=30, names="N" * 60),
        "candidates": real.predicted(40, names=LONG),
        "agreement": real.real("agreement"),
    }
    for question, answer in many.items():
        svg = inside(figure(answer, size="telephone"), question)
        least = int(svg.attributes["style"].removeprefix("min-width:").removesuffix("px"))
        # A screen of 390 pixels, 12 of it left free on each side; the picture may use 5 of each.
        assert least <= 390 - 2 * 12 + 2 * 5, question


def test_what_is_no_drawing_is_refused() -> None:
    with pytest.raises(ValueError, match="none"):
        inlined(Figure(b"<html/>", 640, 440, ()), "uptake")
    assert SVG.startswith("<svg")


def test_room_that_a_drawing_leaves_free_below_is_not_shown() -> None:
    few, many = (figure(answers.ranking(number)) for number in (1, 40))

    heights = [float(inside(f).attributes["viewbox"].split()[3]) for f in (few, many)]

    assert 100 < heights[0] < 250
    assert 350 < heights[1] <= 440 - 2 * 22
    for found, height in zip((few, many), heights, strict=True):
        assert max(_levels(found.svg.decode())) < 22 + height


def _levels(svg: str) -> list[float]:
    """How far down words stand, by adding up what moves them."""
    moved, levels = [0.0], []
    for part in re.findall(r"<[^>]+>", svg):
        found = re.search(r"translate\([-\d.]+,([-\d.]+)\)", part)
        if part.startswith("</"):
            moved.pop()
            continue
        moved.append(moved[-1] + (float(found[1]) if found else 0.0))
        if part.startswith("<text"):
            levels.append(moved[-1])
        if part.endswith("/>"):
            moved.pop()
    return levels
