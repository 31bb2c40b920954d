"""What holds of every picture drawn from a real answer: size, words, intervals, bytes, looks."""

from __future__ import annotations

import itertools
import json
import re
from dataclasses import replace
from functools import cache

import pytest

from ledger.charts import child
from ledger.charts.export import picture
from ledger.charts.specification import specification
from ledger.charts.theme import MARGIN, SIZES, THEMES
from ledger.questions.answer import Answer
from tests.charts import answers, real
from tests.charts.reading import (
    Spec,
    boxes,
    caption,
    fields,
    layers,
    marks,
    pixels,
    rows,
    spec_of,
    valid,
    words,
)
from tests.charts.test_hostile_names import HOSTILE
from tests.intake.hostile_names import harmful

LONG = ("Wolframius-Bartholomae Oselovinskaya von Drellin und Halma", "예은 박 선수 이름", "N" * 90)
PAPER = [name for name, size in SIZES.items() if not size.bare]


@cache
def _many() -> dict[str, Answer]:
    """Answers with more than fits, and with names that are too long."""
    return {
        "switches": real.changes(60, names=LONG, claimed=(40,)),
        "candidates": real.predicted(400, names=LONG),
        "player": real.games(400, seasons=30, names="N" * 60),
    }


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("question", real.QUESTIONS)
def test_a_sheet_has_exactly_its_size(question: str, size: str) -> None:
    spec = spec_of(real.real(question), size=size)

    padding, room = spec["padding"], SIZES[size]
    if size == "tall":
        room = replace(room, height=_cut(spec, room.height))
    if "concat" not in spec:
        assert padding["left"] + spec["width"] + padding["right"] == pytest.approx(room.width)
        assert padding["top"] + spec["height"] + padding["bottom"] == pytest.approx(room.height)
    # Vega counts the width of panels in one column itself, and nothing of others.
    elif spec["columns"] == 1:
        wide = spec["concat"][0]["width"]
        assert padding["left"] + wide + padding["right"] == pytest.approx(room.width)
        assert padding["top"] + padding["bottom"] == pytest.approx(room.height)
    else:
        assert padding["left"] + padding["right"] == pytest.approx(room.width)
        assert padding["top"] + padding["bottom"] == pytest.approx(room.height)


def _cut(spec: Spec, most: int) -> int:
    """The height of a tall sheet: never more than it may have, and no white below the caption."""
    high: int = round(sum(spec["padding"][s] for s in ("top", "bottom")) + spec.get("height", 0))
    lowest = max(box.bottom for box in boxes(spec))
    assert high <= most
    assert high - MARGIN <= lowest <= high
    return high


@pytest.mark.parametrize("question", ["ranking", "switches", "candidates", "misses", "sources"])
def test_a_tall_sheet_of_few_rows_is_not_mostly_white(question: str) -> None:
    answer = answers.ranking(1) if question == "ranking" else real.real(question)
    answer = real.with_rows(answer, answer.main.rows()[: 9 if question == "misses" else 1])
    spec = spec_of(answer, size="tall")

    edges = sorted({0.0, *(v for b in boxes(spec) for v in (b.top, b.bottom))})
    high = _cut(spec, SIZES["tall"].height)
    gaps = [b - a for a, b in itertools.pairwise(edges)]
    assert high < SIZES["tall"].height
    # Headline and axis labels are Vega's own: no other room is without words for longer.
    assert max(gaps) <= 140


@pytest.mark.parametrize("question", real.QUESTIONS)
def test_headline_cohort_ledger_and_day_stand_on_the_sheet(question: str) -> None:
    answer = real.real(question)

    spec = spec_of(answer, size="tall")

    told = answer.headline.replace("−", "–")
    assert " ".join(spec["title"]["text"]) == told
    assert " ".join(spec["title"]["subtitle"]) == answer.cohort
    ledger = answer.ledger
    assert ledger.last_day
    assert (
        f"Ledger {ledger.name}, up to source {ledger.last_source} of {ledger.last_day}."
        in caption(spec)
    )


@pytest.mark.parametrize("question", ["switches", "player", "candidates", "worth", "misses"])
def test_the_caption_says_how_many_were_watched(question: str) -> None:
    said = caption(spec_of(real.real(question)))

    assert re.search(r"Watched: [\d,]+ of [\d,]+ attempts", said)


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("question", real.QUESTIONS)
def test_a_chart_fits_the_schema(question: str, theme: str) -> None:
    valid(real.real(question), theme=theme)


@pytest.mark.parametrize("question", real.QUESTIONS)
def test_the_same_answer_gives_the_same_chart(question: str) -> None:
    answer = real.real(question)

    assert json.dumps(specification(answer)) == json.dumps(spec_of(answer))


def test_the_same_chart_is_drawn_in_the_same_bytes() -> None:
    answer = real.real("misses")

    assert picture(answer, "svg") == picture(answer, "svg")


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("question", real.QUESTIONS)
def test_words_never_touch_each_other_or_leave_the_sheet(question: str, size: str) -> None:
    _stand_apart(real.real(question), size)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("question", ["switches", "candidates", "player"])
def test_words_of_many_rows_and_long_names_stay_apart(question: str, size: str) -> None:
    _stand_apart(_many()[question], size)


def _stand_apart(answer: Answer, size: str) -> None:
    spec = spec_of(answer, size=size)
    found = boxes(spec)
    assert len(found) > 4

    outside = [
        b
        for b in found
        if b.left < 0 or b.right > SIZES[size].width or b.top < 0 or b.bottom > SIZES[size].height
    ]
    touching = [(a.words, b.words) for a, b in itertools.combinations(found, 2) if a.touches(b)]
    assert outside == []
    assert touching == []


@pytest.mark.parametrize("question", real.QUESTIONS)
def test_an_empty_ledger_gives_a_sheet_that_says_why(question: str) -> None:
    answer = real.empty(question)

    spec = spec_of(answer)

    assert not marks(spec, "point")
    assert any(said.endswith(".") and "draw" in said for said in words(spec))


@pytest.mark.parametrize("question", real.QUESTIONS)
def test_hostile_words_are_data_and_nothing_else(question: str) -> None:
    answer = _hostile(real.real(question))

    spec = spec_of(answer)

    text = json.dumps(spec, ensure_ascii=False)
    assert not harmful(text)
    read = re.compile(r'"(?:expr|labelExpr|signal|calculate|filter)": "((?:[^"\\]|\\.)*)"')
    own = {
        "round(datum.value * 1000) / 10 + ' %'",
        "(datum.value > 0.0001 ? '+' : datum.value < -0.0001 ? '–' : '') "
        "+ abs(round(datum.value * 1000) / 10)",
        "(datum.value > 0.0001 ? '+' : datum.value < -0.0001 ? '–' : '') "
        "+ abs(round(datum.value * 100) / 100)",
    }
    assert set(read.findall(text)) <= own
    assert all(re.fullmatch(r"[a-z_0-9]+", name) for name in fields(spec))
    assert sorted(set(fields(spec))) == sorted(set(fields(spec_of(real.real(question)))))


def test_pictures_of_hostile_words_are_drawn() -> None:
    for question in ("switches", "player", "misses", "attempts"):
        assert len(picture(_hostile(real.real(question)), "svg")) > 5_000


def _hostile(answer: Answer) -> Answer:
    """Every text of a name in all frames replaced by hostile ones."""
    names = {"player", "team", "league", "game", "tagger_a", "tagger_b", "season"}
    for part in ("", *answer.parts):
        rows = answer.part(part).rows()
        for place, row in enumerate(rows):
            for number, name in enumerate(sorted(names & set(row))):
                row[name] = HOSTILE[(place + number) % (len(HOSTILE) - 1)]
        answer = real.with_rows(answer, [_dated(row) for row in rows], part)
    return replace(answer, headline=HOSTILE[0], cohort=HOSTILE[5], notes=HOSTILE[:4])


def _dated(row: dict[str, object]) -> dict[str, object]:
    from datetime import date

    days = ("date", "date_low", "date_high", "first", "last")
    return {
        k: date.fromisoformat(v) if k in days and isinstance(v, str) and len(v) == 10 else v
        for k, v in row.items()
    }


# Panels, a court, bars: what is drawn by each kind of arrangement.
@pytest.mark.parametrize("question", ["switches", "misses", "sources"])
def test_there_is_ink_where_a_word_should_be(
    question: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(child, "SCALE", 0.5)
    spec = spec_of(real.real(question))
    request = {"spec": spec, "kind": "png", "title": "", "description": ""}

    image = pixels(child.paint(request))

    paper = image[0][0]
    assert (len(image[0]), len(image)) == (480, 270)
    for box in boxes(spec):
        if len(box.words) < 4:
            continue
        ink = sum(
            sum(abs(a - b) for a, b in zip(pixel[:3], paper[:3], strict=True)) > 90
            for line in image[int(box.top / 2) : int(box.bottom / 2) + 1]
            for pixel in line[int(box.left / 2) : int(box.right / 2) + 1]
        )
        assert ink > 5, box


@pytest.mark.parametrize("question", real.QUESTIONS)
def test_a_limit_is_drawn_from_its_low_to_its_high_end(question: str) -> None:
    spec = spec_of(real.real(question))

    for layer in layers(spec):
        for channel in ("x", "y"):
            start = layer["encoding"].get(channel, {}).get("field", "")
            if not re.search(r"(^|_)low(_|$)", start) or layer["mark"]["type"] in ("tick", "point"):
                continue
            end = layer["encoding"][f"{channel}2"]["field"]
            assert end == start.replace("low", "high")
            assert all(row[start] <= row[end] for row in rows(spec, layer))


@pytest.mark.parametrize("question", real.QUESTIONS)
def test_every_layer_holds_rows_and_every_text_is_said_by_its_own_field(question: str) -> None:
    spec = spec_of(real.real(question))

    for layer in layers(spec):
        assert layer["data"]["name"] in spec["datasets"]
        if layer["mark"]["type"] == "text":
            assert layer["encoding"]["text"]["field"] == "words"
