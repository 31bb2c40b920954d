"""Whatever two ledgers went through: a merge doubles nothing and goes without a trace."""

from __future__ import annotations

import tempfile
from pathlib import Path
from unittest import mock

from hypothesis import HealthCheck, given, settings

from ledger.store.merge import child
from ledger.store.merge import other as foreign
from ledger.store.merge.merge import merge
from tests.store.filing import desk
from tests.store.ledgers import Step, live, steps

_QUIETLY = settings(
    max_examples=8,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@_QUIETLY
@given(steps(), steps())
def test_a_merge_goes_and_comes_back_without_a_trace(own: list[Step], other: list[Step]) -> None:
    with (
        tempfile.TemporaryDirectory() as name,
        mock.patch.object(foreign, "_asked", lambda request, _: child.answer(request)),
        desk(Path(name), "own") as mine,
        desk(Path(name), "other") as theirs,
    ):
        live(mine, own)
        live(theirs, other)
        before = mine.dump()
        theirs.file.release()

        report = merge(mine.file, theirs.file.path)

        both = mine.dump()
        parts = (report.stored, report.rejected, report.already_there, report.contradicting)
        assert report.rows == sum(parts)
        assert mine.whole() == []
        again = merge(mine.file, theirs.file.path)
        assert again.duplicate_of == report.source
        mine.undo(report.source, yes=True)
        assert mine.dump() == before
        assert mine.whole() == []
        mine.again(report.source)
        assert mine.dump() == both
        assert mine.whole() == []


@_QUIETLY
@given(steps())
def test_a_ledger_merged_into_an_empty_one_is_the_same(happened: list[Step]) -> None:
    with (
        tempfile.TemporaryDirectory() as name,
        mock.patch.object(foreign, "_asked", lambda request, _: child.answer(request)),
        desk(Path(name), "own") as mine,
        desk(Path(name), "other") as theirs,
    ):
        live(theirs, happened)
        theirs.file.release()

        report = merge(mine.file, theirs.file.path)

        assert (report.rejected, report.contradicting, report.already_there) == (0, 0, 0)
        assert mine.dump() == theirs.dump()
        assert mine.whole() == []
