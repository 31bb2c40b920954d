"""The deck through the book: answers put aside, ordered, taken back, and written as slides."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import ledger
from ledger import resources
from ledger.book import Book
from ledger.charts.deck import slides
from ledger.cohort import Cohort
from ledger.errors import UseError
from tests.deck.reading import hidden, notes, opened, shown, title, titles, words

pytestmark = pytest.mark.usefixtures("unpainted")

LAST = "What you will be asked"


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The bytes of a small ledger with its tags and a rumour."""
    samples = resources.folder("demo_data") / "samples"
    path = tmp_path_factory.mktemp("book") / "spring.duckdb"
    with ledger.open(path, create=True) as book:
        book.import_file(samples / "attempts_clean.csv")
        book.import_file(samples / "tags.csv", "tags")
        book.rumour("They bank them there", season="2024-25", player="Zef Olbax")
    return path.read_bytes()


@pytest.fixture
def book(filled: bytes, tmp_path: Path) -> Iterator[Book]:
    path = tmp_path / "spring.duckdb"
    path.write_bytes(filled)
    with ledger.open(path) as held:
        yield held


def order(book: Book) -> list[str]:
    items = book.deck()
    assert [item.place for item in items] == list(range(1, len(items) + 1))
    return [item.question for item in items]


def fill(book: Book) -> None:
    for question in ("ranking", "adopters", "uptake", "sources"):
        book.put_in_deck(book.ask(question))


def test_an_answer_is_put_into_the_deck_as_it_was_asked(book: Book) -> None:
    answer = book.ask(
        "ranking", league="Halma League", season="2024-25", min_attempts=20, focus="underhand"
    )

    said = book.put_in_deck(answer)

    (item,) = book.deck()
    assert "ranking is in the deck, at place 1" in said
    assert "offglass undo" in said
    assert (item.question, item.title) == ("ranking", "Who shoots best, allowing for luck?")
    assert item.asked == dict(answer.asked)
    assert item.cohort == "Free throws in Halma League, 2024-25"


def test_the_same_question_asked_the_same_way_is_in_the_deck_once(book: Book) -> None:
    book.put_in_deck(book.ask("ranking"))

    with pytest.raises(UseError, match="in the deck already, asked in the same way, at place 1"):
        book.put_in_deck(book.ask("ranking"))
    book.put_in_deck(book.ask("ranking", min_attempts=10))

    assert order(book) == ["ranking", "ranking"]


def test_places_follow_what_is_moved_and_dropped(book: Book) -> None:
    fill(book)
    by_name = {item.question: item.number for item in book.deck()}

    assert "at place 1 now" in book.move_in_deck(by_name["uptake"], 1)
    assert order(book) == ["uptake", "ranking", "adopters", "sources"]
    assert "left the deck" in book.drop_from_deck(by_name["ranking"])
    assert order(book) == ["uptake", "adopters", "sources"]
    assert "at place 3 now" in book.move_in_deck(by_name["uptake"], 99)
    assert order(book) == ["adopters", "sources", "uptake"]
    assert "is at place 3 already" in book.move_in_deck(by_name["uptake"], 3)


def test_every_change_of_the_deck_can_be_taken_back_and_brought_in_again(book: Book) -> None:
    fill(book)
    by_name = {item.question: item.number for item in book.deck()}
    before = order(book)

    book.move_in_deck(by_name["sources"], 1)
    moved = order(book)
    book.undo(book.last_source())
    assert order(book) == before
    book.undo(book.last_source(), again=True)
    assert order(book) == moved
    book.undo(book.last_source())

    book.drop_from_deck(by_name["adopters"])
    dropped = book.last_source()
    assert "adopters" not in order(book)
    book.undo(dropped)
    assert order(book) == before
    assert book.check() == []

    put = book.last_source() - 2
    assert "put into the deck" in book.ask("sources", source=put).main.rows()[0]["file"]
    book.undo(put)
    assert len(order(book)) == 3
    assert book.check() == []


def test_an_item_that_is_not_there_or_a_place_that_is_none_is_told(book: Book) -> None:
    with pytest.raises(UseError, match="the deck has no item 7: offglass deck --show"):
        book.drop_from_deck(7)
    book.put_in_deck(book.ask("ranking"))
    with pytest.raises(UseError, match="the first place of the deck is 1, not 0"):
        book.move_in_deck(book.deck()[0].number, 0)


def test_the_usual_deck_opens_with_the_rumour_and_ends_with_what_is_asked(
    book: Book, tmp_path: Path
) -> None:
    path = book.export_deck(tmp_path / "deck.pptx")

    every = titles(path)
    assert every[0] == "“They bank them there”"
    assert every[-1] == LAST
    asked = ("uptake", "adopters", "ranking", "switches", "player", "misses", "worth")
    whose: dict[str, Any] = {"player": {"player": "Zef Olbax"}}
    headlines = [book.ask(q, **whose.get(q, {})).headline for q in asked]
    assert every[1 : len(asked) + 1] == headlines
    presentation = opened(path)
    assert headlines[0] in words(shown(presentation)[0])
    for slide in presentation.slides:
        assert slide.has_notes_slide
        assert len(notes(slide)) > 40
    for slide in hidden(presentation):
        assert title(slide) in headlines


def test_named_questions_of_a_cohort_are_asked_of_it(book: Book, tmp_path: Path) -> None:
    cohort = Cohort.of(season="2024-25")

    path = book.export_deck(
        tmp_path / "deck.pptx", questions=["adopters", "attempts"], cohort=cohort, focus="board"
    )

    assert titles(path)[1:-1] == [
        book.ask("adopters", cohort=cohort, focus="board").headline,
        book.ask("attempts", cohort=cohort, clips=20).headline,
    ]
    assert "2024-25" in words(shown(opened(path))[1])


def test_the_deck_is_written_in_its_order_each_answer_as_it_was_asked(
    book: Book, tmp_path: Path
) -> None:
    book.put_in_deck(book.ask("sources"))
    book.put_in_deck(book.ask("adopters", season="2024-25"))
    book.put_in_deck(book.ask("ranking", min_attempts=5, order="low"))

    path = book.export_deck(tmp_path / "deck.pptx")

    assert titles(path)[1:-1] == [
        book.ask("sources").headline,
        book.ask("adopters", season="2024-25").headline,
        book.ask("ranking", min_attempts=5, order="low").headline,
    ]
    assert titles(path)[-1] == LAST
    named = book.export_deck(tmp_path / "named.pptx", questions=["uptake"])
    assert titles(named)[1:-1] == [book.ask("uptake").headline]


def test_a_cohort_beside_a_deck_that_has_its_own_is_refused(book: Book, tmp_path: Path) -> None:
    book.put_in_deck(book.ask("sources"))

    with pytest.raises(UseError, match="have their own attempts and technique: name --questions"):
        book.export_deck(tmp_path / "deck.pptx", cohort=Cohort.of(season="2024-25"))

    assert not (tmp_path / "deck.pptx").exists()


def test_one_answer_is_a_slide_of_its_own(book: Book, tmp_path: Path) -> None:
    answer = book.ask("adopters", season="2024-25")

    path = book.export_slide(answer, tmp_path / "one.pptx", theme="dark")

    assert titles(path) == [answer.headline]
    assert "Drawn dark" in words(shown(opened(path))[0])


def test_progress_is_told_between_slides_and_can_end_the_work(book: Book, tmp_path: Path) -> None:
    said: list[float] = []
    path = tmp_path / "deck.pptx"
    book.export_deck(path, questions=["adopters", "sources"], progress=said.append)
    assert said == sorted(said)
    assert said[-1] == 1.0
    assert len(said) > 8
    whole = path.read_bytes()

    def stop(done: float) -> None:
        if done > 0.85:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        book.export_deck(path, questions=["adopters", "sources"], progress=stop)
    assert path.read_bytes() == whole
    assert not list(tmp_path.glob(".offglass-*"))


def test_pictures_are_begun_while_other_questions_are_asked(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    events: list[str] = []
    drawing, ask = vars(slides)["drawing"], book.ask

    def drawn(answer: Any, **how: Any) -> Any:
        events.append(f"draw {answer.question}")
        return drawing(answer, **how)

    def asked(question: str, **how: Any) -> Any:
        events.append(f"ask {question}")
        return ask(question, **how)

    monkeypatch.setattr(slides, "drawing", drawn)
    monkeypatch.setattr(book, "ask", asked)
    book.export_deck(tmp_path / "deck.pptx", questions=["adopters", "ranking"])

    assert events.index("draw adopters") < events.index("ask switches")
    assert len([e for e in events if e == "ask adopters"]) == 1


def test_what_the_rules_say_is_told_where_it_was_written_down(book: Book, tmp_path: Path) -> None:
    from ledger.store.registers import add_technique

    with book._file.changing("a test") as con:
        add_technique(con, book._file, "hook", rule_note="Rule 12: any part of the board")

    path = book.export_deck(tmp_path / "deck.pptx", questions=["sources"])

    assert "hook: Rule 12: any part of the board" in words(shown(opened(path))[-1])


def test_an_empty_ledger_has_a_deck_that_says_so(tmp_path: Path) -> None:
    with ledger.open(tmp_path / "empty.duckdb", create=True) as book:
        path = book.export_deck(tmp_path / "deck.pptx")

    assert titles(path)[-1] == LAST
    assert "holds no attempts yet" in "".join(titles(path))


def test_an_unknown_question_is_told_before_anything_is_asked(book: Book, tmp_path: Path) -> None:
    with pytest.raises(UseError, match="did you mean ranking"):
        book.export_deck(tmp_path / "deck.pptx", questions=["rankin"])
