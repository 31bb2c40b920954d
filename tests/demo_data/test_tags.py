from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from demo_data import ImportStep, Manifest

from .reading import records, rows_of

BOARD = {"board", "off the glass", "banked", "off the backboard"}
STRAIGHT = {"straight", "direct"}


def attempts(manifest: Manifest, part: str, separator: str = ",") -> list[dict[str, str]]:
    (step,) = [s for s in manifest.imports if part in s.path.name and s.kind == "attempts"]
    return records(step, separator)


def everybody(manifest: Manifest, league: str, season: str) -> list[tuple[str, str, str, str]]:
    rows = manifest.truth["player_seasons"]["rows"]
    return [
        (r[1], r[2], r[0].split("|")[1], r[3]) for r in rows if (r[1], r[2]) == (league, season)
    ]


def seen(step: ImportStep) -> list[dict[str, str]]:
    return rows_of(step.path)


def test_tags_by_id_name_attempts_of_the_watched_players_only(large: Manifest) -> None:
    watched = everybody(large, "Halma League", "2018-19")[:20]
    step = large.tags_for(watched, "by_id", tagger="Ketu", per_player=50)
    owner = {
        r["attempt_id"]: (r["player"], r["team"]) for r in attempts(large, "halma_2018-19.csv")
    }

    tagged = Counter(owner[row["attempt_id"]] for row in seen(step))

    assert set(tagged) == {(w[2], w[3]) for w in watched}
    assert step.kind == "tags"
    assert step.expects.rows == step.expects.stored == tagged.total()


def test_tags_by_place_name_the_nth_attempt_of_a_player_in_his_game(large: Manifest) -> None:
    watched = everybody(large, "Drellin Liga", "2020-21")[:30]
    step = large.tags_for(watched, "by_nth", tagger="Ketu", per_player=50)
    counted: Counter[tuple[str, ...]] = Counter()
    made = {}
    for row in attempts(large, "drellin_2020-21.csv", ";"):
        day = "-".join(reversed(row["date"].split(".")))
        place = (day, row["game"], row["player"])
        counted[place] += 1
        made[(*place, str(counted[place]))] = row["made"] == "made"

    for tag in seen(step):
        key = (tag["date"], tag["game"], tag["player"], tag["nth"])
        missed = bool(tag["miss_depth"])
        assert key in made
        assert "attempt_id" not in tag
        if tag["technique"] != "cannot_tell":
            assert missed == (not made[key])


def test_whole_games_are_watched_until_enough_attempts_are_reached(large: Manifest) -> None:
    watched = everybody(large, "Halma League", "2016-17")
    step = large.tags_for(watched, "whole", tagger="Ketu", per_player=40)
    rows = attempts(large, "halma_2016-17.csv")
    game = {r["attempt_id"]: (r["player"], r["team"], r["date"], r["game"]) for r in rows}
    all_of = Counter(game.values())
    tagged = Counter(game[t["attempt_id"]] for t in seen(step))
    player_all: Counter[tuple[str, str]] = Counter()
    player_tagged: Counter[tuple[str, str]] = Counter()
    for key, count in all_of.items():
        player_all[key[:2]] += count
        player_tagged[key[:2]] += tagged[key]

    assert all(count == all_of[key] for key, count in tagged.items())
    for who, count in player_all.items():
        assert min(count, 40) <= player_tagged[who] < 40 + 20


def test_slips_are_as_many_as_planted_and_spellings_differ(large: Manifest) -> None:
    watched = everybody(large, "Halma League", "2024-25")
    step = large.tags_for(watched, "slips", tagger="Ketu", per_player=1000)
    first = large.world.bounds[0, 9][0]
    technique = large.world.shots.technique
    words: Counter[str] = Counter()
    wrong = 0
    for tag in seen(step):
        words[tag["technique"]] += 1
        truth = technique[first + int(tag["attempt_id"].split("-")[1]) - 1]
        wrong += truth == 1 and tag["technique"] in STRAIGHT
        wrong += truth == 0 and tag["technique"] in BOARD

    assert words.total() == 8958
    assert wrong / words.total() == pytest.approx(0.01, abs=0.004)
    assert words["cannot_tell"] / words.total() == pytest.approx(0.03, abs=0.007)
    assert set(words) == BOARD | STRAIGHT | {"underhand", "cannot_tell"}


def test_a_second_opinion_covers_a_tenth_of_the_same_attempts(large: Manifest) -> None:
    watched = everybody(large, "Okelmar Division", "2024-25")[:40]
    all_of_them = seen(large.tags_for(watched, "all", tagger="Ketu", per_player=1000))
    tenth = seen(large.tags_for(watched, "tenth", tagger="Ovsk", per_player=1000, every=10))

    def places(rows: list[dict[str, str]]) -> set[tuple[str, ...]]:
        return {(r["date"], r["game"], r["team"], r["player"], r["nth"]) for r in rows}

    assert len(tenth) == len(all_of_them) // 10
    assert places(tenth) < places(all_of_them)
    assert {r["tagger"] for r in tenth} == {"Ovsk"}


def test_the_team_tells_two_players_of_one_name_apart(large: Manifest) -> None:
    keys = [key.split("|") for key in large.truth["twins"]]
    assert len({name for _, name, _ in keys}) == 1
    (league, name, one), (_, _, other) = keys
    rows = [r for r in attempts(large, "halma_2024-25.csv") if r["player"] == name]
    counts = Counter(r["team"] for r in rows)

    alone = large.tags_for([(league, "2024-25", name, one)], "one", tagger="Ketu", per_player=1000)
    both = large.tags_for([(league, "2024-25", name)], "both", tagger="Ketu", per_player=1000)

    assert set(counts) == {one, other}
    assert alone.expects.rows == counts[one]
    assert both.expects.rows == counts[one] + counts[other]


@pytest.mark.parametrize(
    ("player", "says"),
    [
        (("Halma League", "2024-25", "Nobody Atall"), "no attempts of Nobody Atall"),
        (("Halma League", "1999-00", "Nobody Atall"), "no attempts of Nobody Atall"),
        (("Drellin Liga", "2019-20", "Nobody Atall"), "no attempts in order"),
        (("Okelmar Division", "2021-22", "Nobody Atall"), "no attempts in order"),
    ],
)
def test_tags_that_cannot_be_written_are_refused_with_the_reason(
    small: Manifest, player: tuple[str, str, str], says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        small.tags_for([player], "none", tagger="Ketu")
    assert not (small.folder / "none.csv").exists()


def test_suspects_are_picked_far_more_readily_than_others(large: Manifest) -> None:
    (step,) = [s for s in large.imports if "drellin_2024-25_picked" in s.path.name]
    table = large.truth["player_seasons"]["rows"]
    players = {r[0].split("|")[1]: r[-1] for r in table if r[1:3] == ["Drellin Liga", "2024-25"]}
    picked = {row["player"] for row in seen(step)}

    suspects = {name for name, kind in players.items() if kind != "not"}
    others = set(players) - suspects

    assert len(picked & suspects) / len(suspects) > 0.5
    assert len(picked & others) / len(others) < 0.2
    assert not any(lot.season == "2024-25" for lot in large.lots if lot.league == "Drellin Liga")


def test_the_planted_stories_of_a_tagged_season_are_watched_on_both_sides(
    large: Manifest,
) -> None:
    by_name = {s["name"]: s for s in large.truth["switchers"] if s["name"] != "summer"}
    for name in ("noticed", "rise_a", "rise_b", "rise_c", "same_a", "same_b", "same_c"):
        story = by_name[name]
        part = f"tags_halma_{story['season']}_picked"
        (step,) = [s for s in large.imports if part in s.path.name]
        rows = {r["attempt_id"]: r for r in attempts(large, f"halma_{story['season']}.csv")}
        days = [
            rows[t["attempt_id"]]["date"]
            for t in seen(step)
            if rows[t["attempt_id"]]["player"] == story["player"].split("|")[1]
        ]
        assert sum(day < story["date"] for day in days) >= 15
        assert sum(day >= story["date"] for day in days) >= 15


def test_the_sitting_of_misses_saw_misses_only_and_says_so(large: Manifest) -> None:
    (step,) = [s for s in large.imports if "misses" in s.path.name]
    rows = seen(step)

    assert len(rows) > 300
    assert {row["picked_for"] for row in rows} == {"result"}
    told = [row for row in rows if row["technique"] != "cannot_tell"]
    assert all(row["miss_depth"] and row["miss_side"] for row in told)


def test_what_cannot_be_told_says_nothing_else(small: Manifest) -> None:
    league = "Halma League"
    step = small.tags_for(everybody(small, league, "2024-25"), "blank", tagger="Ketu")
    unclear = [row for row in seen(step) if row["technique"] == "cannot_tell"]

    assert unclear
    for row in unclear:
        assert not any(
            row[c]
            for c in ("first_contact", "miss_depth", "miss_side", "rebound_zone", "confidence")
        )


def test_players_of_both_kinds_of_league_need_a_file_each(tmp_path: Path, small: Manifest) -> None:
    mixed = [
        everybody(small, "Halma League", "2024-25")[0],
        everybody(small, "Okelmar Division", "2024-25")[0],
    ]

    with pytest.raises(ValueError, match="a file each"):
        small.tags_for(mixed, "mixed", tagger="Ketu")
