"""Slides of hand-made answers: one message a slide, and everything that belongs beside it."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from ledger.charts.deck import pages
from ledger.charts.deck.slides import Slides
from ledger.charts.export import drawing, picture
from ledger.charts.specification import alt_text
from ledger.charts.unbroken import BLANK
from ledger.errors import UseError
from ledger.questions.answer import Answer
from ledger.story.story import Reply, Rumour, Told
from tests.charts import answers
from tests.charts.reading import size_of
from tests.deck.reading import (
    EMBED,
    SVG,
    description,
    hidden,
    named,
    notes,
    opened,
    png,
    shown,
    title,
    titles,
    words,
)
from tests.story import league


def written(path: Path, *every: Answer, **how: Any) -> Any:
    """The presentation with the slides of some answers."""
    with Slides(path, **how) as slides:
        for answer in every:
            slides.add_answer(answer)
        slides.write()
    return opened(path)


def test_a_slide_has_the_headline_as_its_title_and_the_picture_twice(tmp_path: Path) -> None:
    answer = answers.ranking(6, notes=["Watched: 4 of 9 attempts (44 %).", "A caveat."])

    presentation = written(tmp_path / "one.pptx", answer)

    slide = shown(presentation)[0]
    assert title(slide) == answer.headline
    picture = named(slide, "Picture")
    assert description(picture) == alt_text(answer)
    # Two pixels for every unit of the size made for slides.
    assert size_of(picture.image.blob) == (2 * 940, 2 * 386)
    sharp = picture._element.findall(f".//{SVG}")
    assert len(sharp) == 1
    part = slide.part.related_part(sharp[0].get(EMBED))
    assert part.content_type == "image/svg+xml"
    assert part.blob == drawing(answer).svg
    assert b"<svg" in part.blob


def test_both_pictures_of_a_slide_show_the_same_drawing() -> None:
    both = drawing(answers.ranking(4))

    # Drawn from the chart itself the points are the same as those made of the drawing.
    plain = picture(answers.ranking(4), "png", size="slide")
    assert both.png == plain
    assert picture(answers.ranking(4), "svg", size="slide") == both.svg


def test_a_picture_for_a_slide_leaves_headline_and_caption_to_it() -> None:
    answer = answers.ranking(4, headline="Tarnik leads.", cohort="Free throws there")

    seen = re.sub(rb"<title>.*?</title><desc>.*?</desc>", b"", drawing(answer).svg)

    assert b"Tarnik leads" not in seen
    assert b"Free throws there" not in seen
    assert b"Tarnik leads" in picture(answer, "svg")
    assert any("raw rates" in said for said in drawing(answer).caption)


@pytest.mark.usefixtures("unpainted")
def test_the_caption_says_cohort_n_coverage_and_ledger_and_the_notes_the_rest(
    tmp_path: Path,
) -> None:
    answer = answers.ranking(6, notes=["Watched: 4 of 9 attempts (44 %).", "A caveat."])
    answer = replace(answer, ledger=replace(answer.ledger, last_day="2026-03-01"))

    slide = shown(written(tmp_path / "one.pptx", answer))[0]

    caption = named(slide, "Caption").text_frame.text.replace(BLANK, " ")
    for said in (answer.cohort, "Watched: 4 of 9", "Ledger spring.duckdb, up to source 12"):
        assert said in caption
    assert "2026-03-01" in caption
    assert "A caveat." not in caption
    told = notes(slide)
    for said in (
        "A caveat.",
        answer.headline,
        "How it comes about: Five makes of five",
        "Rows: 6.",
    ):
        assert said in told


@pytest.mark.usefixtures("unpainted")
def test_rows_without_a_picture_are_a_table_and_those_left_out_are_counted(tmp_path: Path) -> None:
    answer = league.ask("attempts")

    slide = shown(written(tmp_path / "rows.pptx", answer))[0]

    table = named(slide, "Table").table
    assert [cell.text for cell in table.rows[0].cells][:3] == ["attempt", "date", "game"]
    last = table.rows[len(table.rows) - 1].cells[0].text
    assert last == f"… {answer.frame.height - (len(table.rows) - 2):,} more rows"
    first = answer.frame.row(0, named=True)
    assert str(first["date"]) in [cell.text for cell in table.rows[1].cells]
    assert description(named(slide, "Table")) == alt_text(answer)
    assert named(slide, "Picture") is None


@pytest.mark.usefixtures("unpainted")
def test_an_answer_without_rows_has_a_slide_that_says_why(tmp_path: Path) -> None:
    answer = league.ask("candidates")
    assert not answer.frame.height

    presentation = written(tmp_path / "none.pptx", answer)

    assert len(presentation.slides) == 1
    assert title(presentation.slides[0]) == answer.headline
    assert named(presentation.slides[0], "Picture") is None


def test_a_chart_that_has_nothing_to_draw_gives_way_to_the_rows(tmp_path: Path) -> None:
    frame = answers.adopters(5).frame
    untagged = frame.with_columns(state=frame["state"].replace_strict({}, default="untagged"))
    answer = answers.adopters(5)
    answer = replace(answer, main=replace(answer.main, frame=untagged))

    slide = shown(written(tmp_path / "blank.pptx", answer))[0]

    assert named(slide, "Picture") is None
    assert named(slide, "Table") is not None


@pytest.mark.usefixtures("unpainted")
def test_the_opening_and_the_last_slide_tell_the_story(tmp_path: Path) -> None:
    path = tmp_path / "deck.pptx"
    replies = (
        Reply("How many do it?", ("Seven of 37 do.",), "Watched: 5 of 9.", "adopters", ""),
        Reply("Is it legal?", (), "", "", "ask the referees"),
    )
    with Slides(path) as slides:
        slides.add(
            pages.opening(
                [Rumour("They bank them", "Season 2024-25.")], "Who does it?",
                [Told("Seven do.", "adopters"), Told("It grows.", "uptake")], ["Free throws."],
            )
        )  # fmt: skip
        slides.add(pages.asked(replies, ["Free throws."]))
        done = slides.write()

    first, last = opened(path).slides
    assert titles(path) == ["“They bank them”", "What you will be asked"]
    for said in ("Who does it?", "1.\tSeven do.", "2.\tIt grows.", "Season 2024-25."):
        assert said in words(first)
    rows = [[cell.text for cell in row.cells] for row in named(last, "Table").table.rows]
    assert rows == [
        ["How many do it?", "Seven of 37 do."],
        ["Is it legal?", "Not known. Do this: ask the referees."],
    ]
    assert "Watched: 5 of 9." in notes(last)
    assert (done.shown, done.hidden) == (2, 0)
    assert done.words() == f"2 slides: {path}"


@pytest.mark.usefixtures("unpainted")
def test_a_table_of_replies_goes_on_rather_than_losing_one(tmp_path: Path) -> None:
    path = tmp_path / "long.pptx"
    replies = tuple(
        Reply(f"Question {i}?", (f"Answer {i}: " + "word " * 60,), "", "", "") for i in range(20)
    )
    with Slides(path) as slides:
        slides.add(pages.asked(replies, ["Free throws."]))
        slides.write()

    every = [
        row.cells[0].text
        for slide in opened(path).slides
        for row in named(slide, "Table").table.rows
    ]
    assert len(opened(path).slides) > 1
    assert every == [f"Question {i}?" for i in range(20)]
    assert set(titles(path)) == {"What you will be asked"}


@pytest.mark.usefixtures("unpainted")
@pytest.mark.parametrize("players", [1, 400])
def test_one_player_and_four_hundred_stay_on_the_slide(tmp_path: Path, players: int) -> None:
    presentation = written(tmp_path / "many.pptx", answers.ranking(players))

    width, height = presentation.slide_width, presentation.slide_height
    for slide in presentation.slides:
        for shape in slide.shapes:
            assert shape.left >= 0
            assert shape.left + shape.width <= width
            assert shape.top >= 0
            assert shape.top + shape.height <= height
    chart = named(hidden(presentation)[0], "Chart").chart
    assert len(list(chart.plots[0].categories)) == min(players, 14)


@pytest.mark.usefixtures("unpainted")
def test_a_long_headline_is_made_smaller_and_a_longer_one_cut_with_a_sign(tmp_path: Path) -> None:
    long = "Word after word of a headline. " * 8
    endless = "Word after word of a headline. " * 60
    presentation = written(
        tmp_path / "long.pptx",
        answers.ranking(3, headline="Short."),
        answers.ranking(3, headline=long),
        answers.ranking(3, headline=endless),
    )

    short, smaller, cut = (s.shapes.title.text_frame for s in shown(presentation))
    # Where it fits, the letters are the template's own.
    assert short.paragraphs[0].runs[0].font.size is None
    assert smaller.text == long
    assert smaller.paragraphs[0].runs[0].font.size.pt < 26
    assert cut.text.endswith("…")
    assert len(cut.text) < len(endless)
    assert " ".join(endless.split()) in " ".join(notes(shown(presentation)[2]).split())


@pytest.mark.usefixtures("unpainted")
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_both_themes_have_their_own_ground_and_letters(tmp_path: Path, theme: str) -> None:
    from ledger.charts.theme import THEMES

    presentation = written(tmp_path / "t.pptx", answers.ranking(3), theme=theme)

    master = presentation.slide_master
    mapping = master.element.xpath("p:clrMap")[0]
    colours = master.part.part_related_by(
        "http://schemas.openxmlformats.org/officeDocument/2006/relationships/theme"
    ).blob.decode()

    def shade(name: str) -> str:
        slot = colours.partition(f"<a:{mapping.get(name)}>")[2]
        return f"#{slot.partition('val=' + chr(34))[2][:6].lower()}"

    assert shade("bg1") == THEMES[theme].paper
    assert shade("tx1") == THEMES[theme].ink


@pytest.mark.usefixtures("unpainted")
def test_the_same_answers_give_the_same_bytes(tmp_path: Path) -> None:
    for name in ("a.pptx", "b.pptx"):
        written(tmp_path / name, answers.ranking(5), answers.uptake(2, 4))

    assert (tmp_path / "a.pptx").read_bytes() == (tmp_path / "b.pptx").read_bytes()


@pytest.mark.usefixtures("unpainted")
def test_the_file_names_no_program_and_nobody_as_its_maker(tmp_path: Path) -> None:
    presentation = written(tmp_path / "a.pptx", answers.ranking(5))

    facts = presentation.core_properties
    assert (facts.author, facts.last_modified_by) == ("offglass", "offglass")
    assert facts.title == answers.ranking(5).headline
    names = [str(part.partname) for part in presentation.part.package.iter_parts()]
    assert not [n for n in names if "thumbnail" in n or "printerSettings" in n or "app.xml" in n]


def test_a_name_that_is_no_presentation_is_refused_before_anything_is_drawn(tmp_path: Path) -> None:
    with pytest.raises(UseError, match=r"'deck.ppt' has no ending of slides: use .pptx"):
        Slides(tmp_path / "deck.ppt")
    with pytest.raises(UseError, match="make it first"):
        Slides(tmp_path / "nowhere" / "deck.pptx")
    with pytest.raises(UseError, match="no theme is called 'grey'"):
        Slides(tmp_path / "deck.pptx", theme="grey")


def test_what_fails_leaves_no_file_and_no_part_of_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from ledger.charts.deck import slides

    def fails(*_: Any, **__: Any) -> Any:
        raise UseError("the picture cannot be drawn")

    monkeypatch.setattr(slides, "drawing", fails)
    kept = tmp_path / "deck.pptx"
    kept.write_bytes(b"an older deck")

    with pytest.raises(UseError, match="cannot be drawn"):
        written(kept, answers.ranking(3))

    assert kept.read_bytes() == b"an older deck"
    assert [p.name for p in tmp_path.iterdir()] == ["deck.pptx"]


def test_the_smallest_picture_of_these_tests_is_one() -> None:
    from PIL import Image

    assert Image.open(io.BytesIO(png())).size == (1, 1)


@pytest.mark.usefixtures("unpainted")
def test_a_title_cannot_break_inside_a_figure_with_its_interval(tmp_path: Path) -> None:
    answer = answers.ranking(5)

    slide = shown(written(tmp_path / "deck.pptx", answer))[0]

    whole = slide.shapes.title.text_frame.text
    assert f" 84.9{BLANK}%{BLANK}(79.2{BLANK}to{BLANK}89.6), but" in whole
    assert title(slide) == answer.headline
    assert BLANK not in description(named(slide, "Picture"))
