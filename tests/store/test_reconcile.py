"""Box score and events of one game: the union by player, the richer count, never both."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.store.filing import HEAD, Desk, alone, desk, rows

GAME = "Halma League,2023-24,2023-10-14,G1,Skerry"
BOX_HEAD = HEAD + ",attempts"
EVENT_HEAD = HEAD + ",order,period,clock,trip_shot,trip_of"
File = tuple[str, str]
ORDERS = pytest.mark.parametrize("turned", [False, True], ids=["box first", "events first"])


def box(*lines: tuple[str, int, int]) -> File:
    return rows(BOX_HEAD, *[f"{GAME},{who},{m},{n}" for who, m, n in lines]), "box"


def events(*results: tuple[str, int], head: str = HEAD + ",order") -> File:
    return rows(head, *[f"{GAME},{who},{m},{n}" for n, (who, m) in enumerate(results)]), "attempts"


def held(d: Desk) -> dict[str, tuple[int, int]]:
    """Makes and attempts of each player."""
    text = """
        SELECT p.name, count(*) FILTER (a.made), count(*)
        FROM attempt a JOIN player p ON p.id = a.player_id
        WHERE NOT a.removed GROUP BY ALL
    """
    return {who: (m, n) for who, m, n in d.rows(text)}


@ORDERS
def test_events_give_box_attempts_their_order_clock_and_trips(tmp_path: Path, turned: bool) -> None:
    lines = ("1,1,5:38,1,2", "0,2,5:38,2,2", "1,3,1:02,1,1")
    results = [line.split(",", 1) for line in lines]
    told = rows(
        EVENT_HEAD, *[f"{GAME},Ilvo Tarn,{m},{n},1{r[1:]}" for n, (m, r) in enumerate(results)]
    )
    files: list[File] = [box(("Ilvo Tarn", 2, 3), ("Bram Oselo", 1, 1)), (told, "attempts")]
    if turned:
        files.reverse()
    with desk(tmp_path) as d:
        for file in files:
            assert not d.bring(*file).contradicting
        assert held(d) == {"Ilvo Tarn": (2, 3), "Bram Oselo": (1, 1)}
        placed = d.rows(
            "SELECT order_in_game, made, clock_s, trip_shot, trip_of, trip_incomplete "
            "FROM attempt ORDER BY 1 NULLS LAST"
        )
        assert placed == [
            (0, True, 338.0, 1, 2, False),
            (1, False, 338.0, 2, 2, False),
            (2, True, 62.0, 1, 1, False),
            (None, True, None, None, None, False),
        ]
        assert d.whole() == []


# What the box says, what the events say, what is kept: the union where one fits into the other,
# else the side with more attempts, and the events where both have as many.
KEPT = [
    ((2, 3), (3, 4), (3, 4)),
    ((3, 4), (2, 3), (3, 4)),
    ((3, 3), (1, 2), (3, 3)),
    ((1, 2), (3, 3), (3, 3)),
    ((0, 5), (2, 4), (0, 5)),
    ((2, 4), (0, 5), (0, 5)),
    ((2, 3), (1, 3), (1, 3)),
    ((3, 3), (0, 3), (0, 3)),
]


@ORDERS
@pytest.mark.parametrize(("boxed", "told", "kept"), KEPT)
def test_where_counts_differ_the_richer_is_kept_whole_and_both_are_said(
    tmp_path: Path,
    boxed: tuple[int, int],
    told: tuple[int, int],
    kept: tuple[int, int],
    turned: bool,
) -> None:
    results = [("Ilvo Tarn", 1)] * told[0] + [("Ilvo Tarn", 0)] * (told[1] - told[0])
    files = [box(("Ilvo Tarn", *boxed)), events(*results)]
    if turned:
        files.reverse()
    with desk(tmp_path) as d:
        first = d.bring(*files[0])
        report = d.bring(*files[1])
        assert held(d) == {"Ilvo Tarn": kept}
        pairs = [f"{m} of {n}" for m, n in (boxed, told, kept)]
        named = "Ilvo Tarn in G1: box score {}, events {}, kept {}".format(*pairs)
        assert named in report.warnings
        assert any("the richer one is kept" in w for w in report.warnings)
        parts = report.stored + report.already_there + report.contradicting
        assert report.rows == parts + report.rejected + report.skipped
        kept_counts = d.rows(
            "SELECT stored, already_there, contradicting FROM source ORDER BY id DESC LIMIT 1"
        )
        assert kept_counts == [(report.stored, report.already_there, report.contradicting)]
        assert d.whole() == []
        both = d.dump()
        assert both == alone(files[1], files[0])
        d.undo(first.source)
        assert d.dump() == alone(files[1])
        d.again(first.source)
        assert d.dump() == both
        d.undo(report.source)
        assert d.dump() == alone(files[0])
        assert d.whole() == []


def test_a_count_that_contradicts_is_named_by_its_line_whichever_side_it_is_on(
    tmp_path: Path,
) -> None:
    with desk(tmp_path) as d:
        d.bring(*events(("Ilvo Tarn", 1), ("Ilvo Tarn", 0)))
        report = d.bring(*box(("Bram Oselo", 1, 1), ("Ilvo Tarn", 3, 3)))
        assert (report.stored, report.contradicting) == (2, 0)
        assert d.rows("SELECT stored, contradicting FROM source ORDER BY id") == [(1, 1), (2, 0)]
        late = d.bring(*events(("Ilvo Tarn", 1), ("Ilvo Tarn", 0), ("Ilvo Tarn", 0)))
        assert held(d)["Ilvo Tarn"] == (1, 3)
        assert late.contradicting == 0
        assert d.whole() == []


def test_equal_counts_of_both_need_no_remark(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(*box(("Ilvo Tarn", 1, 2)))
        report = d.bring(*events(("Ilvo Tarn", 0), ("Ilvo Tarn", 1)))
        assert report.warnings == ()
        assert report.attempts_stored == 0


def test_the_first_ten_players_are_named_and_the_rest_counted(tmp_path: Path) -> None:
    people = [f"Player {chr(97 + n)}" for n in range(12)]
    with desk(tmp_path) as d:
        d.bring(*events(*[(who, 1) for who in people]))
        report = d.bring(*box(*[(who, 1, 2) for who in people]))
        heads = [w for w in report.warnings if w.startswith("12 players have other counts")]
        assert heads == [
            "12 players have other counts in the box score than in the events of the same game; "
            "the richer one is kept (the first 10 are named)"
        ]
        named = [w for w in report.warnings if ": box score 1 of 2, events 1 of 1" in w]
        assert len(named) == 10


@ORDERS
def test_a_player_missing_in_the_events_stays_and_is_said(tmp_path: Path, turned: bool) -> None:
    files = [box(("Ilvo Tarn", 1, 2), ("Bram Oselo", 2, 2)), events(("Ilvo Tarn", 1))]
    if turned:
        files.reverse()
    with desk(tmp_path) as d:
        d.bring(*files[0])
        report = d.bring(*files[1])
        assert held(d) == {"Ilvo Tarn": (1, 2), "Bram Oselo": (2, 2)}
        assert "Bram Oselo in G1: box score 2 of 2, events none, kept 2 of 2" in report.warnings
        assert not any("team sums" in w for w in report.warnings)


@ORDERS
def test_another_spelling_is_offered_not_joined_and_the_doubling_is_said(
    tmp_path: Path, turned: bool
) -> None:
    files = [
        box(("Ilvo Tarn", 1, 2), ("Bram Oselo", 1, 1)),
        events(("I. Tarn", 1), ("I. Tarn", 0), ("Bram Oselo", 1)),
    ]
    if turned:
        files.reverse()
    with desk(tmp_path) as d:
        d.bring(*files[0])
        report = d.bring(*files[1])
        assert held(d) == {"Ilvo Tarn": (1, 2), "I. Tarn": (1, 2), "Bram Oselo": (1, 1)}
        assert any("may be one player (one has initials)" in w for w in report.warnings)
        doubled = [w for w in report.warnings if "team sums disagree" in w]
        assert len(doubled) == 1
        said = "Skerry in G1 3 in the box score, 3 in the events, 5 in the ledger"
        assert doubled[0].endswith(said)


@ORDERS
def test_tags_do_not_keep_an_attempt_from_its_make_or_miss(tmp_path: Path, turned: bool) -> None:
    told = rows(
        HEAD + ",order,technique",
        f"{GAME},Ilvo Tarn,0,1,board",
        f"{GAME},Ilvo Tarn,0,2,board",
        f"{GAME},Ilvo Tarn,1,3,",
    )
    files: list[File] = [box(("Ilvo Tarn", 1, 2)), (told, "attempts")]
    if turned:
        files.reverse()
    with desk(tmp_path) as d:
        for file in files:
            assert not d.bring(*file).contradicting
        assert held(d) == {"Ilvo Tarn": (1, 3)}


def test_attempts_of_a_box_score_never_have_an_order(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(*box(("Ilvo Tarn", 3, 5), ("Bram Oselo", 1, 4)))
        assert d.rows("SELECT count(*), count(order_in_game) FROM attempt") == [(9, 0)]


@pytest.mark.parametrize(
    ("clocks", "ordered"), [(("5:38", "1:02"), 2), (("5:38", ""), 0), (("", ""), 0)]
)
def test_an_order_that_lacks_a_row_of_a_game_is_no_order_but_the_clock_may_be(
    tmp_path: Path, clocks: tuple[str, str], ordered: int
) -> None:
    head = HEAD + ",order,period,clock"
    other = GAME.replace("G1", "G2").replace("10-14", "10-21")
    told = rows(
        head,
        f"{GAME},Ilvo Tarn,1,1,1,{clocks[0]}",
        f"{GAME},Ilvo Tarn,0,,1,{clocks[1]}",
        f"{other},Ilvo Tarn,1,1,1,",
    )
    with desk(tmp_path) as d:
        assert d.bring(told).stored == 3
        of_game = (
            "SELECT count(order_in_game) FROM attempt a JOIN game g ON g.id = a.game_id "
            "WHERE g.label = '{}'"
        )
        assert d.rows(of_game.format("G1")) == [(ordered,)]
        assert d.rows(of_game.format("G2")) == [(1,)]


def test_newest_first_with_a_clock_is_the_same_game(tmp_path: Path) -> None:
    head = HEAD + ",period,clock"
    lines = [f"{GAME},Player {n % 2},{n % 2},{1 + n // 5},{9 - n % 5}:0{n % 3}" for n in range(10)]
    with desk(tmp_path) as d:
        d.bring(rows(head, *reversed(lines)))
        in_order = d.rows("SELECT period, clock_s FROM attempt ORDER BY order_in_game")
        assert in_order == sorted(in_order, key=lambda row: (row[0], -row[1]))
        report = d.bring(rows(head, *lines))
        assert (report.stored, report.already_there) == (0, 10)
        assert d.whole() == []


def test_the_same_events_in_another_order_of_lines_add_nothing(tmp_path: Path) -> None:
    head = HEAD + ",period,clock"
    twice = f"{GAME},Ilvo Tarn,0,2,5:38"
    lines = [twice, twice, f"{GAME},Ilvo Tarn,1,2,1:02", f"{GAME},Bram Oselo,1,2,1:02"]
    with desk(tmp_path) as d:
        d.bring(rows(head, *lines))
        for again in (lines[::-1], [lines[2], lines[0], lines[3], lines[1]]):
            report = d.bring(rows(head, *again))
            assert (report.stored, report.contradicting) == (0, 0)
        assert held(d) == {"Ilvo Tarn": (1, 3), "Bram Oselo": (1, 1)}


Truth = dict[tuple[int, int], tuple[int, int]]


@st.composite
def counts(draw: st.DrawFn) -> Truth:
    """Makes and attempts of some players in two games."""
    found = {}
    for game in range(2):
        for who in range(3):
            attempts = draw(st.integers(0, 4))
            if attempts:
                found[game, who] = (draw(st.integers(0, attempts)), attempts)
    return found or {(0, 0): (1, 2)}


def place(game: int, who: int) -> str:
    return f"Halma League,2023-24,2023-10-{14 + game},G{game},Skerry,Player {'abc'[who]}"


def box_of(truth: Truth) -> File:
    lines = [f"{place(*key)},{m},{n}" for key, (m, n) in truth.items()]
    return rows(BOX_HEAD, *lines), "box"


def events_of(truth: Truth, more: tuple[str, ...]) -> File:
    lines = []
    results = [(key, k < m) for key, (m, n) in truth.items() for k in range(n)]
    for n, (key, made) in enumerate(results):
        values: dict[str, Any] = {
            "order": n,
            "period": 1,
            "clock": 600 - 20 * n,
            "technique": ("board", "straight", "")[n % 3],
        }
        lines.append(f"{place(*key)},{int(made)}" + "".join(f",{values[c]}" for c in more))
    return rows(",".join((HEAD, *more)), *lines), "attempts"


def richer(boxed: tuple[int, int] | None, told: tuple[int, int] | None) -> tuple[int, int]:
    """What is kept of a player, by hand: (made, attempts)."""
    if boxed is None or told is None:
        kept = boxed or told
        assert kept is not None
        return kept
    (m, n), (k, o) = boxed, told
    fits = (m <= k and n - m <= o - k) or (k <= m and o - k <= n - m)
    if fits:
        return (max(m, k), max(n, o))
    return boxed if n > o else told


@settings(
    max_examples=3,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(
    counts(),
    counts(),
    st.sampled_from([(), ("order",), ("period", "clock"), ("order", "technique")]),
)
def test_box_and_events_that_differ_anyhow_are_one_ledger_in_either_order(
    boxed: Truth, told: Truth, more: tuple[str, ...]
) -> None:
    files = [box_of(boxed), events_of(told, more)]
    with tempfile.TemporaryDirectory() as name, desk(Path(name)) as d:
        reports = [d.bring(*file) for file in files]
        both = d.dump()
        assert both == alone(files[1], files[0])
        found = d.rows(
            "SELECT g.label, p.name, count(*) FILTER (a.made), count(*) FROM attempt a "
            "JOIN game g ON g.id = a.game_id JOIN player p ON p.id = a.player_id "
            "WHERE NOT a.removed GROUP BY ALL"
        )
        assert {(g, p): (m, n) for g, p, m, n in found} == {
            (f"G{g}", f"Player {'abc'[w]}"): richer(boxed.get((g, w)), told.get((g, w)))
            for g, w in boxed.keys() | told.keys()
        }
        for number in (0, 1):
            d.undo(reports[number].source)
            assert d.dump() == alone(files[1 - number])
            d.again(reports[number].source)
            assert d.dump() == both
        assert d.whole() == []


def test_tags_that_go_with_the_poorer_side_are_counted_and_come_back(tmp_path: Path) -> None:
    told = rows(
        HEAD + ",order,technique",
        f"{GAME},Ilvo Tarn,1,1,board",
        f"{GAME},Ilvo Tarn,1,2,board",
        f"{GAME},Ilvo Tarn,0,3,",
        f"{GAME},Bram Oselo,1,4,board",
    )
    richer = box(("Ilvo Tarn", 1, 7), ("Bram Oselo", 1, 1))
    live = "SELECT count(*) FROM tag WHERE NOT removed"
    with desk(tmp_path) as d:
        d.bring(told)
        report = d.bring(*richer)
        (said,) = [w for w in report.warnings if "put aside" in w]
        after = d.rows(live)
        (kept,) = d.rows(f"SELECT warnings FROM source WHERE id = {report.source}")
        d.undo(report.source)

        assert said.startswith(f"{3 - after[0][0]} tag")
        assert after[0][0] < 3
        assert "put aside" in kept[0]
        assert d.rows(live) == [(3,)]
    with desk(tmp_path) as d:
        fitting = [d.bring(told), d.bring(*box(("Ilvo Tarn", 2, 7), ("Bram Oselo", 1, 1)))]

        assert not [w for report in fitting for w in report.warnings if "put aside" in w]
        assert d.rows(live) == [(3,)]
