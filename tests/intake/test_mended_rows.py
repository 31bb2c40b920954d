"""Rows a file had refused come in again: they are further rows of that file, and none is lost."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from ledger.intake.report import Report
from tests.store.filing import HEAD, Desk, alone, desk, rows

ILVO = "Halma League,2023-24,2023-10-14,G1,Skerry,Ilvo Tarn"
FIRST = rows(HEAD, f"{ILVO},yes", f"{ILVO},ja", f"{ILVO},no")
WHOLE = FIRST.replace("ja", "yes")


def refused(d: Desk, text: str, kind: str = "attempts") -> tuple[Report, str]:
    """A file brought in, and its refused rows."""
    out = d.folder / "refused.csv"
    report = d.bring(text, kind, rejects=out)
    return report, out.read_text(encoding="utf-8")


def mended(text: str, wrong: str = ",ja,", right: str = ",yes,") -> str:
    assert wrong in text
    return text.replace(wrong, right)


def results(d: Desk) -> list[bool]:
    found = d.rows("SELECT made FROM attempt WHERE NOT removed ORDER BY made DESC")
    return [bool(made) for (made,) in found]


def test_the_file_of_refused_rows_says_which_file_and_line_each_comes_from(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        report, text = refused(d, FIRST)
    row = next(csv.DictReader(text.splitlines()))
    assert row["refused_by"] == f"{report.sha256}:3"


def test_a_mended_row_is_another_attempt_than_the_equal_row_of_its_file(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        _, text = refused(d, FIRST)
        again = d.bring(mended(text))
        assert (again.stored, again.already_there) == (1, 0)
        assert d.dump() == alone((WHOLE, "attempts"))
        assert d.whole() == []


@pytest.mark.parametrize("other_bytes", [False, True])
def test_mended_rows_brought_in_twice_add_nothing(tmp_path: Path, other_bytes: bool) -> None:
    with desk(tmp_path) as d:
        _, text = refused(d, FIRST)
        first = d.bring(mended(text))
        again = d.bring(mended(text).replace("\n", "\r\n") if other_bytes else mended(text))
        assert (again.duplicate_of, again.stored) == (first.source, 0)


def test_mended_rows_are_not_taken_for_the_file_that_holds_the_same_good_rows(
    tmp_path: Path,
) -> None:
    with desk(tmp_path) as d:
        _, text = refused(d, rows(HEAD, f"{ILVO},yes", f"{ILVO},ja"))
        again = d.bring(mended(text))
        assert (again.duplicate_of, again.stored) == (None, 1)


@pytest.mark.parametrize("first", ["whole", "mended"])
def test_the_whole_file_mended_adds_nothing_whichever_comes_first(
    tmp_path: Path, first: str
) -> None:
    with desk(tmp_path) as d:
        _, text = refused(d, FIRST)
        later = [WHOLE, mended(text)] if first == "whole" else [mended(text), WHOLE]
        one, two = [d.bring(file) for file in later]
        assert (one.attempts_stored, two.attempts_stored) == (1, 0)
        assert d.dump() == alone((WHOLE, "attempts"))


def test_the_same_file_read_with_the_word_explained_knows_its_mended_row(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        _, text = refused(d, FIRST.replace("no", "hm"))
        d.bring(mended(mended(text), ",hm,", ",no,"))
        path = d.folder / "file1.csv"
        report = d.bring(path.read_text(encoding="utf-8"), words=["made:ja=yes"])
        assert (report.attempts_stored, report.rejected) == (0, 1)
        assert results(d) == [True, True, False]


def test_either_source_can_be_taken_back_and_brought_in_again(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        first, text = refused(d, FIRST)
        second = d.bring(mended(text))
        both = d.dump()
        for report, left in ((first, [True]), (second, [True, False])):
            d.undo(report.source)
            assert results(d) == left
            d.again(report.source)
            assert d.dump() == both
            assert d.whole() == []


def test_the_first_file_brought_in_anew_after_its_mended_rows_loses_nothing(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        first, text = refused(d, FIRST)
        second = d.bring(mended(text))
        d.undo(first.source)
        assert d.bring(FIRST).stored == 2
        assert results(d) == [True, True, False]
        d.undo(second.source)
        d.again(second.source)
        assert results(d) == [True, True, False]
        assert d.whole() == []


def test_mended_rows_stay_apart_when_the_game_is_rebuilt_for_another_file(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        _, text = refused(d, FIRST)
        other = d.bring(rows(HEAD + ",technique", f"{ILVO},yes,board"))
        d.bring(mended(text))
        d.undo(other.source)
        assert results(d) == [True, True, False]
        assert d.dump() == alone((WHOLE, "attempts"))
        assert d.whole() == []


def test_rows_that_are_refused_again_stay_rows_of_the_first_file(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        _, text = refused(d, rows(HEAD, *[f"{ILVO},{made}" for made in ("yes", "ja", "hm")]))
        report, left = refused(d, mended(text))
        assert (report.stored, report.rejected) == (1, 1)
        header = left.splitlines()[0].split(",")
        assert len(header) == len(set(header)) == len(text.splitlines()[0].split(","))
        row = next(csv.DictReader(left.splitlines()))
        assert [part[-2:] for part in row["refused_by"].split()] == [":4", ":3"]
        assert d.bring(mended(left, ",hm,", ",yes,")).stored == 1
        assert results(d) == [True] * 3


def test_refused_rows_mended_one_by_one_are_several_attempts(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        _, text = refused(d, rows(HEAD, *[f"{ILVO},{made}" for made in ("yes", "ja", "hm")]))
        head, one, two = text.splitlines()
        assert d.bring(rows(head, mended(one))).stored == 1
        assert d.bring(rows(head, mended(two, ",hm,"))).stored == 1
        both = d.bring(rows(head, mended(one), mended(two, ",hm,", ",no,")))
        assert (both.already_there, both.contradicting, both.stored) == (1, 1, 0)
        assert results(d) == [True] * 3


def test_a_mended_row_of_a_box_score_adds_its_attempts(tmp_path: Path) -> None:
    head = HEAD + ",attempts"
    first = rows(head, f"{ILVO},2,3", f"{ILVO},x,2")
    with desk(tmp_path) as d:
        _, text = refused(d, first, "box")
        report = d.bring(mended(text, ",x,", ",1,"), "box")
        assert report.attempts_stored == 2
        assert not any("box score" in warning for warning in report.warnings)
        assert results(d) == [True] * 3 + [False] * 2
        assert d.dump() == alone((first.replace("x", "1"), "box"))
        assert d.bring(first.replace("x", "1"), "box").attempts_stored == 0


@pytest.mark.parametrize(
    ("columns", "places"),
    [(",order", ("1", "2", "3")), (",period,clock", ("1,300", "1,300", "1,200"))],
    ids=["order", "clock"],
)
def test_games_with_places_keep_every_attempt_too(
    tmp_path: Path, columns: str, places: tuple[str, ...]
) -> None:
    made = ("yes", "ja", "no")
    first = rows(HEAD + columns, *[f"{ILVO},{m},{p}" for m, p in zip(made, places, strict=True)])
    whole = mended(first)
    with desk(tmp_path) as d:
        _, text = refused(d, first)
        assert d.bring(mended(text)).stored == 1
        assert d.bring(whole).attempts_stored == 0
        assert results(d) == [True, True, False]


def test_an_attempt_named_by_its_id_is_found_whatever_file_it_was_refused_from(
    tmp_path: Path,
) -> None:
    head = HEAD + ",attempt_id,period"
    with desk(tmp_path) as d:
        _, text = refused(d, rows(head, f"{ILVO},yes,A1,", f"{ILVO},ja,A1,1"))
        report = d.bring(mended(text))
        assert (report.attempts_stored, report.fields_filled) == (0, 1)
