"""Mapping profiles kept in the ledger."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.book import Book
from ledger.errors import UseError
from ledger.intake.profile.keeping import keep, named
from ledger.store import undo
from ledger.store.ledger_file import LedgerFile
from ledger.store.profiles import Saved, find, listed, save

BODY = 'profile = 1\nname = "Halma  feed"\nas = "attempts"\n'


def profiles(ledger: LedgerFile) -> tuple[Saved, ...]:
    with ledger.reading() as con:
        return listed(con)


def test_a_profile_is_kept_under_its_own_name_and_found_by_it(empty: LedgerFile) -> None:
    saved = keep(empty, BODY, "halma.toml")

    with empty.reading() as con:
        assert find(con, " halma FEED") == profiles(empty)[0]
        assert find(con, "halma") is None
    assert (saved.name, saved.body, saved.who) == ("Halma feed", BODY, "ana")
    assert named(empty, "Halma feed").body == BODY


def test_a_new_text_takes_the_place_of_the_old_and_undo_brings_it_back(empty: LedgerFile) -> None:
    keep(empty, BODY, "halma.toml")
    newer = BODY + 'order = "file"\n'

    second = keep(empty, newer, "halma.toml")
    assert [one.body for one in profiles(empty)] == [newer]
    assert second.source is not None
    with empty.changing("undo") as con:
        undo.take_back(con, empty, second.source)
    assert [one.body for one in profiles(empty)] == [BODY]
    with empty.changing("undo") as con:
        undo.bring_back(con, empty, second.source)
    assert [one.body for one in profiles(empty)] == [newer]


def test_the_same_text_again_changes_nothing(empty: LedgerFile) -> None:
    keep(empty, BODY, "halma.toml")

    again = keep(empty, BODY, "halma.toml")

    assert again.source is None
    with empty.reading() as con:
        assert con.execute("SELECT count(*) FROM source").fetchone() == (1,)


def test_a_saved_profile_can_be_taken_back_whole(empty: LedgerFile) -> None:
    saved = keep(empty, BODY, "halma.toml")
    assert saved.source is not None

    with empty.changing("undo") as con:
        undo.take_back(con, empty, saved.source)

    assert profiles(empty) == ()


@pytest.mark.parametrize("name", ["", "  ", "x" * 101])
def test_a_name_that_cannot_be_is_refused(empty: LedgerFile, name: str) -> None:
    with empty.changing("save") as con, pytest.raises(UseError, match="1 to 100 letters"):
        save(con, empty, name, BODY)


def test_a_draft_with_questions_open_is_not_kept(empty: LedgerFile) -> None:
    with pytest.raises(UseError, match="a question is open: which word is made"):
        keep(empty, BODY + 'ask = ["which word is made"]\n', "halma.toml")
    assert profiles(empty) == ()


def test_a_name_that_is_neither_saved_nor_a_file_gets_a_hint(
    empty: LedgerFile, tmp_path: Path
) -> None:
    keep(empty, BODY, "halma.toml")
    (tmp_path / "latin.toml").write_bytes(b"# \xe9\n" + BODY.encode())

    with pytest.raises(UseError, match="did you mean Halma feed"):
        named(empty, "Halma fed")
    with pytest.raises(UseError, match=r"latin\.toml: no profile, it is not written in UTF-8"):
        named(empty, str(tmp_path / "latin.toml"))
    with pytest.raises(UseError, match="a folder, not a file"):
        named(empty, str(tmp_path))


def test_the_book_gives_and_keeps_profiles(path: Path) -> None:
    with Book(path, who="ana") as book:
        book.save_profile(BODY)

        assert [one.name for one in book.profiles()] == ["Halma feed"]
        assert book.profile("halma feed").kind == "attempts"
