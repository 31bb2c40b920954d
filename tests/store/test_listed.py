from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest

from ledger.book import Book

HALMA = "Halma League"


@pytest.fixture
def book(path: Path) -> Iterator[Book]:
    with Book(path, who="ana") as opened:
        yield opened


def test_a_list_names_who_is_on_it_and_what_was_decided_about_them(book: Book) -> None:
    book.shortlist("Spring", ["Plaa", "Plab"], note="takes many, makes few")
    book.shortlist("Spring", ["Plad"])
    book.decide("Plaa", "try", why="misses long", review="2030-01-05")
    book.decide("Plaa", "wait", why="his wrist")
    book.shortlist("Spring", ["Plab"], add=False)
    book.shortlist("Autumn", ["Plab"])

    spring, autumn = book.lists()

    assert [(p.player, p.league, p.note) for p in spring.players] == [
        ("Plaa", HALMA, "takes many, makes few"),
        ("Plad", HALMA, None),
    ]
    first = spring.players[0].decision
    assert first is not None
    # The later decision stands, without a day; the earlier one with its day does not.
    assert (first.choice, first.why, first.review) == ("wait", "his wrist", None)
    assert spring.players[1].decision is None
    assert (spring.players[0].who, spring.players[0].source) == ("ana", 2)
    assert [p.player for p in autumn.players] == ["Plab"]


def test_two_spellings_of_one_player_stand_on_a_list_once(book: Book) -> None:
    book.shortlist("Spring", ["Plaa", "Plab"])
    book.same(["Plaa", "Plab"])

    assert [p.player for p in book.lists()[0].players] == ["Plaa"]


def test_a_lot_tells_how_far_each_of_its_players_is_watched(book: Book) -> None:
    drawn = book.lot("honest", league=HALMA, season="2024-25", players=3, seed=7)
    first = drawn.players[0].name
    his = book.ask("attempts", player=first).frame["attempt"].to_list()
    # Twenty attempts each in the sample ledger: twelve watched, two of them without telling.
    for number in his[:10]:
        book.add("tags", [{"technique": "board"}], attempt=number)
    for number in his[10:12]:
        book.add("tags", [{"technique": "cannot tell"}], attempt=number)

    (lot,) = book.lots()

    assert (lot.name, lot.league, lot.season, lot.seed, lot.frame) == (
        "honest", HALMA, "2024-25", 7, 8,
    )  # fmt: skip
    assert [p.player for p in lot.players] == [p.name for p in drawn.players]
    assert [(p.place, p.attempts, p.watched, p.unclear, p.unwatched) for p in lot.players] == [
        (1, 20, 10, 2, 8), (2, 20, 0, 0, 20), (3, 20, 0, 0, 20),
    ]  # fmt: skip
    assert (lot.attempts, lot.unwatched, lot.done) == (60, 48, 0)


def test_a_review_is_due_from_its_day_on_until_something_else_is_decided(book: Book) -> None:
    book.decide("Plaa", "try", why="misses long", review="2025-04-02")
    book.decide("Plab", "try", why="misses long", review="2025-04-01")
    book.decide("Plad", "wait", why="not seen yet")
    day = date(2025, 4, 2)

    assert [d.player for d in book.reviews_due(day)] == ["Plab", "Plaa"]
    assert [d.player for d in book.reviews_due(day - timedelta(days=1))] == ["Plab"]
    assert book.reviews_due(date(2025, 3, 31)) == []
    # Both days are long past for whoever runs this test.
    assert len(book.reviews_due()) == 2

    book.decide("Plab", "stop", why="it did not help")
    assert [d.player for d in book.reviews_due(day)] == ["Plaa"]
    assert [(d.player, d.stands) for d in book.decisions()] == [
        ("Plaa", True), ("Plab", False), ("Plad", True), ("Plab", True),
    ]  # fmt: skip


def test_what_was_taken_back_is_told_no_more(book: Book) -> None:
    book.decide("Plaa", "try", why="misses long", review="2025-04-02")
    book.decide("Plaa", "stop", why="it did not help")
    assert book.reviews_due() == []

    book.undo(book.last_source())
    assert [d.choice for d in book.reviews_due()] == ["try"]
    book.undo(book.last_source() - 1)
    assert book.decisions() == []


def test_the_rumour_and_consents_are_told_with_their_sources(book: Book) -> None:
    book.rumour("they bank them", season="2024-25", player="Plaa", seen="2025-03-02", where="film")
    book.consent(
        "Plab", given_by="guardian", on="2025-01-01", until="2025-06-30", purpose="a trial"
    )

    (rumour,) = book.rumours()
    assert (rumour.text, rumour.season, rumour.league, rumour.player) == (
        "they bank them", "2024-25", HALMA, "Plaa",
    )  # fmt: skip
    assert (rumour.seen, rumour.place, rumour.source) == (date(2025, 3, 2), "film", 2)
    (consent,) = book.consents()
    assert (consent.player, consent.given_by, consent.purpose) == ("Plab", "guardian", "a trial")
    assert consent.source == book.last_source() == 3
    assert consent.holds(date(2025, 1, 1))
    assert consent.holds(date(2025, 6, 30))
    assert not consent.holds(date(2025, 7, 1))
    assert not consent.holds(date(2024, 12, 31))
