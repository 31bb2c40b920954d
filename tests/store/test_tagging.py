"""Tags typed one by one while watching: quick, and the same in the ledger as those of any entry."""

from __future__ import annotations

import csv
import io
import json
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import polars as pl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.errors import UseError
from ledger.intake.bring import words_of
from ledger.intake.entry import enter
from ledger.intake.watched import TagDesk, read
from ledger.store import registers
from ledger.store.double_tags import SHARE, is_watched_twice
from ledger.store.ledger_file import LedgerFile
from ledger.store.package import export, load
from ledger.store.rederive import rederive_games
from ledger.store.statements import for_table, sql
from tests.store.filing import HEAD, Desk, desk, rows

GAME = rows(
    f"{HEAD},order,trip_shot,trip_of,trip_kind",
    *(
        f"Halma League,2023-24,2023-10-14,G1,Skerry,Ilvo Tarn,{n % 2},{n + 1},"
        f"{n % 2 + 1},2,personal"
        for n in range(12)
    ),
)
SAID: tuple[dict[str, str], ...] = (
    {"technique": "board"},
    {"technique": "bank shot", "miss_depth": "short", "miss_side": "left"},
    {"technique": "cannot tell"},
    {"technique": "not on film", "note": 'a "note", =1'},
    {"technique": "straight", "first_contact": "board", "confidence": "guess", "video_s": "12.5"},
    {"miss_depth": "long", "rebound_x_m": "0.5", "rebound_y_m": "3"},
    {"technique": "sideways"},
    {"technique": "underhand", "picked_for": "result", "release_angle_deg": "52"},
)
_TAGS = """
    SELECT attempt_id, tagger, technique_id, technique_as_written, first_contact, contact_height,
        contact_side, down_at_board, release_angle_deg, backspin, miss_depth, miss_side,
        rebound_zone, rebound_x_m, rebound_y_m, confidence, adjudicated, unclear, picked_for,
        video_s, note
    FROM tag WHERE NOT removed ORDER BY ALL
"""


def state(d: Desk) -> dict[str, Any]:
    """What counts: tags, agreed techniques, which are watched twice."""
    return {
        "tags": d.rows(_TAGS),
        "agreed": d.rows("FROM agreed ORDER BY ALL"),
        "twice": d.rows("SELECT attempt_id, seed FROM double_tag ORDER BY ALL"),
    }


def given_(d: Desk) -> list[tuple[Any, ...]]:
    """What the sightings of tags keep, but for the time."""
    found = d.rows("SELECT attempt_id, outcome, given FROM sighting WHERE given IS NOT NULL")
    told = []
    for attempt, outcome, text in found:
        held = json.loads(text)
        assert len(held.pop("tagged_at")) == len("2025-01-01T00:00:00.000000")
        told.append((attempt, outcome, sorted(held.items())))
    return sorted(told, key=str)


def rebuilt(d: Desk) -> dict[str, Any]:
    """The same, once every game is laid out again from what the live sources gave."""
    with d.file.changing("a test") as con:
        games = pl.DataFrame(
            {"game_id": [n for (n,) in con.execute("FROM game SELECT id").fetchall()]}
        )
        rederive_games(con, games.cast({"game_id": pl.Int32}))
    return state(d)


def test_a_quick_tag_leaves_what_a_tag_of_any_entry_leaves(tmp_path: Path) -> None:
    for name in ("slow", "quick"):
        (tmp_path / name).mkdir()
    with desk(tmp_path / "slow") as slow, desk(tmp_path / "quick") as quick:
        for d in (slow, quick):
            d.bring(GAME)
        table = TagDesk(quick.file)
        sitting = None
        # The second round types every attempt anew, in another order.
        for at in (*range(len(SAID)), *range(len(SAID))):
            said = SAID[at] if sitting is None else SAID[at * 3 % len(SAID)]
            enter(slow.file, "tags", [said], attempt=at + 1)
            sitting = table.tag(sitting, at + 1, said, what="watching").sitting
        assert state(quick) == state(slow)
        assert given_(quick) == given_(slow)
        assert quick.whole() == []
        assert rebuilt(quick) == state(slow)
        assert quick.rows("SELECT id, kind, file, rows, stored, tags_stored FROM source") == [
            (1, "attempts", "file1.csv", 12, 12, 0), (2, "entry", "watching", 16, 16, 16),
        ]  # fmt: skip
        again = "SELECT old_value, field FROM journal WHERE action = 'tag again' ORDER BY id"
        assert quick.rows(again) == slow.rows(again)


def test_what_is_typed_is_told_from_what_was_typed_before_by_the_word_table(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(GAME)
        table = TagDesk(d.file)
        sitting = table.tag(None, 1, {"technique": "brett"}, what="watching").sitting
        assert d.rows("SELECT technique_id FROM agreed") == [(None,)]
        with d.file.changing("a test") as con:
            registers.add_word(con, d.file, "technique", "brett", "board")
        table.tag(sitting, 2, {"technique": "brett"}, what="watching")
        assert d.rows("SELECT technique_id FROM agreed ORDER BY attempt_id") == [(2,), (2,)]
        with d.file.changing("a test") as con:
            registers.add_technique(con, d.file, "hook", uses_board=True)
        table.tag(sitting, 3, {"technique": "hook"}, what="watching")
        assert d.rows("SELECT technique_id FROM agreed ORDER BY attempt_id")[2] == (5,)
        assert d.whole() == []


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ({"miss_depth": "far"}, "miss_depth=.*far.*short, level, long"),
        ({"release_angle_deg": "120"}, "release_angle_deg=.*120"),
        ({"colour": "red"}, "colour.* is no field of a tag"),
        ({"player": "Tarn"}, "player.* is no field of a tag"),
        ({}, "a tag has to say something"),
        ({"picked_for": "result"}, "a tag has to say something"),
    ],
)
def test_what_cannot_be_is_one_line_and_nothing_is_stored(
    said: dict[str, str], told: str, tmp_path: Path
) -> None:
    with desk(tmp_path) as d:
        d.bring(GAME)
        with pytest.raises(UseError, match=told):
            TagDesk(d.file).tag(None, 1, said, what="watching")
        assert d.rows("SELECT count(*) FROM source") == [(1,)]
        with pytest.raises(UseError, match="there is no attempt 99"):
            TagDesk(d.file).tag(None, 99, SAID[0], what="watching")
        with pytest.raises(UseError, match="source 1 is no sitting"):
            TagDesk(d.file).tag(1, 1, SAID[0], what="watching")


def test_a_tag_that_is_taken_back_lets_the_one_before_count_again(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(GAME)
        d.bring(rows("attempt,tagger,technique,miss_depth", "1,ann,board,long"), "tags")
        before = state(d)
        table = TagDesk(d.file)
        sitting = table.tag(None, 1, {"technique": "straight"}, what="watching").sitting
        table.tag(sitting, 1, {"technique": "underhand"}, what="watching")
        one, two = (table.untag(sitting, 1) for _ in range(2))
        assert (one.before, one.replaced) == ("straight", True)
        assert (two.before, two.replaced) == ("board", True)
        assert state(d) == before
        with pytest.raises(UseError, match="no tag of attempt 1 by ann to take back"):
            table.untag(sitting, 1)
        assert rebuilt(d) == before
        assert d.whole() == []
        told = d.rows("SELECT old_value, new_value FROM journal WHERE action = 'untag' ORDER BY id")
        assert told == [
            ("technique_as_written=underhand", "straight"),
            ("technique_as_written=straight", "board"),
        ]
        counts = "SELECT rows, stored, skipped, tags_stored FROM source WHERE id = 3"
        assert d.rows(counts) == [(2, 0, 2, 0)]


def test_a_number_of_a_tag_that_is_gone_is_not_given_again(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(GAME)
        table = TagDesk(d.file)
        first = table.tag(None, 1, SAID[0], what="watching")
        table.untag(first.sitting, 1)
        assert table.tag(first.sitting, 2, SAID[0], what="watching").tag == first.tag + 1
        assert d.rows("SELECT line FROM tag") == [(2,)]


def test_another_persons_tag_is_never_touched(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(GAME)
        table = TagDesk(d.file)
        sitting = table.tag(None, 1, {"technique": "board"}, what="a", tagger="bo").sitting
        table.tag(sitting, 1, {"technique": "straight"}, what="a")
        assert d.rows("SELECT technique_id, disputed FROM agreed") == [(None, True)]
        table.untag(sitting, 1)
        assert d.rows("SELECT technique_id, disputed FROM agreed") == [(2, False)]
        with pytest.raises(UseError, match="by ann"):
            table.untag(sitting, 1)
        assert d.rows("SELECT tagger FROM tag WHERE NOT removed") == [("bo",)]
        assert d.whole() == []


def test_the_tenth_that_is_watched_twice_is_the_same_one_by_one(empty: LedgerFile) -> None:
    numbers = (*range(1, 20001), *range(2**31 * 3, 2**31 * 3 + 2000))
    with empty.changing("a test") as con:
        for seed in (1, 2**31 - 1):
            con.execute("CREATE OR REPLACE TEMP TABLE numbers (attempt_id BIGINT)")
            con.execute("INSERT INTO numbers SELECT unnest($numbers)", {"numbers": list(numbers)})
            text = for_table(sql("double_tags", "chosen"), "numbers") + " FROM chosen"
            found = con.execute(text, {"seed": seed, "share": SHARE}).fetchall()
            assert {n for (n,) in found} == {n for n in numbers if is_watched_twice(n, seed)}


def test_a_small_change_is_in_the_log_at_once_and_in_the_file_when_it_is_let_go(
    tmp_path: Path,
) -> None:
    with desk(tmp_path) as d:
        d.bring(GAME)
        log = Path(f"{d.file.path}.wal")
        TagDesk(d.file).tag(None, 1, SAID[0], what="watching")
        assert log.stat().st_size > 0
        d.file.release()
        assert not log.exists()
        assert d.rows("SELECT count(*) FROM tag") == [(1,)]
        assert d.whole() == []


def test_an_export_keeps_a_sitting_with_what_was_taken_back_in_it(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(GAME)
        table = TagDesk(d.file)
        sitting = None
        for n in range(5):
            sitting = table.tag(sitting, n + 1, SAID[n], what="watching").sitting
        assert sitting is not None
        table.untag(sitting, 3)
        load(export(d.file, tmp_path / "package"), tmp_path / "again.duckdb")
        with LedgerFile(tmp_path / "again.duckdb") as file:
            again = Desk(file, tmp_path)
            assert state(again) == state(d)
            assert again.whole() == []
            TagDesk(file).tag(sitting, 3, SAID[0], what="watching", tagger="ann")
            assert rebuilt(again) == state(again)


Step = Callable[[Desk, TagDesk, list[int]], None]


def _tag(at: int, said: int, who: str) -> Step:
    def step(d: Desk, table: TagDesk, sittings: list[int]) -> None:
        open_ = [
            n
            for (n,) in d.rows("SELECT id FROM source WHERE kind = 'entry' AND taken_back IS NULL")
        ]
        mine = [n for n in sittings if n in open_]
        done = table.tag(mine[-1] if mine else None, at, SAID[said], what="watching", tagger=who)
        if done.sitting not in sittings:
            sittings.append(done.sitting)

    return step


def _untag(at: int, who: str) -> Step:
    def step(_: Desk, table: TagDesk, sittings: list[int]) -> None:
        if sittings:
            table.untag(sittings[-1], at, tagger=who)

    return step


def _file(at: int, said: int, who: str) -> Step:
    def step(d: Desk, _: TagDesk, __: list[int]) -> None:
        told = SAID[said]
        names = [n for n in ("technique", "miss_depth", "miss_side") if n in told]
        head = ",".join(("attempt", "tagger", *names))
        d.bring(rows(head, ",".join((str(at), who, *(told[n] for n in names)))), "tags")

    return step


def _undo(number: int, *, again: bool) -> Step:
    def step(d: Desk, _: TagDesk, __: list[int]) -> None:
        if again:
            d.again(number)
        else:
            d.undo(number, yes=True)

    return step


_AT = st.integers(1, 3)
_WHO = st.sampled_from(("ann", "bo"))
_SAID = st.integers(0, len(SAID) - 1)
STEPS = st.lists(
    st.one_of(
        st.builds(_tag, _AT, _SAID, _WHO),
        st.builds(_tag, _AT, _SAID, _WHO),
        st.builds(_untag, _AT, _WHO),
        st.builds(_file, _AT, st.integers(0, 2), _WHO),
        st.builds(_undo, st.integers(2, 4), again=st.booleans()),
    ),
    max_size=12,
)


@settings(
    max_examples=6,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(STEPS)
def test_whatever_is_typed_and_taken_back_the_ledger_is_what_its_sources_gave(
    steps: list[Step],
) -> None:
    with tempfile.TemporaryDirectory() as name, desk(Path(name)) as d:
        d.bring(GAME)
        table, sittings = TagDesk(d.file), list[int]()
        for step in steps:
            try:
                step(d, table, sittings)
            except UseError:
                continue
        now = state(d)
        assert d.whole() == []
        assert rebuilt(d) == now
        for number in sittings:
            if d.rows(f"SELECT taken_back IS NULL FROM source WHERE id = {number}") == [(True,)]:
                d.undo(number)
                assert d.whole() == []
                d.again(number)
        assert state(d) == now
        assert d.whole() == []


@pytest.mark.parametrize("said", SAID, ids=range(len(SAID)))
def test_a_tag_is_read_by_the_rules_of_a_file(said: dict[str, str], tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(GAME)
        text = io.StringIO()
        writer = csv.DictWriter(text, ["attempt", *said])
        writer.writeheader()
        writer.writerow({"attempt": "1", **said})
        d.bring(text.getvalue(), "tags")
        with d.file.reading() as con:
            found = con.execute("FROM tag")
            names = [column[0] for column in found.description or ()]
            row = dict(zip(names, found.fetchall()[0], strict=True))
        kept = read(said, words_of(d.file))
        technique = kept.pop("technique", None)
        assert kept.items() <= row.items()
        assert (technique is None) == (row["technique_id"] is None)
