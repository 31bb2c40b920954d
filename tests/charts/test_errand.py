"""What goes to the drawing process and comes back."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import pytest

from ledger.charts import child
from ledger.charts.errand import Errand, Pictures
from ledger.charts.registry import draw
from ledger.errors import UseError
from tests.charts import answers, real


def test_an_answer_arrives_as_it_was_sent_with_the_names_of_its_ledger() -> None:
    sent = replace(answers.uptake(2, 2), draw=partial(draw, names=("Halma League", "Drellin Liga")))

    come = Errand.of(Errand(sent, ("png", "svg"), "dark", "tall").request())

    assert (come.kinds, come.theme, come.size) == (("png", "svg"), "dark", "tall")
    assert come.answer.json() == sent.json()
    assert come.answer.draw is not None
    assert come.answer.draw.keywords == sent.draw.keywords  # type: ignore[attr-defined, union-attr]


def test_pictures_come_home_whole_and_in_their_order() -> None:
    sent = Pictures((b"one\n{}", b"", b"\x00two"), ("A line.", "Überall – 9 %"), blank=True)

    assert Pictures.of(sent.packed()) == sent


def test_one_drawing_gives_every_kind_of_file(monkeypatch: pytest.MonkeyPatch) -> None:
    drawn: list[dict[str, object]] = []
    usual = child._svg

    def counted(spec: dict[str, object]) -> str:
        drawn.append(spec)
        return usual(spec)

    monkeypatch.setattr(child, "_svg", counted)

    kinds = ("png", "svg", "pdf", "json", "html")
    found = child.drawn(Errand(answers.ranking(3), kinds, "light", "wide"))

    assert len(drawn) == 1
    starts = [b"\x89PNG", b"<svg", b"%PDF-", b"{", b"<!DOCTYPE html>"]
    assert [f.startswith(s) for f, s in zip(found.files, starts, strict=True)] == [True] * 5
    assert found.caption
    assert not found.blank


def test_what_cannot_be_drawn_is_refused_before_it_is_sent() -> None:
    for bad in (
        Errand(replace(answers.ranking(1), question="weather"), ("png",), "light", "wide"),
        Errand(answers.ranking(1), ("png",), "pink", "wide"),
        Errand(answers.ranking(1), ("png",), "light", "round"),
    ):
        with pytest.raises(UseError):
            bad.request()


def test_records_stay_at_home_where_the_picture_looks_at_their_sums() -> None:
    answer = real.real("attempts")

    come = Errand.of(Errand(answer, ("svg",), "light", "wide").request()).answer

    assert answer.frame.height > 1_000
    assert come.frame.height == 0
    assert come.part("by_season").rows() == answer.part("by_season").rows()
