"""A merge keeps what came from a box score: the richer side of a player's game stays whole."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.store.merge import child
from ledger.store.merge import other as foreign
from tests.store.filing import Desk
from tests.store.test_merge import brought, two
from tests.store.test_reconcile import File, box, events, held

EVENTS = events(("Ilvo Tarn", 1), ("Ilvo Tarn", 0))
BOX = box(("Ilvo Tarn", 3, 3), ("Bram Oselo", 1, 1))


@pytest.fixture(autouse=True)
def _read_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """The other ledger is read without a process of its own, which takes a second to start."""
    monkeypatch.setattr(foreign, "_asked", lambda request, _: child.answer(request))


def _bring(desk: Desk, *files: File) -> None:
    for file in files:
        desk.bring(*file)


@pytest.mark.parametrize("turned", [False, True], ids=["box there", "box here"])
@pytest.mark.parametrize(
    ("told", "kept"),
    [((1, 2), (3, 3)), ((1, 4), (1, 4)), ((2, 3), (2, 3))],
    ids=["box richer", "events richer", "as many"],
)
def test_box_and_events_that_meet_in_a_merge_leave_the_richer_whole_and_say_so(
    tmp_path: Path, told: tuple[int, int], kept: tuple[int, int], turned: bool
) -> None:
    made, attempts = told
    results = [("Ilvo Tarn", 1)] * made + [("Ilvo Tarn", 0)] * (attempts - made)
    files = [events(*results), BOX]
    if turned:
        files.reverse()
    with two(tmp_path) as (own, other):
        own.bring(*files[0])
        other.bring(*files[1])
        before = own.dump()

        report = brought(own, other)

        assert held(own) == {"Ilvo Tarn": kept, "Bram Oselo": (1, 1)}
        said = f"box score 3 of 3, events {made} of {attempts}, kept {kept[0]} of {kept[1]}"
        assert f"Ilvo Tarn in G1: {said}" in report.warnings
        stored = "SELECT stored, already_there, contradicting FROM source WHERE kind = 'merge'"
        counts = (report.stored, report.already_there, report.contradicting)
        assert own.rows(stored) == [counts]
        assert len(report.contradictions) == report.contradicting
        assert own.whole() == []
        both = own.dump()
        assert brought(own, other).duplicate_of == report.source
        assert own.dump() == both
        own.undo(report.source)
        assert own.dump() == before
        own.again(report.source)
        assert own.dump() == both
        assert own.whole() == []


@pytest.mark.parametrize("turned", [False, True], ids=["box there", "box here"])
@pytest.mark.parametrize("boxed", [(3, 3), (1, 2), (2, 4), (0, 1)])
def test_the_same_events_on_both_sides_and_a_box_score_on_one_double_nothing(
    tmp_path: Path, boxed: tuple[int, int], turned: bool
) -> None:
    score = box(("Ilvo Tarn", *boxed))
    with two(tmp_path) as (own, other):
        full, plain = (own, other) if turned else (other, own)
        _bring(full, EVENTS, score)
        plain.bring(*EVENTS)
        whole, before = held(full), own.dump()

        report = brought(own, other)

        assert held(own) == whole
        both = own.dump()
        assert own.whole() == []
        own.undo(report.source)
        assert own.dump() == before
        own.again(report.source)
        assert own.dump() == both


def test_what_came_from_a_box_score_stays_so_over_a_second_merge(tmp_path: Path) -> None:
    (tmp_path / "first").mkdir()
    (tmp_path / "second").mkdir()
    with two(tmp_path / "first") as (between, source), two(tmp_path / "second") as (own, _):
        source.bring(*BOX)
        brought(between, source)
        own.bring(*EVENTS)

        report = brought(own, between)

        assert held(own) == {"Ilvo Tarn": (3, 3), "Bram Oselo": (1, 1)}
        assert "Ilvo Tarn in G1: box score 3 of 3, events 1 of 2, kept 3 of 3" in report.warnings
        assert own.whole() == []
