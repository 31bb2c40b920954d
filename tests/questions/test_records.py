"""The records, the sources, and what a ledger holds."""

from __future__ import annotations

from datetime import datetime

from ledger.store.reads import LeagueSeason, Rumour
from tests.questions.ground import Ground


def test_records_stand_by_league_day_game_and_order(ground: Ground) -> None:
    ground.shots("Tarn", 2, 4, games=2, first_day=5)
    ground.shots("Oselo", 1, 2, games=1)
    ground.shots("Brim", 1, 1, games=1, league="Drellin Liga", first_day=9)

    frame = ground.ask("attempts").frame

    assert frame.select("league", "player", "order_in_game").rows() == [
        ("Drellin Liga", "Brim", 1),
        ("Halma League", "Oselo", 1), ("Halma League", "Oselo", 2),
        ("Halma League", "Tarn", 1), ("Halma League", "Tarn", 3),
        ("Halma League", "Tarn", 2), ("Halma League", "Tarn", 4),
    ]  # fmt: skip


def test_a_record_carries_what_its_tags_say_and_where_it_came_from(ground: Ground) -> None:
    ground.shots("Tarn", 0, 2, games=1)
    ground.tag(1, "board", tagger="Ben", miss_side="left", note="first")
    ground.tag(1, "board", tagger="Ana", miss_depth="short", miss_side="right")
    ground.tag(1, "board", tagger="Cleo", miss_side="centre", adjudicated=True)
    ground.con.execute("INSERT INTO sighting VALUES (1, 17, 1, 'stored', NULL)")
    ground.source(2)
    ground.con.execute("INSERT INTO sighting VALUES (2, 3, 1, 'stored', NULL)")

    first, second = ground.ask("attempts").main.rows()

    assert (first["technique"], first["taggers"]) == ("board", "Ana, Ben, Cleo")
    # The tag that settles it first, else the first tag that says anything.
    assert (first["miss_side"], first["miss_depth"], first["note"]) == ("centre", "short", "first")
    assert (first["source"], first["source_line"]) == (1, 17)
    assert (second["technique"], second["taggers"], second["source_line"]) == (None, None, None)
    assert (first["date"], first["made"]) == ("2024-11-01", False)


def test_a_removed_tag_says_nothing(ground: Ground) -> None:
    ground.shots("Tarn", 0, 1, games=1)
    ground.tag(1, "board", miss_side="left", removed=True)

    row = ground.ask("attempts").main.rows()[0]

    assert (row["taggers"], row["miss_side"]) == (None, None)


def test_a_limit_cuts_the_list_and_never_the_count(ground: Ground) -> None:
    ground.shots("Tarn", 40, 60)

    answer = ground.ask("attempts", limit=5)

    assert answer.frame.height == 5
    assert answer.headline.startswith("60 free throws")
    assert "Only the first 5 of 60 records are listed." in answer.notes


def test_records_of_practice_are_listed_on_request(ground: Ground) -> None:
    ground.shots("Tarn", 40, 60)
    ground.shots("Tarn", 5, 8, stage="practice")

    answer = ground.ask("attempts", stage="practice")

    assert answer.frame["stage"].unique().to_list() == ["practice"]
    assert answer.frame.height == 8
    assert not any("left out" in note for note in answer.notes)


def test_sources_say_what_came_of_their_rows(ground: Ground) -> None:
    ground.source(1, rows=1200, stored=1180, rejected=12, skipped=8, attempts_stored=1180)
    ground.source(
        2, kind="tags", rows=300, stored=295, contradicting=5, tags_stored=295, drawn=True,
        warnings='["unknown word “hook”: type --word technique:hook=other"]',
    )  # fmt: skip
    ground.source(3, attempts_stored=50, taken_back=datetime(2025, 2, 1))
    ground.con.execute(
        "INSERT INTO refused_row VALUES (1, 7, 'date', '31.2.', 'no such day', 'write 28.2.')"
    )

    answer = ground.ask("sources")

    assert answer.headline == (
        "3 sources: 1,180 attempts and 295 tags came in, 12 rows refused, 5 rows contradicting "
        "what is there, 1 source taken back."
    )
    rows = answer.main.rows()
    assert rows[0]["when"] == "2025-01-01 12:00:00"
    assert [r["taken_back"] for r in rows] == [None, None, "2025-02-01 00:00:00"]
    assert rows[1]["warnings"] == "unknown word “hook”: type --word technique:hook=other"
    assert rows[1]["drawn"] is True
    assert answer.part("refused").rows() == [
        {"source": 1, "line": 7, "column": "date", "value": "31.2.", "reason": "no such day",
         "fix": "write 28.2."}
    ]  # fmt: skip


def test_the_figures_of_the_headline_are_those_of_the_tables(ground: Ground) -> None:
    for number in (1, 2):
        ground.source(number, rows=10, stored=9, rejected=1, attempts_stored=9)
    ground.source(3, kind="lot")
    ground.source(4, rows=2, stored=1, rejected=1, taken_back=datetime(2025, 2, 1))
    for number in (1, 2, 4):
        ground.con.execute(
            "INSERT INTO refused_row VALUES ($1, 7, 'date', '31.2.', 'no such day', 'write 28.2.')",
            [number],
        )

    answer = ground.ask("sources")

    assert answer.headline == (
        "4 sources: 18 attempts came in with 3, 1 is a change beside the records, 2 rows refused "
        "(1 more in what was taken back), 1 source taken back."
    )
    assert len(answer.main.rows()) == 4
    assert len(answer.part("refused").rows()) == 2 + 1


def test_sources_tell_who_changed_what_the_newest_first(ground: Ground) -> None:
    ground.source(1)
    ground.source(2)
    for number, source in ((1, 1), (2, 2)):
        ground.con.execute(
            "INSERT INTO journal VALUES ($1, TIMESTAMP '2025-03-01 10:00:00', 'Mira', 'correct', "
            "'player', 7, 'hand', 'right', 'left', 'seen on film', $2)",
            [number, source],
        )

    lines = ground.ask("sources").part("journal").rows()

    assert [line["line"] for line in lines] == [2, 1]
    assert lines[0] == {
        "line": 2, "when": "2025-03-01 10:00:00", "who": "Mira", "what": "correct",
        "of": "player 7", "field": "hand", "was": "right", "is": "left", "why": "seen on film",
        "source": 2,
    }  # fmt: skip
    some = ground.ask("sources", source=1).part("journal").rows()
    assert [line["source"] for line in some] == [1]


def test_sources_are_narrowed_by_their_number_only(ground: Ground) -> None:
    ground.source(1)
    ground.source(2)
    ground.league()

    some = ground.ask("sources", source=2)
    every = ground.ask("sources", league="Halma League")

    assert some.frame["source"].to_list() == [2]
    assert every.frame["source"].to_list() == [1, 2]
    assert every.notes == ("Sources are not narrowed by league: every source is listed.",)


def test_the_contents_of_a_ledger(ground: Ground) -> None:
    ground.shots("Tarn", 40, 60, tags={"board": (6, 2)})
    ground.shots("I. Tarn", 40, 60, season="2023-24")
    ground.shots("Oselo", 5, 10, shot="three")
    ground.shots("Tarn", 5, 8, stage="practice")
    ground.total("Brim", 30, 40)
    ground.same("Tarn", "I. Tarn")
    ground.rumour("2024-25", league="Halma League")

    held = ground.reads.contents()

    assert held.leagues == (
        LeagueSeason("Halma League", "2023-24", 2023, "free_throw", 60, 0, 1),
        LeagueSeason("Halma League", "2024-25", 2024, "free_throw", 60, 8, 1),
        LeagueSeason("Halma League", "2024-25", 2024, "three", 10, 0, 1),
    )
    assert (held.attempts, held.tagged, held.practice, held.totals) == (130, 8, 8, 1)
    assert (held.players, held.games, held.sources) == (3, 8, 1)
    assert held.rumours == (Rumour("they bank them", "2024-25", "Halma League", None, None, None),)
    assert held.last_sources[0].number == 1
    assert held.last_sources[0].when == held.last_change == "2025-01-01 12:00:00"
    assert held.changes == 0


def test_an_empty_ledger_has_empty_contents(ground: Ground) -> None:
    held = ground.reads.contents()

    assert (held.leagues, held.attempts, held.sources, held.last_change) == ((), 0, 0, None)


def _filmed(ground: Ground) -> None:
    ground.shots("Tarn", 45, 60, games=3)
    ground.shots("Oselo", 10, 60, games=3, first_day=9)
    ground.con.execute("UPDATE game SET video = 'tape' || id WHERE id <= 3")


def test_a_cut_list_keeps_the_true_mix_and_takes_attempts_on_film_only(ground: Ground) -> None:
    _filmed(ground)

    answer = ground.ask("attempts", clips=24)

    # 55 of 120 were made, 45 of the 60 on film: 11 makes of 24, of the film it would be 18.
    assert answer.frame.height == 24
    assert int(answer.frame["made"].sum()) == 11
    assert answer.frame["player"].unique().to_list() == ["Tarn"]
    assert answer.frame["video"].null_count() == 0
    assert answer.headline == (
        "24 clips by lot of 120 free throws by 2 players in 6 games, 0.0 % watched."
    )
    assert answer.notes[0] == (
        "Drawn by lot (seed 1) from the 60 attempts on film: 11 makes and 13 misses, the mix of "
        "all 120 attempts (45.8 % made)."
    )


def test_misses_that_were_watched_as_misses_are_in_no_cut_list_of_their_technique(
    ground: Ground,
) -> None:
    # METHODS: a tag picked by its result enters no rate by technique; a cut list keeps one.
    ground.shots("Tarn", 15, 20, tags={"board": (15, 5)})
    ground.shots("Oselo", 0, 30, tags={"board": (0, 30)}, picked_for="result")
    ground.con.execute("UPDATE game SET video = 'tape' || id")

    answer = ground.ask("attempts", clips=8, technique="board")
    records = ground.ask("attempts", technique="board")

    assert answer.notes[:3] == (
        "Drawn by lot (seed 1) from the 20 attempts on film: 6 makes and 2 misses, the mix of all "
        "20 attempts (75 % made).",
        "Watched: 20 of 20 attempts (100 %).",
        "30 attempts watched because of the result: in no cut list.",
    )
    assert answer.frame["player"].unique().to_list() == ["Tarn"]
    assert [row["attempts"] for row in answer.part("by_season").rows()] == [20]
    assert records.headline.startswith("50 free throws by 2 players")
    ground.con.execute("DELETE FROM agreed WHERE picked_for IS NULL")
    assert ground.ask("attempts", clips=8, technique="board").headline == (
        "All of these were watched because of the result: no mix to draw clips of."
    )


def test_a_cut_list_is_drawn_by_its_seed_and_stands_in_the_order_of_the_records(
    ground: Ground,
) -> None:
    _filmed(ground)

    one, again, other = (
        ground.ask("attempts", clips=12, seed=seed).frame["attempt"].to_list() for seed in (1, 1, 2)
    )
    every = ground.ask("attempts").frame["attempt"].to_list()

    assert one == again
    assert one != other
    assert one == [attempt for attempt in every if attempt in one]


def test_a_cut_list_is_shorter_where_one_kind_runs_out_and_says_so(ground: Ground) -> None:
    _filmed(ground)

    answer = ground.ask("attempts", clips=40)

    # Of 120 attempts 65 were missed, of the 15 misses on film no more than 27 clips can be made.
    assert int((~answer.frame["made"]).sum()) == 15
    assert answer.frame.height < 40
    assert any("there are not enough makes or misses on film" in note for note in answer.notes)


def test_without_film_there_is_no_cut_list(ground: Ground) -> None:
    ground.shots("Tarn", 45, 60)

    answer = ground.ask("attempts", clips=5)

    assert answer.frame.is_empty()
    assert answer.headline == (
        "None of these attempts is on film: name a game's video with offglass correct game ID "
        "video=FILE."
    )
    assert answer.notes[0] == "No lot was drawn: none of the 60 attempts is on film."
    assert not any("clips of the 5" in note for note in answer.notes)


def test_a_tag_with_its_place_in_the_video_is_film_too(ground: Ground) -> None:
    ground.shots("Tarn", 1, 2, games=1)
    ground.tag(1, "board", video_s=12.5)
    ground.tag(2, "board", video_s=20.5)

    answer = ground.ask("attempts", clips=2)

    assert answer.frame["video_s"].to_list() == [12.5, 20.5]
