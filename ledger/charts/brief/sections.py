"""One answer as a section: headline, picture, the rows that matter, what to keep in mind."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

from ledger.charts import caption
from ledger.charts.brief.markup import Markup, tag
from ledger.charts.brief.pictures import inlined
from ledger.charts.brief.tables import folded, table, table_of
from ledger.questions import wording

if TYPE_CHECKING:
    from ledger.charts.export import Figure
    from ledger.questions.answer import Answer

# Rows that are read without opening anything: the frame, what it shows, how many of it.
_OPEN: dict[str, tuple[tuple[str, str, int], ...]] = {
    "player": (("by_season", "Season by season", 8), ("by_technique", "By technique", 6)),
    "misses": (
        ("rebounds", "Offensive rebounds of live misses, whoever shot so: no comparison", 6),
    ),
    "candidates": (("", "What each might gain", 12),),
    "worth": (("", "Points of a trip", 8),),
    "trial": (("", "Session by session", 24),),
    "watchlist": (("", "The games that settle most", 20),),
}
# Further frames behind a line that opens them.
_FOLDED: dict[str, tuple[tuple[str, str], ...]] = {
    "switches": (("tried", "those who tried it and went back"),),
    "misses": (("tests", "compared within players who missed both ways"),),
    "worth": (("break_even", "below which rate a foul pays"),),
}
_ROWS = {
    "uptake": "league by league, season by season",
    "adopters": "every player, season by season",
    "ranking": "the players in their order",
    "switches": "every change",
    "player": "game by game",
    "misses": "depth and side of the misses",
    "agreement": "two people at a time",
}
# Enough of an answer without a picture.
_USUAL = 12
# Notes that belong to the figures themselves: how many attempts they stand on.
_WATCHED = ("Watched", "None of these", "No attempts")


def section(answer: Answer, figures: Sequence[Figure], told: Collection[str]) -> Markup:
    """The section of an answer.

    Args:
        answer: complete.
        figures: its picture, where it has one, then the same for a narrow screen where it has that.
        told: notes that stand elsewhere on the page.
    """
    return tag(
        "section",
        tag("h2", answer.title),
        *body(answer, figures, told),
        id=answer.question,
    )


def body(answer: Answer, figures: Sequence[Figure], told: Collection[str]) -> list[Markup]:
    """What stands under the heading of a section."""
    drawn = [figure for figure in figures if not figure.blank]
    pieces = [tag("p", answer.headline, class_="says")]
    if drawn:
        pieces.append(_picture(answer, drawn))
    elif answer.frame.height:
        pieces.append(tag("p", _stands_on(answer), class_="small"))
    pieces += _tables(answer, drawn=bool(drawn))
    said = {*told, *_watched(answer)} if answer.frame.height else told
    notes = [note for note in answer.notes if note not in said]
    if notes:
        pieces.append(_in_mind(notes))
    return pieces


def _in_mind(notes: list[str]) -> Markup:
    points = tag("ul", *(tag("li", note) for note in notes))
    return tag("div", tag("h3", "To keep in mind"), points, class_="mind")


def _picture(answer: Answer, figures: Sequence[Figure]) -> Markup:
    """The picture with what belongs under it; pushed sideways where a screen is too narrow."""
    figure, *narrow = figures
    notes = set(map(_drawn, answer.notes))
    reading = [sentence for sentence in figure.caption if _drawn(sentence) not in notes]
    told = [f"{answer.cohort}.", *reading, *_watched(answer)]
    name = answer.question
    wide = tag(
        "div",
        inlined(figure, name),
        class_="picture",
        tabindex="0",
        role="region",
        aria_label=f"Picture: {answer.title}",
    )
    if narrow:
        pieces = [wide, tag("div", inlined(narrow[0], f"{name}-narrow"), class_="narrow")]
    else:
        pieces = [wide, tag("p", "Push the picture sideways to see all of it.", class_="push")]
    below = tag("figcaption", " ".join(told))
    return tag("figure", *pieces, below, class_="two" if narrow else None)


def _drawn(sentence: str) -> str:
    # Letters of a picture have no minus sign.
    return sentence.replace("\u2212", "\u2013")


def _stands_on(answer: Answer) -> str:
    return " ".join([f"{answer.cohort}.", *_watched(answer), caption.source(answer)])


def _watched(answer: Answer) -> list[str]:
    return [note for note in answer.notes if note.startswith(_WATCHED)]


def _tables(answer: Answer, *, drawn: bool) -> list[Markup]:
    height = answer.frame.height
    if not height:
        return []
    pieces, whole = _open_tables(answer)
    words = _ROWS.get(answer.question, "the answer row by row")
    if not (drawn or whole or pieces):
        shown = table_of(answer, most=_USUAL)
        pieces.append(table(shown, wording.capital(words), ask=answer.question))
        whole = shown.whole
    if not whole:
        pieces.append(folded(table_of(answer), words, ask=answer.question))
    for part, said in _FOLDED.get(answer.question, ()):
        if part in answer.parts and answer.parts[part].frame.height:
            pieces.append(folded(table_of(answer, part), said, ask=_command(answer, part)))
    return pieces


def _open_tables(answer: Answer) -> tuple[list[Markup], bool]:
    """The tables that are read without opening anything, and whether they hold every row."""
    pieces, whole = [], False
    for part, words, most in _OPEN.get(answer.question, ()):
        if part and part not in answer.parts:
            continue
        shown = table_of(answer, part, most)
        if shown.rows:
            whole = whole or (not part and shown.whole)
            # What is left out of the rows stands right below.
            pieces.append(table(shown, words, ask=_command(answer, part) if part else ""))
    return pieces, whole


def _command(answer: Answer, part: str) -> str:
    return f"{answer.question} --part {part}"
