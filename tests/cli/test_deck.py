"""`offglass deck`: slides in one file, and what it says about them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Offglass
from tests.deck.conftest import unpainted
from tests.deck.reading import titles

__all__ = ["unpainted"]

pytestmark = pytest.mark.usefixtures("unpainted")


def test_slides_are_written_and_counted_on_stderr(filled: Offglass, desk: Path) -> None:
    done = filled("deck", "-o", "deck.pptx", "--questions", "adopters,sources")

    assert (done.code, done.out) == (0, "")
    assert done.err == "written: 4 slides, 1 hidden one holds the same figures to edit: deck.pptx\n"
    assert titles(desk / "deck.pptx")[-1] == "What you will be asked"


def test_the_cohort_and_the_technique_are_those_of_every_command(
    filled: Offglass, desk: Path
) -> None:
    done = filled(
        "deck", "-o", "deck.pptx", "--questions", "adopters", "--season", "2024-25",
        "--focus", "underhand", "--quiet", "--theme", "dark",
    )  # fmt: skip
    asked = filled("ask", "adopters", "--season", "2024-25", "--focus", "underhand", "--json")

    assert (done.code, done.err) == (0, "")
    assert titles(desk / "deck.pptx")[1] == json.loads(asked.out)["headline"]


def test_what_is_in_the_deck_is_shown(filled: Offglass, desk: Path) -> None:
    import ledger

    assert filled("deck", "--show").out.startswith("nothing is in the deck")
    with ledger.open(desk / "spring.duckdb") as book:
        book.put_in_deck(book.ask("adopters", season="2024-25"))

    shown = filled("deck", "--show")
    listed = json.loads(filled("deck", "--show", "--json").out)

    assert "Who does it?" in shown.out
    assert "Free throws in all leagues, 2024-25" in shown.out
    assert (shown.code, shown.err) == (0, "")
    assert [(item["place"], item["question"]) for item in listed] == [(1, "adopters")]
    assert listed[0]["asked"]["season"] == ["2024-25"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "say where to write the slides: -o FILE.pptx"),
        (("--show", "-o", "deck.pptx"), "say where to write the slides"),
        (("-o", "deck.odp"), "has no ending of slides: use .pptx"),
        (("-o", "no/deck.pptx"), "make it first"),
        (("-o", "deck.pptx", "--questions", ","), "--questions takes names parted by commas"),
        (("-o", "deck.pptx", "--questions", "rankin"), "did you mean ranking"),
        (("-o", "deck.pptx", "--template", "none.pptx"), "cannot be read: No such file"),
        (("-o", "deck.pptx", "--league", "Nowhere"), "no league 'Nowhere'"),
        (("-o", "deck.pptx", "--json"), "--json goes with --show"),
    ],
)
def test_what_cannot_be_is_one_line_and_leaves_nothing(
    filled: Offglass, desk: Path, words: tuple[str, ...], said: str
) -> None:
    done = filled("deck", *words)

    assert done.code == 2
    assert said in done.err
    assert done.err.count("\n") == 1
    assert not (desk / "deck.pptx").exists()


def test_a_template_is_named_by_its_file(filled: Offglass, desk: Path) -> None:
    from pptx import Presentation

    Presentation().save(str(desk / "house.pptx"))

    done = filled(
        "deck", "-o", "deck.pptx", "--questions", "sources", "--template", "house.pptx", "--quiet"
    )

    assert done.code == 0
    made, house = Presentation(str(desk / "deck.pptx")), Presentation()
    assert (made.slide_width, made.slide_height) == (house.slide_width, house.slide_height)
