"""A colleague's ledger with tags that were typed one by one while watching."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.intake.watched import TagDesk
from ledger.store.merge import child
from ledger.store.merge import other as foreign
from tests.store.test_merge import GAME, brought, two

_STANDING = """
    SELECT t.attempt_id, t.tagger, k.name, t.miss_depth, t.picked_for
    FROM tag t JOIN technique k ON k.id = t.technique_id WHERE NOT t.removed ORDER BY ALL
"""


@pytest.fixture(autouse=True)
def _read_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """The other ledger is read without a process of its own, which takes a second to start."""
    monkeypatch.setattr(foreign, "_asked", lambda request, _: child.answer(request))


def test_tags_that_were_typed_while_watching_come_as_they_stood_and_go_with_an_undo(
    tmp_path: Path,
) -> None:
    with two(tmp_path) as (own, other):
        own.bring(GAME)
        TagDesk(own.file).tag(None, 1, {"technique": "straight"}, what="watching")
        before = own.dump()
        other.bring(GAME)
        table = TagDesk(other.file)
        sitting = table.tag(None, 1, {"technique": "board"}, what="watching").sitting
        table.tag(sitting, 1, {"technique": "straight"}, what="watching")
        missed = {"technique": "board", "miss_depth": "short", "picked_for": "result"}
        table.tag(sitting, 2, missed, what="watching")
        table.tag(sitting, 3, {"technique": "underhand"}, what="watching", tagger="cem")
        # What was typed last and taken back is told to nobody.
        table.untag(sitting, 3, tagger="cem")

        report = brought(own, other)

        assert (report.tags_stored, report.contradicting, report.rejected) == (2, 0, 0)
        assert own.rows(_STANDING) == [
            (1, "ann", "straight", None, None),
            (1, "bo", "straight", None, None),
            (2, "bo", "board", "short", "result"),
        ]
        assert own.rows("SELECT tags, disputed FROM agreed ORDER BY attempt_id") == [
            (2, False), (1, False),
        ]  # fmt: skip
        assert own.whole() == []
        own.undo(report.source)
        assert own.dump() == before
        assert own.whole() == []
        own.again(report.source)
        assert len(own.rows(_STANDING)) == 3
        assert own.whole() == []


def test_watching_goes_on_after_a_merge_and_a_later_merge_brings_only_what_is_new(
    tmp_path: Path,
) -> None:
    with two(tmp_path) as (own, other):
        own.bring(GAME)
        other.bring(GAME)
        mine, theirs = TagDesk(own.file), TagDesk(other.file)
        here = mine.tag(None, 1, {"technique": "board"}, what="watching").sitting
        there = theirs.tag(None, 1, {"technique": "board"}, what="watching").sitting
        first = brought(own, other)
        mine.tag(here, 2, {"technique": "board"}, what="watching")
        theirs.tag(there, 2, {"technique": "straight"}, what="watching")

        second = brought(own, other)

        assert (first.tags_stored, second.tags_stored) == (1, 1)
        assert own.rows("SELECT attempt_id, tags, disputed FROM agreed ORDER BY attempt_id") == [
            (1, 2, False), (2, 2, True),
        ]  # fmt: skip
        # A change of mind there contradicts what came before, and is listed.
        theirs.tag(there, 1, {"technique": "straight"}, what="watching")
        third = brought(own, other)
        assert third.contradictions == (
            "line 5: tag of attempt 1 by bo there, 1 here (Oda Tarn): technique is straight "
            "there, board here",
        )
        assert own.whole() == []
