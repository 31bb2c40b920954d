"""Every hostile name of the collection on one picture: drawn, and nothing of it acts."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import cache

import pytest

from ledger.charts import theme
from ledger.charts.painter import PAINTER
from ledger.charts.specification import alt_text
from ledger.questions.answer import Answer
from ledger.safe_text import safe
from tests.charts import answers
from tests.charts.reading import spec_of
from tests.intake.hostile_names import harmful, hostile_names

_SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(autouse=True)
def _room_for_all(monkeypatch: pytest.MonkeyPatch) -> None:
    wide = theme.SIZES["wide"]
    many = len(hostile_names()) + 1
    monkeypatch.setitem(theme.SIZES, "wide", replace(wide, rows=many, height=12 * many))


@cache
def everyone() -> Answer:
    return answer_of(hostile_names())


@cache
def answer_of(names: tuple[str, ...]) -> Answer:
    return answers.ranking(len(names), names=names, headline=names[0], cohort=" ".join(names[:90]))


def painted(answer: Answer, kind: str) -> str:
    """A picture with room for all, from the drawing process, which knows only the usual sizes."""
    looks = {"paper": "#ffffff", "ink": "#000000", "font": "sans-serif"}
    words = {"title": safe(answer.headline), "description": alt_text(answer)}
    request = {"spec": spec_of(answer), "kind": kind, "look": looks, "width": 960, **words}
    return PAINTER.paint(request).decode()


def test_no_text_of_a_picture_holds_a_code_that_acts() -> None:
    text = json.dumps(spec_of(everyone()), ensure_ascii=False)

    assert not harmful(text)
    assert text.count('"name": ') >= len(hostile_names())


def test_a_drawing_of_the_names_is_clean_and_holds_only_shapes_and_words() -> None:
    names = hostile_names()[::3]

    drawing = painted(answer_of(names), "svg")

    tree = ET.fromstring(drawing)
    tags = {element.tag for element in tree.iter()}
    attributes = {name for element in tree.iter() for name in element.attrib}
    assert not harmful(drawing)
    assert tags <= {f"{_SVG}{t}" for t in _SHAPES}, tags
    assert not [name for name in attributes if name.casefold().startswith("on")]
    assert not [name for name in attributes if name.casefold().endswith("href")]
    assert len(list(tree.iter(f"{_SVG}text"))) > len(names)


_SHAPES = (
    *("svg", "g", "path", "text", "rect", "line", "title", "desc", "defs", "clipPath", "style"),
    *("metadata", "tspan", "circle"),
)


def test_a_page_of_the_names_runs_only_its_own_scripts() -> None:
    answer = answer_of(hostile_names()[1::3])

    page = painted(answer, "html")

    before, _, rest = page.partition('<script type="application/json" id="spec">')
    data, _, after = rest.partition("</script>")
    assert not set("<>&") & set(data)
    assert not harmful(data)
    assert json.loads(data) == spec_of(answer)
    assert not harmful(before)
    assert "<script" not in before
    assert after.count("</script>") == 2
    assert not re.search(r"<\w+[^>]* on(error|load|click)=", before)


def test_rows_as_csv_and_json_hold_no_code_that_acts() -> None:
    answer = everyone()

    table, text = answer.main.csv(), answer.json()

    assert not harmful(table) - _KEPT
    assert not harmful(text) - _KEPT
    assert {row["player"] for row in json.loads(text)["rows"]} == set(hostile_names())
    assert "\x1b" in answer.main.csv(raw=True)


# Seen by nobody, obeyed by nothing, and part of flags: tags and codes that are no letters.
_KEPT = {"\U000e0001", "\U0001fffe", "\U0010ffff", "\ufffe", "\uffff", "\ufdd0", "\ufdef"} | {
    chr(code) for code in range(0xE0020, 0xE0080)
}
