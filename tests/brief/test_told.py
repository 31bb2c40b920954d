"""The brief through the book and the command: of a cohort, in one step, with its progress."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

import ledger
from ledger import resources
from ledger.book import Book
from ledger.charts import export
from ledger.charts.brief import making
from ledger.charts.export import Figure
from ledger.cohort import Cohort
from ledger.errors import UseError
from ledger.questions.answer import Answer
from tests.brief.reading import read
from tests.cli.conftest import Offglass, desk, filled, offglass, ready

__all__ = ["desk", "filled", "offglass", "ready"]


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The bytes of a small ledger with its tags and a rumour."""
    samples = resources.folder("demo_data") / "samples"
    path = tmp_path_factory.mktemp("book") / "spring.duckdb"
    with ledger.open(path, create=True) as book:
        book.import_file(samples / "attempts_clean.csv")
        book.import_file(samples / "tags.csv", "tags")
        book.rumour("They bank them there", season="2024-25", player="Zef Olbax")
    return path.read_bytes()


@pytest.fixture
def book(kept: bytes, tmp_path: Path) -> Iterator[Book]:
    path = tmp_path / "spring.duckdb"
    path.write_bytes(kept)
    with ledger.open(path) as held:
        yield held


def test_a_brief_is_painted_whole_and_twice_the_same(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    painted: dict[tuple[str, str], Figure] = {}

    def figure(answer: Answer, *, size: str) -> Figure:
        # That a picture is the same each time is a matter of its own tests.
        key = (answer.question, size)
        if key not in painted:
            painted[key] = export.figure(answer, size=size)
        return painted[key]

    monkeypatch.setattr(making, "figure", figure)
    one = book.export_brief(tmp_path / "one.html")
    two = book.export_brief(tmp_path / "two.html")

    assert one == tmp_path / "one.html"
    assert one.read_bytes() == two.read_bytes()
    page = read(one.read_text(encoding="utf-8"))
    assert page.one("h1").words() == "“They bank them there”"
    assert len(page.all("svg")) >= 5
    for answer in (book.ask("adopters"), book.ask("ranking")):
        assert answer.headline in page.one("section", id=answer.question).words()
    day = book.ask("sources").ledger.last_day
    assert f"of {day}." in page.one("header").words()
    assert {p.name for p in tmp_path.iterdir() if "part" in p.name} == set()


@pytest.mark.usefixtures("unpainted")
def test_a_brief_of_a_cohort_and_another_technique_is_of_those(book: Book, tmp_path: Path) -> None:
    cohort = Cohort.of(season="2024-25")

    path = book.export_brief(tmp_path / "brief.html", cohort=cohort, focus="underhand")

    page = read(path.read_text(encoding="utf-8"))
    asked = book.ask("adopters", cohort=cohort, focus="underhand")
    assert asked.headline in page.one("section", id="adopters").words()
    assert f"Asked of: {asked.cohort}." in page.one("section", id="question").words()


def test_an_empty_ledger_has_a_brief(tmp_path: Path) -> None:
    with ledger.open(tmp_path / "new.duckdb", create=True) as book:
        path = book.export_brief(tmp_path / "brief.html")

    page = read(path.read_text(encoding="utf-8"))
    assert not page.all("svg")
    assert len(page.all("div", class_="reply")) == 10


@pytest.mark.usefixtures("unpainted")
def test_progress_is_told_while_it_is_asked_and_drawn_and_can_end_the_work(
    book: Book, tmp_path: Path
) -> None:
    seen: list[float] = []
    book.export_brief(tmp_path / "brief.html", progress=seen.append)
    assert seen == sorted(seen)
    assert len(seen) > 15
    assert seen[-1] == 1.0

    def stop(part: float) -> None:
        if part > 0.3:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        book.export_brief(tmp_path / "stopped.html", progress=stop)
    assert not (tmp_path / "stopped.html").exists()


@pytest.mark.usefixtures("unpainted")
def test_every_question_is_asked_once(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []
    plain = type(book).ask

    def ask(self: Book, question: str, **options: object) -> object:
        asked.append(question)
        return plain(self, question, **options)  # type: ignore[arg-type]

    monkeypatch.setattr(type(book), "ask", ask)
    book.export_brief(tmp_path / "brief.html")

    # Clips are asked of the technique first, then of all where none of those is on film.
    once = [question for question in asked if question != "attempts"]
    assert len(once) == len(set(once)) > 9


@pytest.mark.usefixtures("unpainted")
def test_a_name_the_ledger_does_not_know_leaves_no_file(book: Book, tmp_path: Path) -> None:
    with pytest.raises(UseError, match="no league 'Nowhere'"):
        book.export_brief(tmp_path / "brief.html", cohort=Cohort.of(league="Nowhere"))
    assert not (tmp_path / "brief.html").exists()


@pytest.mark.usefixtures("unpainted")
def test_the_command_writes_it_and_says_where(filled: Offglass, desk: Path) -> None:
    done = filled("brief", "-o", "brief.html")

    assert (done.code, done.out, done.err) == (0, "", "written: brief.html\n")
    assert (desk / "brief.html").read_bytes().startswith(b"<!DOCTYPE html>")


@pytest.mark.usefixtures("unpainted")
def test_the_commands_cohort_and_technique_are_those_of_every_command(
    filled: Offglass, desk: Path
) -> None:
    done = filled("brief", "-o", "b.html", "--season", "2024-25", "--focus", "underhand", "--quiet")
    asked = filled("ask", "adopters", "--season", "2024-25", "--focus", "underhand", "--json")

    assert (done.code, done.err) == (0, "")
    page = read((desk / "b.html").read_text(encoding="utf-8"))
    assert json.loads(asked.out)["headline"] in page.one("body").words()


@pytest.mark.usefixtures("unpainted")
@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "--output"),
        (("-o", "brief.pdf"), "has no ending of a page: use .html"),
        (("-o", "no/brief.html"), "make it first"),
        (("-o", "brief.html", "--league", "Nowhere"), "no league 'Nowhere'"),
    ],
)
def test_wrong_use_is_one_line_and_leaves_nothing(
    words: tuple[str, ...], said: str, filled: Offglass, desk: Path
) -> None:
    done = filled("brief", *words)

    assert done.code == 2
    assert done.out == ""
    assert said in done.err
    assert not list(desk.glob("*.html"))


def test_a_link_or_a_folder_in_its_place_is_left_alone(filled: Offglass, desk: Path) -> None:
    (desk / "there.html").mkdir()
    (desk / "kept.txt").write_text("kept")
    (desk / "link.html").symlink_to(desk / "kept.txt")

    for name in ("there.html", "link.html"):
        done = filled("brief", "-o", name)
        assert done.code == 2
        assert "no ordinary file" in done.err
    assert (desk / "kept.txt").read_text() == "kept"
