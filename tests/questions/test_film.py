"""Queues of attempts to watch: what is in them, in what order, and what they never tell."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, replace
from datetime import datetime, timedelta
from pathlib import Path
from shutil import copy

import pytest

from ledger.book import Book
from ledger.cohort import Cohort
from ledger.errors import UseError
from ledger.intake.trip import GameFacts, Trip
from ledger.questions.film import KINDS, PICKED_FOR, Film
from ledger.stats.film_time import about

_HEAD = (
    "league,season,date,game,home,away,team,player,made,period,clock,trip_shot,trip_of,"
    "trip_kind,ended_by\n"
)
PLAYERS = ("Ilvo Tarn", "Bram Oselo", "Sefa Mun", "Kuno Dravik")
_TRIPS = (
    ("yes", "no", "personal", ""), ("no", "no", "personal", ""), ("no", "yes", "technical", ""),
    ("no", "no", "", ""), ("no", "no", "one_and_one", ""), ("yes", "no", "personal", "violation"),
)  # fmt: skip


def records() -> str:
    """Four players in two games, three visits of two shots each a game."""
    lines = []
    for game in (1, 2):
        for turn in range(3):
            for place, player in enumerate(PLAYERS):
                *results, kind, ended = _TRIPS[(turn + 3 * game + place) % 6]
                for shot, made in enumerate(results, 1):
                    clock = f"{9 - 3 * turn}:{50 - 10 * place:02d}"
                    lines.append(
                        f"Halma League,2024-25,2024-11-0{game},R{game},Skerry,Fenholt,"
                        f"{('Skerry', 'Fenholt')[place % 2]},{player},{made},{game},{clock},"
                        f"{shot},2,{kind},{ended if shot == 2 else ''}\n"
                    )
    return _HEAD + "".join(lines)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The ledger that each test has a copy of."""
    folder = tmp_path_factory.mktemp("film")
    (folder / "games.csv").write_text(records(), encoding="utf-8")
    (folder / "players.csv").write_text(
        "player,league,team,season,number\n"
        "Ilvo Tarn,Halma League,Skerry,2024-25,7\n"
        "Bram Oselo,Halma League,Fenholt,2024-25,00\n",
        encoding="utf-8",
    )
    with Book(folder / "spring.duckdb", create=True, who="Mira") as opened:
        opened.import_file(folder / "games.csv")
        opened.import_file(folder / "players.csv", "players")
    return folder / "spring.duckdb"


@pytest.fixture
def book(made: Path, tmp_path: Path) -> Iterator[Book]:
    with Book(copy(made, tmp_path / "spring.duckdb"), who="Mira") as opened:
        yield opened


def whole(film: Film) -> list[tuple[str, int | None, float | None, int | None]]:
    return [(a.player, a.period, a.clock_s, a.trip_shot) for a in film.attempts]


def numbers(film: Film) -> list[int]:
    return [a.attempt for a in film.attempts]


def tag_all(book: Book, film: Film, how_many: int, technique: str = "board") -> int:
    sitting = None
    for one in film.attempts[:how_many]:
        done = book.tag(
            sitting, one.attempt, {"technique": technique}, kind=film.kind, words=film.words,
            tagger=film.tagger,
        )  # fmt: skip
        sitting = done.sitting
    assert sitting is not None
    return sitting


def test_a_game_is_watched_in_its_order_and_told_as_a_person_finds_it(book: Book) -> None:
    film = book.film("game", game="R1")
    assert (film.left, film.done, film.words) == (24, 0, "R1, Skerry - Fenholt, 2024-11-01")
    assert whole(film)[:4] == [
        ("Ilvo Tarn", 1, 590.0, 1), ("Ilvo Tarn", 1, 590.0, 2),
        ("Bram Oselo", 1, 580.0, 1), ("Bram Oselo", 1, 580.0, 2),
    ]  # fmt: skip
    first = film.attempts[0]
    assert (first.team, first.number, first.home, first.away) == (
        "Skerry",
        "7",
        "Skerry",
        "Fenholt",
    )
    assert [a.number for a in film.attempts[:8:2]] == ["7", "00", None, None]
    assert film.techniques == ("straight", "board", "underhand", "other")
    assert film.on_board == {"board"}


def test_a_miss_is_live_as_the_trip_has_it_and_open_where_it_is_not_known(book: Book) -> None:
    found = {(a.trip_kind, a.trip_shot, a.made): a.live for a in book.film("unwatched").attempts}
    assert found == {
        ("personal", 1, True): None, ("personal", 1, False): False, ("personal", 2, False): False,
        ("technical", 1, False): False, ("technical", 2, True): None,
        ("one_and_one", 1, False): True, ("one_and_one", 2, False): True,
        (None, 1, False): None, (None, 2, False): None,
    } | {("personal", 2, False): found["personal", 2, False]}  # fmt: skip
    last = [
        a for a in book.film("unwatched").attempts if a.trip_kind == "personal" and a.trip_shot == 2
    ]
    # One of two such visits ended with a violation: nobody could rebound.
    assert {a.live for a in last} == {True, False}


def test_a_queue_goes_on_where_this_person_stopped(book: Book) -> None:
    film = book.film("game", game="R1")
    tag_all(book, film, 9)
    later = book.film("game", game="R1")
    assert numbers(later) == numbers(film)[9:]
    assert (later.left, later.done, later.today) == (15, 9, 9)
    without = book.film("game", game="R1", later=numbers(later)[:2])
    assert numbers(without) == numbers(later)[2:]
    assert numbers(book.film("game", game="R1", most=3)) == numbers(later)[:3]


_WHICH = {"lot": {"name": "Spring"}, "game": {"game": "R1"}, "player": {"player": "Ilvo Tarn"}}


@pytest.fixture(scope="module")
def seen(made: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The ledger before anybody watched, and where 40 attempts were seen as one technique each."""
    folder, found = tmp_path_factory.mktemp("seen"), {}
    for technique in ("nothing", "board", "straight"):
        found[technique] = Path(copy(made, folder / f"{technique}.duckdb"))
        with Book(found[technique], who="Mira") as opened:
            opened.lot("Spring", league="Halma League", season="2024-25", players=2, seed=3)
            if technique != "nothing":
                tag_all(opened, opened.film("unwatched"), 40, technique)
    return found


@pytest.mark.parametrize("kind", KINDS)
def test_no_queue_tells_what_anybody_has_seen(kind: str, seen: dict[str, Path]) -> None:
    def asked(technique: str) -> Film:
        with Book(seen[technique], who="Mira") as opened:
            return opened.film(kind, **_WHICH.get(kind, {}), tagger="Oren")  # type: ignore[arg-type]

    before, *told = map(asked, ("nothing", "board", "straight"))
    # Whatever it was that somebody saw, the queue is the same; only whom the watch list leaves out
    # hangs on what was seen of his other attempts.
    assert told[0] == told[1] or kind == "watchlist"
    fields = {name for a in told[0].attempts for name in asdict(a)}
    assert not fields & {"technique", "tagger", "taggers", "miss_depth", "video_s", "note"}
    if kind == "game":
        # Here not even whether somebody has watched shows.
        assert told[0] == before


def test_second_opinions_are_those_drawn_by_chance_that_one_other_has_watched(book: Book) -> None:
    with book._file.changing("a test") as con:
        con.execute(
            "INSERT INTO double_tag VALUES (2, 1, now()::TIMESTAMP), (3, 1, now()::TIMESTAMP)"
        )
    assert book.film("second", tagger="Oren").left == 0
    tag_all(book, book.film("game", game="R1"), 4)
    assert numbers(book.film("second", tagger="Oren"))[:2] == [2, 3]
    assert not {2, 3} & set(numbers(book.film("second")))
    drawn = book.film("second", tagger="Oren")
    tag_all(book, drawn, 1)
    assert numbers(book.film("second", tagger="Oren")) == numbers(drawn)[1:]
    assert 2 not in numbers(book.film("second", tagger="Yelt"))


def test_a_lot_is_watched_player_by_player_in_its_order(book: Book) -> None:
    lot = book.lot("Spring", league="Halma League", season="2024-25", players=3, seed=5)
    film = book.film("lot", name="spring")
    order = list(dict.fromkeys(a.player for a in film.attempts))
    assert order == [p.name for p in lot.players]
    assert (film.left, film.words) == (36, "Lot Spring: Halma League, 2024-25")
    tag_all(book, film, 3)
    answer = book.ask("adopters")
    how = dict(zip(answer.frame["player"], answer.frame["how_tagged"], strict=True))
    assert how[order[0]] == "drawn"
    assert set(how.values()) == {"drawn", "none"}
    with pytest.raises(UseError, match="no lot 'Sprung': did you mean Spring"):
        book.film("lot", name="Sprung")


def test_who_is_not_of_a_lot_is_picked_and_misses_only_are_picked_by_result(book: Book) -> None:
    tag_all(book, book.film("player", player="Sefa Mun"), 8)
    answer = book.ask("adopters")
    row = answer.frame.filter(answer.frame["player"] == "Sefa Mun").row(0, named=True)
    assert (row["how_tagged"], row["tagged"]) == ("picked", 8)
    misses = book.film("misses", player="Bram Oselo")
    assert {a.made for a in misses.attempts} == {False}
    for one in misses.attempts[:6]:
        seen = {"technique": "board", "miss_depth": "short", "miss_side": "left"}
        book.tag(None, one.attempt, seen, kind="misses")
    answer = book.ask("adopters")
    row = answer.frame.filter(answer.frame["player"] == "Bram Oselo").row(0, named=True)
    assert row["tagged"] == 0
    where = book.ask("misses").frame
    short = where.filter((where["depth"] == "short") & (where["side"] == "left"))
    assert short["count"].to_list() == [6]


def watch_misses(book: Book, player: str) -> set[int]:
    """All misses of a player are watched, as misses; their numbers."""
    film = book.film("misses", player=player)
    tag_all(book, film, film.left)
    return set(numbers(film))


FAIR = ("lot", "game", "player", "unwatched", "watchlist")


@pytest.mark.parametrize("kind", FAIR)
def test_what_was_picked_by_its_result_waits_to_be_watched_with_the_others(
    kind: str, book: Book
) -> None:
    # Without it a fair watcher would meet the makes alone, and their share would be of makes only.
    # METHODS: such tags enter depth, side and rebound tables and nothing else.
    book.lot("Spring", league="Halma League", season="2024-25", players=4, seed=3)
    which = _WHICH.get(kind, {})

    def asked(tagger: str) -> Film:
        return book.film(kind, tagger=tagger, **which)  # type: ignore[arg-type]

    whole = {who: set(numbers(asked(who))) for who in ("Mira", "Oren")}
    misses = watch_misses(book, "Ilvo Tarn")
    assert misses & whole["Mira"]
    for who in ("Mira", "Oren"):
        film = asked(who)
        assert (set(numbers(film)), film.left, film.done) == (whole[who], len(whole[who]), 0)
    # A fair tag stands for the one before, and is done.
    film = asked("Mira")
    tag_all(book, film, film.left)
    assert asked("Mira").left == 0
    row = next(r for r in book.ask("adopters").main.rows() if r["player"] == "Ilvo Tarn")
    assert row["tagged"] == len([a for a in film.attempts if a.player == "Ilvo Tarn"])
    assert book.check() == []


def test_misses_that_were_watched_as_misses_are_not_offered_as_misses_again(book: Book) -> None:
    misses = watch_misses(book, "Ilvo Tarn")
    for who in ("Mira", "Oren"):
        assert not misses & set(numbers(book.film("misses", tagger=who)))
    assert book.film("misses", player="Ilvo Tarn").done == len(misses)


def test_what_was_picked_by_its_result_counts_as_watched_nowhere(book: Book) -> None:
    book.lot("Spring", league="Halma League", season="2024-25", players=4, seed=3)
    whole = {(g.game_id, g.attempts) for g in book.games_to_watch()}
    offered = {(o.kind, o.left) for o in book.films() if o.kind in ("lot", "unwatched")}
    watch_misses(book, "Ilvo Tarn")
    assert {(g.game_id, g.attempts) for g in book.games_to_watch()} == whole
    assert {(o.kind, o.left) for o in book.films() if o.kind in ("lot", "unwatched")} == offered
    assert (book.contents().tagged, book.contents().coverage) == (0, 0)
    of_lot = next(p for p in book.lots()[0].players if p.player == "Ilvo Tarn")
    assert (of_lot.watched, of_lot.unclear, of_lot.unwatched) == (0, 0, 12)


def test_a_lot_draws_from_those_whose_misses_alone_were_watched_and_they_count_as_drawn(
    book: Book,
) -> None:
    # METHODS: a lot draws from who has no tag, and a tag picked by its result enters depth, side
    # and rebound tables only. Out of the frame they would be nobody's, and no share could be given.
    for player in PLAYERS:
        watch_misses(book, player)
    lot = book.lot("Spring", league="Halma League", season="2024-25", players=2, seed=3)
    assert lot.frame == 4
    film = book.film("lot", name="Spring")
    assert film.left == 24
    tag_all(book, film, film.left)
    how = {row["player"]: row["how_tagged"] for row in book.ask("adopters").main.rows()}
    drawn = {named.name for named in lot.players}
    assert how == {name: "drawn" if name in drawn else "picked" for name in PLAYERS}
    row = book.ask("uptake").main.rows()[0]
    assert (row["drawn_players"], row["picked_players"], row["unwatched_drawn"]) == (2, 0, 0)
    assert row["method"] == "drawn"


def test_what_was_picked_by_its_result_is_no_part_of_what_two_people_could_tell_alike(
    book: Book,
) -> None:
    watch_misses(book, "Ilvo Tarn")
    tag_all(book, book.film("player", player="Sefa Mun"), 3)
    assert "(3 attempts, one person)" in book.ask("agreement").headline


def test_a_second_opinion_makes_no_fair_tag_of_one_that_was_picked_by_its_result(
    book: Book,
) -> None:
    misses = sorted(watch_misses(book, "Ilvo Tarn"))
    with book._file.changing("a test") as con:
        con.execute("DELETE FROM double_tag")
        con.execute("INSERT INTO double_tag VALUES ($1, 1, now()::TIMESTAMP)", [misses[0]])
    second = book.film("second", tagger="Oren")
    assert numbers(second) == misses[:1]
    tag_all(book, second, 1, "straight")
    row = next(r for r in book.ask("adopters").main.rows() if r["player"] == "Ilvo Tarn")
    assert row["tagged"] == 0
    assert book.check() == []


@pytest.mark.parametrize("kind", KINDS)
def test_a_tag_tells_how_its_attempt_came_to_be_watched(kind: str, book: Book) -> None:
    book.tag(None, 1, {"technique": "board"}, kind=kind, words="x")
    with book._file.reading() as con:
        assert con.execute("SELECT picked_for FROM tag").fetchall() == [(PICKED_FOR[kind] or None,)]
        agreed = con.execute("SELECT picked_for FROM agreed").fetchall()
    assert agreed == [("result" if kind == "misses" else None,)]
    assert book.check() == []


def test_the_watch_list_is_watched_game_by_game_in_its_order_open_players_only(book: Book) -> None:
    answer = book.ask("watchlist", cohort=Cohort())
    film = book.film("watchlist")
    games = list(dict.fromkeys(a.game for a in film.attempts))
    assert games == answer.frame["game"].to_list()
    assert film.left == answer.frame["attempts_to_watch"].sum()
    sitting = tag_all(book, film, film.left)
    assert book.film("watchlist").left == 0
    book.undo(sitting)
    assert numbers(book.film("watchlist")) == numbers(film)


def test_places_on_film_are_ones_own(book: Book) -> None:
    film = book.film("game", game="R1")
    for at, seconds, who in ((0, "100", "Mira"), (4, "700.5", "Mira"), (6, "900", "Oren")):
        fields = {"technique": "board", "video_s": seconds}
        book.tag(None, film.attempts[at].attempt, fields, tagger=who)
    mine = book.film("game", game="R1").times
    assert [(t.period, t.clock_s, t.video_s) for t in mine] == [
        (1, 590.0, 100.0),
        (1, 570.0, 700.5),
    ]
    assert [t.video_s for t in book.film("game", game="R1", tagger="Oren").times] == [900.0]


def test_what_can_be_watched_is_offered_with_what_is_left(book: Book) -> None:
    book.lot("Spring", league="Halma League", season="2024-25", players=2, seed=3)
    tag_all(book, book.film("lot", name="Spring"), 5)
    offered = {(o.kind, *o.which.values()): o.left for o in book.films()}
    misses = len([a for a in book.film("unwatched").attempts if not a.made])
    assert offered == {
        ("watchlist",): None, ("second",): 0, ("lot", "Spring"): 19, ("misses",): misses,
        ("unwatched",): 43,
    }  # fmt: skip
    games = book.games_to_watch(cohort=Cohort.of(player="Ilvo Tarn"))
    assert games[0].words == "R2, Skerry - Fenholt, 2024-11-02"
    film = book.film("game", game=games[0].game_id)
    assert film.words == games[0].words


@pytest.mark.parametrize(
    ("kind", "which", "told"),
    [
        ("songs", {}, "no queue 'songs': use watchlist, lot"),
        ("game", {}, "say which game"),
        ("game", {"game": "R9"}, "there is no game 'R9'"),
        ("player", {}, "say whom to watch"),
        ("player", {"player": "Ilvo Tern"}, "did you mean"),
        ("lot", {"name": "Spring"}, "no lot 'Spring'"),
    ],
)
def test_what_is_not_there_is_one_line(
    kind: str, which: dict[str, str], told: str, book: Book
) -> None:
    with pytest.raises(UseError, match=told):
        book.film(kind, **which)  # type: ignore[arg-type]


def test_today_begins_at_midnight_where_the_person_is(book: Book) -> None:
    tag_all(book, book.film("unwatched"), 3)
    assert book.film("unwatched").today == 3
    book._file.clock = lambda: datetime(2099, 1, 1) + timedelta(hours=12)
    assert book.film("unwatched").today == 0


def test_a_technique_typed_with_a_trip_is_not_watched_today(book: Book) -> None:
    tag_all(book, book.film("unwatched"), 3)
    sheet = book.open_sheet(GameFacts("Halma League", "2024-25", "2024-12-07", "Skerry", "Fenholt"))
    book.score(sheet, Trip("Ilvo Tarn", "Skerry", (True, False), techniques=("board", "board")))
    assert book.film("unwatched").today == 3


def test_what_a_player_has_is_watched_or_cannot_be_told_or_is_offered(book: Book) -> None:
    film = book.film("player", player="Ilvo Tarn")
    sitting = tag_all(book, film, 2)
    for one in film.attempts[2:5]:
        book.tag(sitting, one.attempt, {"technique": "cannot tell"}, kind="player",
                 words=film.words)  # fmt: skip
    book.tag(None, film.attempts[0].attempt, {"technique": "straight"}, kind="second",
             tagger="Oren")  # fmt: skip
    row = book.ask("player", player="Ilvo Tarn").part("facts").rows()[0]
    left = book.film("player", player="Ilvo Tarn").left
    assert (row["tagged"], row["unclear"], row["disputed"]) == (1, 3, 1)
    assert row["attempts"] == row["tagged"] + row["unclear"] + row["disputed"] + left


def test_a_place_on_film_lies_on_the_line_between_the_two_nearest_moments() -> None:
    # By hand: from 600 s left at 100 s of film to 300 s left at 1000 s, 3 s of film a second.
    known = [(600.0, 100.0), (300.0, 1000.0)]
    assert about(500.0, known) == pytest.approx(400.0)
    assert about(200.0, known) == pytest.approx(1300.0)
    assert about(700.0, known) == 0.0
    assert about(400.0, [*known, (450.0, 500.0)]) == pytest.approx(500.0 + 500.0 / 150 * 50)
    assert about(600.0, known) == 100.0
    assert about(500.0, known[:1]) is None
    assert about(500.0, [(600.0, 100.0), (600.0, 110.0)]) is None
    # The clock runs down while the film runs on: the other way round one of the two is wrong.
    assert about(500.0, [(600.0, 1000.0), (300.0, 100.0)]) is None


def test_what_is_told_of_an_attempt_can_be_kept(book: Book) -> None:
    first = book.film("unwatched").attempts[0]
    assert replace(first) == first
