"""Names that would act: nothing on a slide, in its notes or in a workbook obeys them."""

from __future__ import annotations

import re
import zipfile
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from ledger.charts.deck.slides import Slides
from ledger.questions.answer import Answer
from tests.charts import answers
from tests.deck.reading import hidden, named, opened, parts, sheet, shown
from tests.intake.hostile_names import harmful, hostile_names

pytestmark = pytest.mark.usefixtures("unpainted")

FORMULAS = (
    '=HYPERLINK("http://example.invalid/x","Tarn")',
    "=1+1",
    "+1+1",
    "-1+1",
    "@SUM(A1:A9)",
    "=cmd|' /C calc'!A0",
    "http://example.invalid/",
    "{=1+1}",
)


def written(path: Path, *every: Answer) -> Any:
    with Slides(path) as slides:
        for answer in every:
            slides.add_answer(answer)
        slides.write()
    return opened(path)


def test_a_name_that_looks_like_a_formula_is_a_text_in_the_workbook(tmp_path: Path) -> None:
    path = tmp_path / "f.pptx"
    presentation = written(
        path, answers.ranking(8, names=FORMULAS), answers.uptake(list(FORMULAS[:3]), 4)
    )

    bars, lines = (named(slide, "Chart").chart for slide in hidden(presentation))
    names = [row[0] for row in sheet(bars)[1:]]
    assert set(names) == set(FORMULAS)
    assert [s.name for s in lines.plots[0].series] == list(FORMULAS[:3])
    for chart in (bars, lines):
        blob = chart.part.chart_workbook.xlsx_part.blob
        book = load_workbook(BytesIO(blob))
        kinds = {cell.data_type for row in book["Sheet1"].iter_rows() for cell in row}
        assert "f" not in kinds
        first = [cell for cell in book["Sheet1"]["A"] if cell.value == FORMULAS[1]]
        assert all(cell.quotePrefix for cell in first)
        assert all(cell.hyperlink is None for row in book["Sheet1"].iter_rows() for cell in row)
        with zipfile.ZipFile(BytesIO(blob)) as zipped:
            assert b"<f>" not in b"".join(zipped.read(n) for n in zipped.namelist())


def test_nothing_of_the_file_is_a_link_a_script_or_a_macro(tmp_path: Path) -> None:
    names = [*FORMULAS, "<script>alert(1)</script>", "javascript:alert(1)", "a&b<c>", "]]>"]
    path = tmp_path / "f.pptx"
    written(path, answers.ranking(len(names), names=names), answers.adopters(9, names=names))

    for name, body in parts(path):
        if name.endswith(".rels"):
            assert b'TargetMode="External"' not in body
        assert b"<a:hlinkClick" not in body
        assert b"<script" not in body.lower()
        assert "vba" not in name.lower()
        assert "activeX" not in name


def test_codes_that_act_are_shown_as_signs_everywhere(tmp_path: Path) -> None:
    names = hostile_names()[::7]
    path = tmp_path / "h.pptx"
    every = answers.ranking(
        len(names), names=names, headline=f"{names[0]} {names[1]} leads.",
        cohort=" and ".join(names[:9]), notes=names[:40],
    )  # fmt: skip

    presentation = written(path, every, answers.adopters(len(names), names=names))

    for name, body in parts(path):
        if name.endswith((".xml", ".rels")):
            text = re.sub(r"&#(\d+);", lambda m: chr(int(m[1])), body.decode())
            # A tab parts a number from its line, a line ends where it ends.
            assert not harmful(text) - {"\n", "\t", "\r"}, name
    assert "leads." in shown(presentation)[0].shapes.title.text_frame.text


def test_a_name_of_two_hundred_letters_is_cut_in_a_table_and_whole_in_the_notes(
    tmp_path: Path,
) -> None:
    from dataclasses import replace

    from tests.story import league

    answer = league.ask("attempts")
    long = "N" * 200
    frame = answer.frame.with_columns(
        player=answer.frame["player"].replace_strict({}, default=long)
    )
    answer = replace(
        answer, main=replace(answer.main, frame=frame), headline=f"{long} made it.", notes=(long,)
    )

    slide = shown(written(tmp_path / "l.pptx", answer))[0]

    cells = [cell.text for cell in named(slide, "Table").table.rows[1].cells]
    cut = [text for text in cells if text.startswith("NNN")]
    assert len(cut) == 1
    assert cut[0].endswith("…")
    assert len(cut[0]) < 60
    assert long in slide.notes_slide.notes_text_frame.text
