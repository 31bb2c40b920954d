"""A template of the staff's own: its sizes, letters and colours hold; a bad one is told."""

from __future__ import annotations

import zipfile
from pathlib import Path
from typing import Any

import pytest
from pptx import Presentation
from pptx.util import Emu, Inches

from ledger.charts.deck import pages
from ledger.charts.deck.slides import Slides
from ledger.charts.deck.stage import stage
from ledger.errors import UseError
from ledger.story.story import Reply
from tests.charts import answers
from tests.deck.reading import named, opened, shown, words
from tests.story import league

pytestmark = pytest.mark.usefixtures("unpainted")


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """A 4:3 template with slides in it, and a content place to the right of a side bar."""
    presentation: Any = Presentation()
    assert presentation.slide_width == Inches(10)
    layout = presentation.slide_layouts[1]
    for shape in layout.placeholders:
        if shape.placeholder_format.idx == 1:
            shape.left, shape.top = Inches(2), Inches(1.75)
            shape.width, shape.height = Inches(7.5), Inches(4.5)
    for number in range(3):
        slide = presentation.slides.add_slide(layout)
        slide.shapes.title.text_frame.text = f"Sample {number}"
        slide.notes_slide.notes_text_frame.text = "Sample notes"
    path = tmp_path / "house.pptx"
    presentation.save(str(path))
    return path


def deck(path: Path, template: Path) -> Any:
    """A picture, figures to edit, rows and replies on a template."""
    with Slides(path, template=template) as slides:
        slides.add_answer(answers.ranking(5))
        slides.add_answer(league.ask("attempts"))
        slides.add(pages.asked((Reply("How many?", ("Seven.",), "", "", ""),), ["Free throws."]))
        slides.write()
    return opened(path)


def test_its_size_and_layout_are_used_and_its_slides_are_not(tmp_path: Path, house: Path) -> None:
    presentation = deck(tmp_path / "deck.pptx", house)

    assert (presentation.slide_width, presentation.slide_height) == (Inches(10), Inches(7.5))
    assert len(presentation.slides) == 4
    for slide in presentation.slides:
        assert "Sample" not in words(slide)
        assert slide.slide_layout.name == "Title and Content"
        # The title stands where the template has it, and no empty place is left over.
        assert [p.placeholder_format.type.name for p in slide.placeholders] == [
            "TITLE", "SLIDE_NUMBER",
        ]  # fmt: skip
        title = slide.shapes.title
        assert title.element.xpath("p:spPr/*") == []
    with zipfile.ZipFile(tmp_path / "deck.pptx") as zipped:
        assert not [n for n in zipped.namelist() if b"Sample" in zipped.read(n)]


def test_everything_stays_in_the_place_for_content(tmp_path: Path, house: Path) -> None:
    presentation = deck(tmp_path / "deck.pptx", house)

    for slide in presentation.slides:
        for name in ("Picture", "Chart", "Table", "Caption"):
            shape = named(slide, name)
            if shape is not None:
                assert shape.left >= Inches(2) - 1
                assert shape.left + shape.width <= Inches(9.5) + 1
                assert shape.top >= Inches(1.75) - 1
                assert shape.top + shape.height <= Inches(6.25) + Emu(12700)


def test_letters_and_colours_are_left_to_the_template(tmp_path: Path, house: Path) -> None:
    presentation = deck(tmp_path / "deck.pptx", house)

    for slide in presentation.slides:
        for shape in slide.shapes:
            if shape.has_text_frame:
                for paragraph in shape.text_frame.paragraphs:
                    for run in paragraph.runs:
                        assert run.font.name is None
                        colours = run._r.xpath(".//a:srgbClr")
                        assert colours == []
    assert shown(presentation)[0].slide_layout.slide_master.name == Presentation().slide_master.name


def test_a_wide_slide_has_wide_pictures_and_a_narrow_one_narrower(
    tmp_path: Path, house: Path
) -> None:
    narrow = deck(tmp_path / "deck.pptx", house)

    assert "narrow-slide" in named(shown(narrow)[0], "Caption").text_frame.text
    assert stage("light", None).picture_size == "slide"


def test_without_a_layout_that_has_a_title_one_is_put_at_the_top(tmp_path: Path) -> None:
    presentation = Presentation()
    for layout in list(presentation.slide_layouts):
        if layout.name != "Blank":
            presentation.slide_layouts.remove(layout)
    bare = tmp_path / "bare.pptx"
    presentation.save(str(bare))

    slide = shown(deck(tmp_path / "deck.pptx", bare))[0]

    assert answers.ranking(5).headline in words(slide)


def test_a_layout_with_a_title_alone_leaves_the_room_below_it(tmp_path: Path) -> None:
    presentation = Presentation()
    for layout in list(presentation.slide_layouts):
        if layout.name != "Title Only":
            presentation.slide_layouts.remove(layout)
    only = tmp_path / "only.pptx"
    presentation.save(str(only))

    slide = shown(deck(tmp_path / "deck.pptx", only))[0]

    title, picture = slide.shapes.title, named(slide, "Picture")
    assert picture.top >= title.top + title.height
    assert named(slide, "Caption").top >= picture.top + picture.height
    # The date and the number at the foot stay free (the library's own template, 6.95 in).
    caption = named(slide, "Caption")
    assert caption.top + caption.height <= Inches(6.96)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"PK\x03\x04 but no more", "is no presentation that can be read"),
        (b"", "is no presentation that can be read"),
        (b"just words", "save it as .pptx"),
    ],
)
def test_a_template_that_is_none_is_told_in_one_line(
    tmp_path: Path, content: bytes, said: str
) -> None:
    bad = tmp_path / "bad.pptx"
    bad.write_bytes(content)

    with pytest.raises(UseError, match=said) as told:
        Slides(tmp_path / "deck.pptx", template=bad)

    assert "'bad.pptx'" in told.value.message
    assert "\n" not in told.value.message


def test_a_spreadsheet_or_a_document_in_its_place_is_told(tmp_path: Path) -> None:
    from openpyxl import Workbook

    book = tmp_path / "book.pptx"
    Workbook().save(book)

    with pytest.raises(UseError, match="no presentation that can be read"):
        Slides(tmp_path / "deck.pptx", template=book)


def test_a_template_that_is_missing_or_a_folder_is_told(tmp_path: Path) -> None:
    with pytest.raises(UseError, match="cannot be read: No such file"):
        Slides(tmp_path / "deck.pptx", template=tmp_path / "none.pptx")
    with pytest.raises(UseError, match=r"cannot be read: Is a directory|no ordinary file"):
        Slides(tmp_path / "deck.pptx", template=tmp_path)


def test_a_damaged_template_never_brings_the_program_down(tmp_path: Path, house: Path) -> None:
    whole = house.read_bytes()
    bad = tmp_path / "cut.pptx"
    for size in range(100, len(whole), len(whole) // 25):
        bad.write_bytes(whole[:size])
        with pytest.raises(UseError, match=r"'cut\.pptx'"):
            Slides(tmp_path / "deck.pptx", template=bad)


def test_lists_of_the_slides_that_are_gone_go_with_them(tmp_path: Path, house: Path) -> None:
    presentation = Presentation(str(house))
    from pptx.oxml import parse_xml

    space = "http://schemas.openxmlformats.org/presentationml/2006/main"
    shows = parse_xml(f'<p:custShowLst xmlns:p="{space}"/>')
    sizes = presentation.element.xpath("p:notesSz")[0]
    sizes.addnext(shows)
    presentation.save(str(house))

    made = deck(tmp_path / "deck.pptx", house)

    assert made.element.xpath("p:custShowLst") == []
    assert len(made.element.xpath("p:sldIdLst/p:sldId")) == 4
