"""Names that would act: in a brief they are words, in rows, sentences and pictures alike."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import polars as pl
import pytest

from ledger.story.story import Rumour
from ledger.story.tell import tell
from ledger.story.usual import Beside, Heard
from tests.brief.reading import Element, read, told
from tests.intake.hostile_names import harmful, hostile_names
from tests.questions.ground import Ground
from tests.story import league
from tests.story.league import BESIDE

LEAGUE = "</script><script>alert(1)</script>"
TEAM = "]]>--></style></svg><style>@import 'x'"
PLAYERS = (
    "<img src=x onerror=alert(1)>",
    "[b]Tarn[/b]",
    "\u202eTarn Oselo",
    "Tarn\x1b[31m\x00\x07",
    '" onmouseover="alert(1)" x="',
    "&lt;b&gt; &amp; javascript:alert(1)",
    "שלגו רבי",
    "N" * 120,
)
HEARD = Heard("<svg/onload=alert(1)> they bank them", "2024-25", LEAGUE, PLAYERS[0])
ELEMENTS = {
    *("html", "head", "meta", "link", "title", "style", "body", "header", "main", "nav", "section"),
    *("h1", "h2", "h3", "p", "ul", "ol", "li", "a", "span", "code", "div", "figure", "figcaption"),
    *("table", "caption", "thead", "tbody", "tr", "th", "td", "details", "summary"),
    *("svg", "desc", "g", "defs", "clippath", "path", "rect", "line", "circle", "text"),
}


def fill(ground: Ground) -> None:
    for number, name in enumerate(PLAYERS):
        ground.shots(
            name, 20 + number, 40, tags={"board": (9, 4), "straight": (4, 3)},
            league=LEAGUE, team=TEAM,
        )  # fmt: skip
    ground.con.execute("UPDATE game SET video = 'http://example.invalid/\"><script>' || id")


def inert(page: Element, text: str) -> None:
    """Nothing is there but what the brief makes itself."""
    assert {element.name for element in page.all()} <= ELEMENTS
    for element in page.all():
        assert not [name for name in element.attributes if name.startswith("on")]
        assert element.attributes.get("href", "#").startswith(("#", "data:,"))
    assert not harmful(text)


def test_a_brief_of_hostile_names_holds_them_as_words(ground: Ground, tmp_path: Path) -> None:
    fill(ground)
    story = tell(ground.ask, Beside(rumours=(HEARD,)))

    # Painted by the real drawing process.
    page = told(tmp_path / "brief.html", story)

    inert(page, (tmp_path / "brief.html").read_text(encoding="utf-8"))
    assert page.one("h1").words() == f"“{HEARD.text}”"
    assert LEAGUE in page.one("header").words()
    cells = {cell.words() for cell in page.all("th", scope="row")}
    assert {PLAYERS[0], "\\u202eTarn Oselo", "Tarn␛[31m␀␇", PLAYERS[4]} <= cells
    assert any('http://example.invalid/"><script>' in cell.words() for cell in page.all("td"))
    drawn = " ".join(text.words() for text in page.all("text"))
    assert "<img src=x" in drawn
    assert '" onmouse' in drawn


@pytest.mark.usefixtures("unpainted")
def test_every_name_of_the_collection_is_words(tmp_path: Path) -> None:
    story = tell(league.ask, BESIDE)
    names = [name for name in hostile_names() if name.strip()]
    ranking = next(a for a in story.answers if a.question == "ranking")
    row = ranking.frame.head(1)
    hostile = tuple(
        replace(
            ranking,
            headline=" ".join(some),
            notes=tuple(some),
            main=replace(
                ranking.main,
                frame=row.join(_frame(some), how="cross").select(ranking.frame.columns),
            ),
        )
        for some in (names[i : i + 40] for i in range(0, len(names), 40))
    )

    for number, answer in enumerate(hostile):
        path = tmp_path / f"{number}.html"
        page = told(path, replace(story, answers=(answer,), rumours=(Rumour(*answer.notes[:2]),)))

        inert(page, path.read_text(encoding="utf-8"))
        shown = page.one("section", id="ranking").one("tbody").all("tr")
        assert len(shown) == answer.frame.height


def _frame(names: list[str]) -> pl.DataFrame:
    return pl.DataFrame({"other": names})


def test_an_element_that_a_name_began_would_be_noticed() -> None:
    page = read(f"<!DOCTYPE html><p>{PLAYERS[0]}</p>")

    with pytest.raises(AssertionError):
        inert(page, "")
    assert re.search("img", str(page.all("img")))
