"""What stands in a brief, in which order, and that it asks nobody for anything."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.charts.brief import making
from ledger.charts.brief.page import POLICY
from ledger.errors import UseError
from ledger.questions import wording
from ledger.questions.explain import for_coach
from ledger.story.story import Reply, Rumour, Story
from ledger.story.tell import CAUTIONS, tell
from ledger.story.usual import Beside
from tests.brief.reading import Element, drawn, read, told
from tests.questions.ground import Ground
from tests.story import league
from tests.story.grounds import THIN, thin
from tests.story.league import BESIDE
from tests.story.test_story import TOPICS

pytestmark = pytest.mark.usefixtures("unpainted")


@pytest.fixture(scope="module")
def story() -> Story:
    return tell(league.ask, BESIDE)


@pytest.fixture
def page(story: Story, tmp_path: Path) -> Element:
    return told(tmp_path / "brief.html", story)


def headings(page: Element) -> list[tuple[int, str]]:
    return [(int(e.name[1]), e.words()) for e in page.all() if re.fullmatch("h[1-6]", e.name)]


def test_the_rumour_comes_first_then_the_question_and_the_answer_in_five_sentences(
    page: Element, story: Story
) -> None:
    first, *rest = headings(page)

    assert first == (1, "“They bank them there”")
    assert "never its own proof" in page.one("header").words()
    assert [words for _, words in rest[:2]] == ["The question", "The answer in five sentences"]
    asked, answered = page.one("section", id="question"), page.one("section", id="answer")
    assert story.question in asked.words()
    assert f"Asked of: {story.cohort}." in asked.words()
    for said, item in zip(story.sentences, answered.all("li"), strict=True):
        assert item.words().startswith(said.words)


def test_headings_leave_out_no_level_and_sections_stand_in_the_order_of_the_story(
    page: Element, story: Story
) -> None:
    levels = [level for level, _ in headings(page)]
    assert levels.count(1) == 1
    assert all(level <= before + 1 for before, level in itertools.pairwise(levels))

    own = [a.question for a in story.answers if a.question not in ("agreement", "watchlist")]
    assert [s.attributes["id"] for s in page.all("section")] == [
        *("question", "answer", *own, "watchlist", "clips", "method", "data", "cautions", "asked")
    ]


def test_every_answer_has_its_headline_its_picture_and_what_to_keep_in_mind(
    page: Element, story: Story
) -> None:
    everywhere = page.one("main").words()

    for answer in story.answers:
        assert answer.headline in everywhere
        for note in answer.notes:
            assert note in everywhere
    for answer in story.answers:
        if answer.question == "watchlist" or not answer.frame.height:
            continue
        section = page.one("section", id=answer.question)
        wide = section.one("div", class_="picture").one("svg")
        assert wide.attributes["aria-labelledby"] == f"{answer.question}-title"
        caption = section.one("figcaption").words()
        assert caption.startswith(f"{answer.cohort}. Drawn for a page.")


def test_a_picture_that_is_too_wide_says_so_or_has_one_for_a_narrow_screen(page: Element) -> None:
    figures = page.all("figure")

    assert len(figures) == 8
    for figure in figures:
        narrow = figure.attributes.get("class") == "two"
        assert len(figure.all("svg")) == 1 + narrow
        assert len(figure.all("p", class_="push")) == 1 - narrow
        assert figure.one("div", class_="picture").attributes["tabindex"] == "0"
    assert {f.all("svg")[0].words() for f in figures if "class" in f.attributes} == {
        f"T D {q}" for q in ("adopters", "uptake", "ranking", "player", "candidates")
    }


def test_figures_in_tables_are_the_answers_own_and_rows_left_out_are_counted(
    page: Element, story: Story
) -> None:
    ranking = next(a for a in story.answers if a.question == "ranking")
    folded = page.one("section", id="ranking").one("details")

    assert folded.one("summary").words().startswith(f"All {ranking.frame.height} rows")
    assert len(folded.one("tbody").all("tr")) == ranking.frame.height
    row = ranking.main.rows()[0]
    cells = [e.words() for e in folded.one("tbody").all("tr")[0].all()]
    assert cells[1] == row["player"]
    assert f"{row['made']}/{row['attempts']}" in cells
    assert (
        wording.rate_with_interval(row["shrunken_rate"], row["low"], row["high"], row["attempts"])
        in cells
    )


def test_a_long_answer_is_begun_and_says_what_it_leaves_out_and_how_to_see_it(
    story: Story, tmp_path: Path
) -> None:
    ranking = next(a for a in story.answers if a.question == "ranking")
    frame = ranking.frame.sample(663, with_replacement=True, seed=1)
    many = replace(ranking, main=replace(ranking.main, frame=frame))
    answers = tuple(many if a is ranking else a for a in story.answers)

    page = told(tmp_path / "brief.html", replace(story, answers=answers))

    folded = page.one("section", id="ranking").one("details")
    assert folded.one("summary").words().startswith("663 rows")
    assert len(folded.one("tbody").all("tr")) == 40
    left = "623 more rows are left out here: offglass ask ranking shows all."
    assert folded.one("p").words() == left


def test_every_table_says_what_it_shows_and_every_row_what_it_is_about(page: Element) -> None:
    tables = page.all("table")

    assert len(tables) >= 10
    for table in tables:
        assert table.one("caption").words()
        columns = table.one("thead").all("th", scope="col")
        for row in table.one("tbody").all("tr"):
            assert len(row.all("th", scope="row")) == 1
            assert len([c for c in row.inside if isinstance(c, Element)]) == len(columns)


def test_the_cut_list_names_game_clock_film_and_result_of_makes_and_misses(
    page: Element, story: Story
) -> None:
    clips = page.one("section", id="clips")
    rows = clips.one("tbody").all("tr")

    assert len(rows) == story.clips.frame.height > 0
    for number, (row, clip) in enumerate(zip(rows, story.clips.main.rows(), strict=True), start=1):
        words = row.words()
        assert words.startswith(f"{number} {clip['game']} {clip['date']} {clip['player']}, ")
        assert clip["video"] in words
        assert ("made" if clip["made"] else "missed") in words
    assert any("Drawn by lot (seed 1)" in item.words() for item in clips.all("li"))


def test_clock_and_place_on_the_film_are_told_as_on_a_clock(story: Story, tmp_path: Path) -> None:
    frame = story.clips.frame.with_columns(clock_s=277.0, video_s=3754.0)
    clips = replace(story.clips, main=replace(story.clips.main, frame=frame))

    page = told(tmp_path / "brief.html", replace(story, clips=clips))

    first = page.one("section", id="clips").one("tbody").all("tr")[0].words()
    assert "4:37 left" in first
    assert "1:02:34" in first


def test_method_data_and_cautions_are_told_in_plain_words(page: Element, story: Story) -> None:
    method = page.one("section", id="method").words()
    for answer in story.answers:
        assert answer.title in method
        assert " ".join(for_coach(answer.question).replace("`", " ").split())[:60] in method
    data = page.one("section", id="data").words()
    for one in story.data:
        assert one.words in data
    assert [li.words() for li in page.one("section", id="cautions").all("li")] == list(CAUTIONS)


def test_it_ends_with_the_ten_questions_each_answered_or_not_known_with_what_to_do(
    page: Element, story: Story
) -> None:
    last = page.all("section")[-1]

    assert [h.words() for h in last.all("h3")] == list(TOPICS)
    for reply, block in zip(story.replies, last.all("div", class_="reply"), strict=True):
        words = block.words()
        if reply.known:
            assert all(said in words for said in reply.said)
            assert reply.counted in words
            assert "Not known" not in words
        else:
            assert reply.short() in words
            assert "Not known" in words
        if reply.to_do:
            assert f"Do this: {reply.to_do}." in words


def test_a_reply_that_knows_nothing_says_why_and_what_to_do(story: Story, tmp_path: Path) -> None:
    replies = (Reply("Is it so?", (), "", "", "watch more", why="nobody has looked"),)

    page = told(tmp_path / "brief.html", replace(story, replies=replies))

    block = page.one("section", id="asked").one("div", class_="reply")
    assert block.words() == "Is it so? Not known: nobody has looked. Do this: watch more."


def test_every_link_leads_to_a_place_of_the_page(page: Element) -> None:
    ids = [e.attributes["id"] for e in page.all() if "id" in e.attributes]
    assert len(set(ids)) == len(ids)
    for link in page.all("a"):
        assert link.attributes["href"].removeprefix("#") in ids
    inside = [a.attributes["href"] for a in page.one("nav").all("a")]
    assert "#clips" in inside
    assert inside[-1] == "#asked"


def test_nothing_in_it_runs_or_asks_anybody_for_anything(page: Element, tmp_path: Path) -> None:
    policy = page.one("meta", http_equiv="Content-Security-Policy")

    assert page.one("head").inside.index(policy) < page.one("head").inside.index(page.one("style"))
    assert policy.attributes["content"] == POLICY
    assert "default-src 'none'" in POLICY
    assert "script" not in POLICY
    assert not page.all("script")
    for element in page.all():
        for name, value in element.attributes.items():
            assert not name.startswith("on")
            assert name in ("xmlns", "content") or "//" not in value
            if name in ("href", "src"):
                assert value.startswith(("#", "data:,"))
    style = page.one("style").words()
    assert "url(" not in style
    assert "@import" not in style
    text = (tmp_path / "brief.html").read_text(encoding="utf-8")
    assert set(re.findall(r"https?://[^\s\"<]+", text)) == {"http://www.w3.org/2000/svg"}


def test_the_same_story_gives_the_same_bytes(story: Story, tmp_path: Path) -> None:
    told(tmp_path / "one.html", story)
    told(tmp_path / "two.html", story)

    one = (tmp_path / "one.html").read_bytes()
    assert one == (tmp_path / "two.html").read_bytes()
    assert story.ledger.encode() in one


def test_without_a_rumour_the_question_comes_first(story: Story, tmp_path: Path) -> None:
    page = told(tmp_path / "brief.html", replace(story, rumours=()))

    assert headings(page)[0] == (1, story.question)
    assert "No rumour was written down." in page.one("header").words()
    assert story.question not in page.one("section", id="question").words()


def test_several_rumours_all_stand_at_the_top(story: Story, tmp_path: Path) -> None:
    more = (*story.rumours, Rumour("Now the Drellin Liga too", "Season 2025-26."))

    page = told(tmp_path / "brief.html", replace(story, rumours=more))

    assert "“Now the Drellin Liga too” Season 2025-26." in page.one("header").words()


@pytest.mark.parametrize("fill", THIN, ids=lambda fill: fill.__name__)
def test_thin_ground_gives_a_true_brief(fill: Callable[[Ground], None], tmp_path: Path) -> None:
    story, _ = thin(fill)

    page = told(tmp_path / "brief.html", story)

    words = page.one("body").words()
    for answer in (*story.answers, story.watch_next, story.clips):
        assert answer.headline in words
    assert [h.words() for h in page.all("section")[-1].all("h3")] == list(TOPICS)


def test_an_empty_ledger_gives_a_brief_that_says_so(ground: Ground, tmp_path: Path) -> None:
    story = tell(ground.ask, Beside())

    page = told(tmp_path / "brief.html", story)

    assert not page.all("table")
    assert not page.all("svg")
    answered = page.one("section", id="answer")
    assert answered.one("h2").words() == "The answer in one sentence"
    assert answered.one("li").words().startswith(story.sentences[0].words)
    for reply in page.all("div", class_="reply"):
        assert "Do this" in reply.words()
    assert page.one("section", id="clips").words().count(story.clips.headline) == 1


def test_a_picture_that_only_says_why_it_is_empty_gives_way_to_the_rows(
    story: Story, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    blank = replace(drawn("There is nothing to draw."), blank=True)
    monkeypatch.setattr(making, "figure", lambda *_answer, **_size: blank)

    page = told(tmp_path / "brief.html", story)

    assert not page.all("svg")
    ranking = page.one("section", id="ranking")
    assert ranking.inside[2].name == "p"  # type: ignore[union-attr]
    assert len(ranking.all("table")) >= 1


def test_work_that_is_stopped_leaves_no_file(story: Story, tmp_path: Path) -> None:
    seen: list[float] = []

    def stop(part: float) -> None:
        seen.append(part)
        if part > 0.5:
            raise KeyboardInterrupt

    with making.Brief(tmp_path / "brief.html") as brief, pytest.raises(KeyboardInterrupt):
        brief.write(story, stop)

    assert seen == sorted(seen)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("name", "said"),
    [("brief.pdf", "has no ending of a page: use .html"), ("no/brief.html", "make it first")],
)
def test_a_file_that_cannot_be_written_is_refused_before_anything_is_asked(
    name: str, said: str, tmp_path: Path
) -> None:
    with pytest.raises(UseError, match=said):
        making.Brief(tmp_path / name)


def test_the_style_shows_no_colour_that_cannot_be_read() -> None:
    # Web Content Accessibility Guidelines 2.2, 1.4.3: words have 4.5 to 1 on their ground.
    style = (Path(making.__file__).parent / "page.css").read_text(encoding="utf-8")
    colours = dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", style))

    for words in ("ink", "quiet", "link"):
        for ground in ("#ffffff", colours["soft"]):
            assert _contrast(colours[words], ground) >= 4.5


def _contrast(one: str, other: str) -> float:
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_a_page_that_ends_what_it_did_not_begin_is_noticed() -> None:
    with pytest.raises(AssertionError):
        read("<!DOCTYPE html><p></b></p>")
