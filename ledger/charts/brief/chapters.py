"""What stands before, between and after the answers of a brief."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ledger.charts.brief.clips import clip_table
from ledger.charts.brief.markup import Markup, joined, tag
from ledger.charts.brief.tables import table
from ledger.questions import wording

if TYPE_CHECKING:
    from ledger.story.story import Method, Reply, Rumour, Story

ASKED = "What you will be asked"
CLIPS = "Clips to show"
METHOD = "How the answers come about"
DATA = "Data and coverage"
CAUTIONS = "Cautions"


def opening(story: Story) -> Markup:
    """The rumour, or the question where there is none; the ledger and its day above it."""
    title = f"“{story.rumours[0].text}”" if story.rumours else story.question
    pieces = [tag("p", f"Brief. {story.ledger}", class_="small"), tag("h1", title)]
    if story.rumours:
        pieces.append(tag("p", "The rumour. ", story.rumours[0].about, class_="about"))
        pieces += _further(story.rumours[1:])
    else:
        pieces.append(tag("p", "No rumour was written down.", class_="about"))
    return tag("header", *pieces)


def _further(rumours: Sequence[Rumour]) -> list[Markup]:
    if not rumours:
        return []
    points = (tag("li", f"“{r.text}” {r.about}") for r in rumours)
    return [tag("p", "Heard as well:"), tag("ul", *points)]


def answered(story: Story) -> Markup:
    """What was asked, and the answer in a few sentences, each with the way to where it is from."""
    named = {a.question: a.title for a in story.answers}
    # Where there is nothing to tell every answer says so in the same words.
    told = {one.words: one.question for one in reversed(story.sentences)}
    sentences = [
        tag("li", words, " ", _way(question, named)) for words, question in reversed(told.items())
    ]
    number = wording.in_words(len(sentences))
    asked = [tag("p", story.question, class_="says")] if story.rumours else []
    return joined(
        [
            tag(
                "section",
                tag("h2", "The question"),
                *asked,
                tag("p", f"Asked of: {story.cohort}."),
                id="question",
            ),
            tag(
                "section",
                tag("h2", f"The answer in {number} sentence{'s' * (len(sentences) > 1)}"),
                tag("ol", *sentences, class_="five"),
                id="answer",
            ),
        ]
    )


def contents(parts: Sequence[tuple[str, str]]) -> Markup:
    """The way to every part of the page.

    Args:
        parts: the id and the heading of each.
    """
    points = (tag("li", tag("a", words, href=f"#{name}")) for name, words in parts)
    return tag("nav", tag("ul", *points), aria_label="Contents")


def clips(story: Story) -> Markup:
    """The cut list, on a page of its own in print."""
    answer = story.clips
    shown = clip_table(answer)
    pieces = [tag("p", answer.headline, class_="says"), tag("p", f"{answer.cohort}.")]
    if shown.rows:
        pieces.append(table(shown, "The clips, game by game"))
    pieces.append(tag("ul", *(tag("li", note) for note in answer.notes), class_="mind"))
    return tag("section", tag("h2", CLIPS), *pieces, id="clips")


def method(methods: Sequence[Method]) -> Markup:
    """How the answers come about, in words for a coach."""
    pieces: list[Markup] = []
    for one in methods:
        pieces += [tag("h3", one.title), tag("p", _plain(one.words))]
    return tag("section", tag("h2", METHOD), *pieces, id="method")


def _plain(words: str) -> Markup:
    """Words of a method with what is typed marked as such."""
    parts = " ".join(words.split()).split("`")
    return joined(tag("code", part) if at % 2 else part for at, part in enumerate(parts))


def data(story: Story, *further: Markup) -> Markup:
    """What the figures stand on; then whether the tags can be trusted."""
    # Whether the tags can be trusted is told further down where there is more of it.
    lines = [one.words for one in story.data if not further or one.question != "agreement"]
    points = (tag("li", words) for words in lines)
    return tag(
        "section",
        tag("h2", DATA),
        tag("p", "This holds for every figure above."),
        tag("ul", *points),
        *further,
        id="data",
    )


def cautions(story: Story) -> Markup:
    """What nobody may forget who reads this."""
    points = (tag("li", words) for words in story.cautions)
    return tag("section", tag("h2", CAUTIONS), tag("ul", *points), id="cautions")


def asked(story: Story) -> Markup:
    """What a staff will ask, each with what the ledger says or how to find out."""
    named = {a.question: a.title for a in story.answers}
    return tag(
        "section",
        tag("h2", ASKED),
        *(_reply(reply, named) for reply in story.replies),
        id="asked",
    )


def _reply(reply: Reply, named: dict[str, str]) -> Markup:
    pieces = [tag("h3", reply.topic)]
    if not reply.known:
        return tag("div", *pieces, tag("p", reply.short(), class_="open"), class_="reply")
    first, *more = reply.said
    pieces.append(tag("p", first))
    if more:
        pieces.append(tag("ul", *(tag("li", words) for words in more)))
    if reply.counted:
        pieces.append(tag("p", reply.counted, " ", _way(reply.question, named), class_="small"))
    if reply.to_do:
        pieces.append(tag("p", f"Do this: {reply.to_do}.", class_="open"))
    return tag("div", *pieces, class_="reply")


def _way(question: str, named: dict[str, str]) -> Markup:
    """The way to the section of a question, where it has one."""
    if question not in named:
        return Markup("")
    return tag("span", "See ", tag("a", named[question], href=f"#{question}"), class_="way")
