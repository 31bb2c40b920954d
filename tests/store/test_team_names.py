"""One team under two names, by totals and by games: a warning, a note and an offer."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from ledger.cohort import Cohort
from ledger.questions import registry
from ledger.store import same as joining
from ledger.store.offers import Offer, offers
from tests.store.filing import HEAD, Desk, desk, rows

File = tuple[str, str]
LEAGUE = "Halma League,2023-24"
JOIN = 'offglass same --team "Kolmar" "KOL"'
PEOPLE = ("Ilvo Tarn", "Bram Oselo", "Kemo Rast")


def totals(*lines: str) -> File:
    text = [f"{LEAGUE},{line}" for line in lines]
    return rows("league,season,team,player,made,attempts", *text), "totals"


def games(*lines: str, stage: str = "") -> File:
    """Lines are `team,player,made,attempts`, each a game of a box score."""
    text = [f"{LEAGUE},2023-10-{n + 1:02d},G{n},{line},{stage}" for n, line in enumerate(lines)]
    return rows(HEAD + ",attempts,stage", *text), "box"


def shots(*lines: str) -> File:
    text = [f"{LEAGUE},2023-10-{n + 1:02d},G{n},{line}" for n, line in enumerate(lines)]
    return rows(HEAD, *text), "attempts"


KOL = totals("KOL,Ilvo Tarn,9,12", "KOL,Bram Oselo,3,4")
EVENTS = shots("Kolmar,Ilvo Tarn,1", "Kolmar,Bram Oselo,0")
KOLMAR = games("Kolmar,Ilvo Tarn,6,8", "Kolmar,Bram Oselo,2,3")


def doubts(warnings: tuple[str, ...]) -> list[str]:
    return [w for w in warnings if "--team" in w]


def team_offers(d: Desk) -> list[Offer]:
    with d.file.reading() as con:
        return [o for o in offers(con) if o.kind == "team"]


def asked(d: Desk, question: str = "ranking", cohort: Cohort | None = None) -> tuple[str, int]:
    """The notes, and all attempts of a ranking of players."""
    with d.file.reading() as con:
        options = {"min_attempts": 1, "by": "player"} if question == "ranking" else {}
        found = registry.answer(question, con, cohort or Cohort(), options=options)
    attempts = found.frame["attempts"].sum() if question == "ranking" else 0
    return " ".join(n for n in found.notes if "--team" in n), int(attempts)


def join(d: Desk, *names: str, apart: bool = False) -> int:
    with d.file.changing("same") as con:
        say = joining.apart if apart else joining.same
        return say(con, d.file, list(names), kind="team").source_id


@pytest.mark.parametrize("order", [(KOL, KOLMAR), (KOLMAR, KOL), (KOL, EVENTS), (EVENTS, KOL)])
def test_whatever_comes_second_names_the_two_teams_and_what_joins_them(
    tmp_path: Path, order: tuple[File, File]
) -> None:
    with desk(tmp_path) as d:
        assert doubts(d.bring(*order[0]).warnings) == []
        report = d.bring(*order[1])

        (said,) = doubts(report.warnings)
        assert "2 players have season totals for KOL" in said
        assert "games for Kolmar" in said
        assert JOIN in said
        assert report.exit_code == 0
        kept = d.rows(f"SELECT warnings FROM source WHERE id = {report.source}")
        assert "season totals for KOL" in kept[0][0]


def test_an_answer_says_how_much_may_count_twice_until_the_names_are_joined(
    tmp_path: Path,
) -> None:
    with desk(tmp_path) as d:
        d.bring(*KOL)
        d.bring(*KOLMAR)
        notes, attempts = asked(d)
        assert "16 attempts of season totals may be counted twice" in notes
        assert f"if KOL is Kolmar, type {JOIN}" in notes
        assert attempts == 27
        for other in ("uptake", "adopters"):
            assert "16 attempts of season totals may be counted twice" in asked(d, other)[0]
        # Only what is in the answer can count twice in it.
        assert "12 attempts of" in asked(d, cohort=Cohort(player=("Ilvo Tarn",)))[0]
        assert asked(d, cohort=Cohort(team=("KOL",)))[0] == ""

        source = join(d, "Kolmar", "KOL")

        assert asked(d) == ("", 16)
        assert team_offers(d) == []
        d.undo(source)
        assert asked(d) == (notes, attempts)
        assert d.whole() == []


def test_the_pair_is_offered_with_what_speaks_for_it_unless_told_apart(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(*KOL)
        d.bring(*KOLMAR)

        (offer,) = team_offers(d)

        assert (offer.reason, offer.one.name) == ("totals", "Kolmar")
        assert offer.other is not None
        assert (offer.one.attempts, offer.other.name, offer.other.attempts) == (11, "KOL", 16)
        assert offer.other.seasons == ("2023-24",)
        assert offer.why.startswith("2 players have season totals for KOL")
        source = join(d, "Kolmar", "KOL", apart=True)
        assert team_offers(d) == []
        assert asked(d)[0] == ""
        assert doubts(d.bring(*games("Kolmar,Kemo Rast,1,2")).warnings) == []
        d.undo(source)
        assert [o.one.name for o in team_offers(d)] == ["Kolmar"]


@pytest.mark.parametrize(
    ("lines", "played"),
    [
        # A traded player: both teams have totals, and one has no games yet.
        (("KOL,Ilvo Tarn,9,12", "Kolmar,Ilvo Tarn,6,8"), games("Kolmar,Ilvo Tarn,6,8")),
        # His other team is known by the games of another player.
        (("KOL,Ilvo Tarn,9,12",), games("Kolmar,Ilvo Tarn,6,8", "KOL,Kemo Rast,1,2")),
        # Nobody has both.
        (("KOL,Ilvo Tarn,9,12",), games("Kolmar,Bram Oselo,6,8")),
        # Names of one spelling are one team.
        (("KOLMAR,Ilvo Tarn,9,12",), games("Kolmar,Ilvo Tarn,6,8")),
        # A total without a team names none that could be another.
        ((",Ilvo Tarn,9,12",), games("Kolmar,Ilvo Tarn,6,8")),
        # Nothing counts twice where nothing is filled in.
        (("KOL,Ilvo Tarn,0,0",), games("Kolmar,Ilvo Tarn,6,8")),
    ],
)  # fmt: skip
def test_nothing_is_said_where_totals_and_games_can_both_be_right(
    tmp_path: Path, lines: tuple[str, ...], played: File
) -> None:
    with desk(tmp_path) as d:
        first = d.bring(*totals(*lines))
        second = d.bring(*played)

        assert doubts((*first.warnings, *second.warnings)) == []
        assert asked(d)[0] == ""
        assert team_offers(d) == []


def test_a_team_that_only_stands_as_opponent_has_a_game(tmp_path: Path) -> None:
    head = HEAD + ",opponent"
    with desk(tmp_path) as d:
        d.bring(*KOL)
        report = d.bring(rows(head, f"{LEAGUE},2023-10-01,G1,Kolmar,Ilvo Tarn,1,KOL"))
        assert doubts(report.warnings) == []
        assert team_offers(d) == []


def test_another_season_or_league_makes_no_pair(tmp_path: Path) -> None:
    other = [f"Halma League,2024-25,2024-10-01,G1,Kolmar,{PEOPLE[0]},1"]
    other += [f"Ormeda Liga,2023-24,2023-10-01,G1,Kolmar,{PEOPLE[0]},1"]
    with desk(tmp_path) as d:
        d.bring(*KOL)
        assert doubts(d.bring(rows(HEAD, *other)).warnings) == []
        assert asked(d)[0] == ""


def test_a_traded_player_makes_no_pair_of_two_teams_whose_mates_pair_otherwise(
    tmp_path: Path,
) -> None:
    """Totals KOL and SKE, games Kolmar and Skerry: the player of both pairs each with each."""
    lines = [f"{t},{who},3,4" for t, who in (("KOL", PEOPLE[0]), ("KOL", PEOPLE[1]))]
    lines += [f"SKE,{PEOPLE[0]},3,4", f"SKE,{PEOPLE[2]},3,4"]
    played = [f"Kolmar,{PEOPLE[0]},1,2", f"Kolmar,{PEOPLE[1]},1,2"]
    played += [f"Skerry,{PEOPLE[0]},1,2", f"Skerry,{PEOPLE[2]},1,2"]
    with desk(tmp_path) as d:
        d.bring(*totals(*lines))
        report = d.bring(*games(*played))
        names = [(o.one.name, o.other.name if o.other else "") for o in team_offers(d)]
        assert names == [("Kolmar", "KOL"), ("Skerry", "SKE")]
        assert len(doubts(report.warnings)) == 2
        assert "16 attempts of season totals may be counted twice" in asked(d)[0]


def test_a_name_of_two_leagues_is_named_so_that_it_can_be_typed(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(rows(HEAD, f"Ormeda Liga,2023-24,2023-10-01,G1,Kolmar,{PEOPLE[2]},1"))
        d.bring(*KOL)
        (said,) = doubts(d.bring(*KOLMAR).warnings)
        assert 'offglass same --team "Kolmar (Halma League)" "KOL"' in said
        join(d, "Kolmar (Halma League)", "KOL")
        assert asked(d)[0] == ""


def test_many_pairs_are_cut_short_with_where_the_rest_is(tmp_path: Path) -> None:
    people = [f"Ilvo {name}" for name in ("Aran", "Beld", "Corn", "Dask", "Evin", "Fosk", "Gelt")]
    with desk(tmp_path) as d:
        d.bring(*totals(*[f"K{n},{who},3,4" for n, who in enumerate(people)]))
        report = d.bring(*games(*[f"Kolmar {n},{who},1,2" for n, who in enumerate(people)]))
        said = doubts(report.warnings)
        assert len(said) == 6
        assert said[-1] == "2 more such pairs of teams: offglass same --team lists them"
        assert all(a != b for a, b in pairwise(said))
        assert "4 more pairs: offglass same --team" in asked(d)[0]


def test_practice_is_no_game_of_a_team(tmp_path: Path) -> None:
    with desk(tmp_path) as d:
        d.bring(*KOL)
        d.consent(PEOPLE[0])
        report = d.bring(*games("Kolmar,Ilvo Tarn,1,2", stage="practice"))
        assert report.stored == 1
        assert doubts(report.warnings) == []
